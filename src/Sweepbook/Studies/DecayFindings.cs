// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Decay;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What the decays have to say, source by source: in the middle of the band, in the bass, where they bend, and what could not be given.</summary>
internal static class DecayFindings
{
    internal const double BassToHz = 200;      // own choice: above it rooms of a home have many modes in every third octave
    private const int MostNamed = 4;
    private const double ByChance = 0.05;     // of straight decays go beyond two standard deviations of their curvature

    internal static IEnumerable<Finding> Of(Study study)
    {
        var groups = study.Decays.Where(result => !result.IsMean).GroupBy(result => SeatGroup.Of(result.Take)!.Value).ToList();
        foreach (var group in groups)
        {
            var seats = group.ToList();
            var name = groups.Exists(other => other != group && other.Key.Source == group.Key.Source) ? $"{group.Key.Source} ({group.Key.Setting})" : group.Key.Source;
            var believed = StudyFindings.Common(study.Responses.Where(result => SeatGroup.Of(result.Takes[0]) == group.Key));
            foreach (var finding in new[] { Middle(name, seats), Bass(name, seats, study.Decays.FirstOrDefault(result => result.Seat == DecayResult.EnsembleSeat && SeatGroup.Of(result.Take) == group.Key)), Curved(name, seats, believed), NotGiven(name, seats, believed) })
                if (finding is { } found) yield return found;
        }
    }

    private static Finding? Middle(string name, List<DecayResult> seats)
    {
        var times = seats.Select(seat => seat.Octaves.Where(decay => decay.Band.NominalHz is 500 or 1000).Select(decay => decay.T30).Where(time => time.IsValid).ToList())
            .Where(both => both.Count == 2).ToList();
        if (times.Count == 0) return null;
        var all = times.SelectMany(both => both).ToList();
        var (value, chance) = (all.Average(time => time.Value), Math.Sqrt(all.Sum(time => time.Uncertainty * time.Uncertainty)) / all.Count);
        var where = (times.Count, seats.Count) switch
        {
            (1, 1) => "one seat",
            var (some, every) when some < every => $"mean of {some} of {every} seats",
            _ => $"mean of {seats.Count} seats",
        };
        return new("decay-middle", Severity.Note, name, value, "s", string.Create(CultureInfo.InvariantCulture,
            $"Between 500 Hz and 1 kHz the sound of {name} decays by 60 dB in {value:0.00} s (T30, {where}, ±{Math.Max(chance, 0.005):0.00} s by chance)."));
    }

    /// <summary>From the sum of all seats where there is one: of many single decays the longest is mostly the luckiest. The surely longest goes first.</summary>
    private static Finding? Bass(string name, List<DecayResult> seats, DecayResult? ensemble)
    {
        var longest = (ensemble is null ? seats : [ensemble]).SelectMany(seat => seat.ThirdOctaves.Where(decay => decay.Band.UpperHz <= BassToHz * 1.2).Select(decay => (seat.Seat, decay.Band, Time: decay.T30.IsValid ? decay.T30 : decay.T20)))
            .Where(entry => entry.Time.IsValid).OrderBy(entry => entry.Time.Reason?.Length > 0).ThenByDescending(entry => entry.Time.Value - entry.Time.Uncertainty).ThenBy(entry => entry.Band.Index).ThenBy(entry => entry.Seat, StringComparer.Ordinal).FirstOrDefault();
        if (!longest.Time.IsValid) return null;
        var (subject, where) = ensemble is null ? ($"{name} at {longest.Seat}", $" at {longest.Seat} (") : (name, $" ({seats.Count} seats together, ");
        return new("decay-bass", Severity.Note, subject, longest.Time.Value, "s", string.Create(CultureInfo.InvariantCulture,
            $"In the bass the sound of {name} stays longest at {longest.Band.Label} Hz: {longest.Time.Value:0.00} s{where}{longest.Time.Quantity}, ±{longest.Time.Uncertainty:0.00} s by chance)."));
    }

    private static Finding? Curved(string name, List<DecayResult> seats, TrustedBand believed)
    {
        var all = seats.SelectMany(seat => seat.ThirdOctaves).Where(decay => Lies(decay, believed)).ToList();
        var curved = all.Where(decay => decay.T30.IsValid && Math.Abs(decay.T30.CurvaturePercent) > DecayRules.CurvedPercent && decay.T30.Reason?.StartsWith("curved", StringComparison.Ordinal) == true).ToList();
        if (curved.Count <= all.Count * ByChance + 2 * Math.Sqrt(all.Count * ByChance * (1 - ByChance))) return null;   // two standard deviations of what straight decays show
        var bands = curved.GroupBy(decay => decay.Band).OrderByDescending(band => band.Count()).ThenBy(band => band.Key.Index).Select(band => $"{band.Key.Label} Hz ({Seats(band.Count())})").ToList();
        return new("decay-curved", Severity.Caution, name, curved.Count, "decays",
            $"{curved.Count} of {all.Count} third-octave decays of {name} {(curved.Count == 1 ? "bends, so that its" : "bend, so that their")} T30 and T20 differ by more than 10 % and by more than chance, and one number does not tell {(curved.Count == 1 ? "it" : "them")}: {StudyFindings.Listed(bands.Take(MostNamed))}{(bands.Count > MostNamed ? " and others" : "")}.");
    }

    private static Finding? NotGiven(string name, List<DecayResult> seats, TrustedBand believed)
    {
        var all = seats.SelectMany(seat => seat.ThirdOctaves).Where(decay => Lies(decay, believed)).ToList();
        var missing = all.Where(decay => !decay.T20.IsValid).ToList();
        if (missing.Count == 0) return null;
        var (low, high) = (missing.MinBy(decay => decay.Band.Index)!.Band, missing.MaxBy(decay => decay.Band.Index)!.Band);
        var causes = missing.GroupBy(decay => Cause(decay.T20.Reason)).OrderByDescending(group => group.Count()).ThenBy(group => group.Key, StringComparer.Ordinal).Select(group => group.Count() == missing.Count ? group.Key : $"{group.Count()} {group.Key}").ToList();
        return new("decay-not-given", missing.Count * 2 > all.Count ? Severity.Caution : Severity.Note, name, missing.Count, "decays",
            $"{missing.Count} of {all.Count} third-octave decay times of {name} inside its trusted band cannot be given, {(low == high ? $"at {low.Label} Hz" : $"between {low.Label} and {high.Label} Hz")}{(missing.Count == 1 || causes.Count == 1 ? "," : ":")} {StudyFindings.Listed(causes)}.");
    }

    private static bool Lies(BandDecay decay, TrustedBand band) => band.Contains(decay.Band.LowerHz) && band.Contains(decay.Band.UpperHz);

    private static string Seats(int count) => count == 1 ? "1 seat" : $"{count} seats";

    private static string Cause(string? reason) => reason?.Split(' ', ':')[0] switch
    {
        "range" => "for too little range above the noise",
        "narrow" => "because the band is too narrow for so short a decay",
        "excitation" => "because the band was not played throughout",
        "recording" => "because the recording is damaged",
        "loopback" => "because the loopback is too noisy",
        _ => "because no decay was found",
    };
}
