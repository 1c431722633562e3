// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using Sweepbook.Decay;
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Decays of all responses in the room, in parallel over responses, then their means over the seats of each source.</summary>
internal static class DecayStudy
{
    private const double HighestEdgeRatio = 0.45;   // of the sample rate: design, "What may be believed": upper end

    internal static IReadOnlyList<FrequencyBand> Bands { get; } = [.. FrequencyBand.Octaves(31.5, 8000), .. FrequencyBand.ThirdOctaves(25, 10_000)];

    internal static IReadOnlyList<DecayResult> Of(IReadOnlyList<ResponseResult> responses)
    {
        var room = responses.Where(result => result.Takes[0].Field == SoundField.Room).ToList();
        var banks = new ConcurrentDictionary<(int RateHz, int First, int Count, int FirstThird, int Thirds), Lazy<FilterBank>>();
        var results = new DecayResult[room.Count];
        Parallel.For(0, results.Length, new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount }, n => results[n] = Of(room[n]));
        return [.. results, .. Means(results)];

        DecayResult Of(ResponseResult result)
        {
            var rateHz = result.UncutImpulseResponse.SampleRateHz;
            var bands = Bands.Where(band => band.UpperHz < HighestEdgeRatio * rateHz && IsExcitedInPart(result, band)).ToList();
            if (bands.Count == 0 || result.UncutImpulseResponse.Length == 0) return new(result.Takes[0], result.Seat, 1, new([]), new([]));
            var (octaves, thirds) = (bands.Where(band => band.BandsPerOctave == 1).ToList(), bands.Where(band => band.BandsPerOctave == 3).ToList());
            var key = (rateHz, octaves.Count > 0 ? octaves[0].Index : 0, octaves.Count, thirds.Count > 0 ? thirds[0].Index : 0, thirds.Count);
            var bank = banks.GetOrAdd(key, _ => new(() => FilterBank.Of(bands, rateHz).AtOwnRates())).Value;
            var decays = result.UncutImpulseResponse.Decays(bank).Select(decay => WhyRefused(result, decay.Band) is { } why ? decay.Refused(why) : decay).ToList();
            return new(result.Takes[0], result.Seat, 1, new(decays.Take(octaves.Count)), new(decays.Skip(octaves.Count)));
        }
    }

    private static bool IsExcitedInPart(ResponseResult result, FrequencyBand band)
    {
        var (grid, trust) = (result.Response.Grid, result.Response.LevelTrust);
        for (var k = 0; k < grid.Count; k++)
            if (grid[k] >= band.LowerHz && grid[k] <= band.UpperHz && trust.ReasonAt(k).Doubt != Doubt.Excitation) return true;
        return false;
    }

    /// <summary>
    /// What makes a decay doubtful whatever its range: the band was not played throughout, the loopback is too noisy, the recording is damaged. The microphone's
    /// calibration and the length of the window do not matter for a decay, and noise is judged by the range in each band.
    /// </summary>
    private static string? WhyRefused(ResponseResult result, FrequencyBand band)
    {
        var (grid, trust) = (result.Response.Grid, result.Response.LevelTrust);
        if (grid[0] > band.LowerHz || grid[grid.Count - 1] < band.UpperHz) return "excitation: the band reaches beyond the frequencies that were played";
        for (var k = 0; k < grid.Count; k++)
        {
            if (grid[k] < band.LowerHz || grid[k] > band.UpperHz) continue;
            var reason = trust.ReasonAt(k);
            if (reason.Doubt is Doubt.Excitation or Doubt.UpperEnd) return $"excitation: the band was not played throughout, {reason.Sentence}";
            if (reason.Doubt is Doubt.Loopback or Doubt.Recording) return $"{reason.Doubt.ToString().ToLowerInvariant()}: {reason.Sentence}";
        }
        return null;
    }

    private static IEnumerable<DecayResult> Means(DecayResult[] results)
    {
        foreach (var group in results.GroupBy(result => SeatGroup.Of(result.Take)!.Value))
        {
            var seats = group.ToList();
            if (seats.Count < 2) continue;
            var (octaves, thirds) = (Common(seats, seat => seat.Octaves), Common(seats, seat => seat.ThirdOctaves));
            yield return new(seats[0].Take, DecayResult.MeanSeat, seats.Count, Mean(octaves, BandDecays.ArithmeticMean), Mean(thirds, BandDecays.ArithmeticMean));
            if (AreAtOneRate(octaves) && AreAtOneRate(thirds))
                yield return new(seats[0].Take, DecayResult.EnsembleSeat, seats.Count, Mean(octaves, BandDecays.EnsembleMean), Mean(thirds, BandDecays.EnsembleMean));
        }
    }

    private static BandDecays Mean(List<BandDecays> places, Func<IReadOnlyList<BandDecays>, BandDecays> mean) => places[0].Count == 0 ? places[0] : mean(places);

    /// <summary>The bands that all seats have: recorded responses may have different sample rates.</summary>
    private static List<BandDecays> Common(List<DecayResult> seats, Func<DecayResult, BandDecays> which)
    {
        var bands = seats.Select(which).Select(decays => decays.Select(decay => decay.Band)).Aggregate((all, next) => all.Intersect(next)).ToHashSet();
        return [.. seats.Select(which).Select(decays => new BandDecays(decays.Where(decay => bands.Contains(decay.Band))))];
    }

    private static bool AreAtOneRate(List<BandDecays> places) =>
        places.SelectMany(place => place).Where(decay => decay.Reading is not null).GroupBy(decay => decay.Band).All(band => band.Select(decay => decay.Curve.SampleRateHz).Distinct().Count() == 1);
}
