// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Spread over the seats before and after: the same seats, and only the frequencies at which each of them may be believed both times.</summary>
/// <remarks>
/// The root of the mean spatial variance in the bass. What its ± is: an error u of one seat's level moves the variance there by 2 w (L − mean) u / Σw; errors of seats are taken as
/// independent, within a third octave as one error, and from one third octave to the next as independent again. Source: own derivation, JCGM 100:2008 (GUM), 5.1.2.
/// </remarks>
internal static class SpreadChanges
{
    private const double Coverage = 2;
    private const int BlocksPerOctave = 3;

    internal static IEnumerable<SeatChange> Of(IReadOnlyList<ChangePair> pairs, ChangeContext context)
    {
        foreach (var group in pairs.Where(pair => pair.Take.Field == SoundField.Room && pair.Before.Seat.Length > 0 && WeightOf(context.Before, pair) > 0)
            .GroupBy(pair => (ChangePairs.SourceKey(pair.Before), pair.Before.Microphone, pair.Take.Stimulus, pair.Take.DriveDb)))
        {
            var seats = group.DistinctBy(pair => pair.Before.Seat).ToList();
            if (seats.Count < 2) continue;
            var row = seats[0].Row(ChangedQuantity.Spread, "dB") with { Seat = "", Label = InWords(SeatStudy.BassFromHz, SeatStudy.BassToHz) };
            yield return WhyNot(seats) is { } why ? row with { Reason = why } : Compared(row, seats, context);
        }
    }

    private static double WeightOf(StudySide side, ChangePair pair) => side.Study.Survey.Seat(pair.Before.Seat).Weight;

    /// <summary>Levels of seats are compared with each other on each side, so each side must be of one piece.</summary>
    private static string? WhyNot(List<ChangePair> seats)
    {
        foreach (var side in new[] { seats.Select(pair => pair.Before), seats.Select(pair => pair.After) })
        {
            if (side.Select(result => (SeatGroup.ReferenceOf(result.Takes[0]), result.Response.Reference, result.Takes[0].InputGainDb)).Distinct().Count() > 1) return "the seats were not measured with one level reference and one input gain";
            if (side.Any(result => !result.Response.Grid.FrequenciesHz.SequenceEqual(side.First().Response.Grid.FrequenciesHz))) return "the seats were recorded at different sample rates";
        }
        return null;
    }

    private static SeatChange Compared(SeatChange row, List<ChangePair> seats, ChangeContext context)
    {
        var weights = seats.Select(pair => WeightOf(context.Before, pair)).ToArray();
        var common = seats.Select(LevelChanges.Common).ToArray();
        var frequencies = common.Select((cells, n) => cells.Before.Select(k => seats[n].Before.Response.Grid[k])).Aggregate((all, next) => all.Intersect(next))
            .Where(frequencyHz => frequencyHz >= SeatStudy.BassFromHz && frequencyHz <= SeatStudy.BassToHz).ToHashSet();
        if (frequencies.Count == 0) return row with { Reason = "no frequency of the bass may be believed at every seat both times" };
        var (before, after) = (new Spread(weights), new Spread(weights));
        for (var n = 0; n < seats.Count; n++)
        {
            var places = common[n].Before.Select((k, at) => (k, at)).Where(entry => frequencies.Contains(seats[n].Before.Response.Grid[entry.k])).Select(entry => entry.at).ToArray();
            before.Add(seats[n].Before, [.. places.Select(at => common[n].Before[at])], context.Before.Study.SpeedOfSoundMetresPerSecond);
            after.Add(seats[n].After, [.. places.Select(at => common[n].After[at])], context.After.Study.SpeedOfSoundMetresPerSecond);
        }
        var (mine, theirs) = (before.Result(), after.Result());
        return row with
        {
            FromHz = frequencies.Min(),
            ToHz = frequencies.Max(),
            Label = InWords(frequencies.Min(), frequencies.Max()),
            Before = mine.Db,
            After = theirs.Db,
            Repeatability = Coverage * Math.Sqrt(mine.Noise * mine.Noise + theirs.Noise * theirs.Noise),
            Basis = seats.Any(pair => Math.Min(pair.Before.Repeats, pair.After.Repeats) < 2) ? "noise only" : "repeats",
            SettingUp = context.IsPutBack ? Coverage * Math.Sqrt((mine.Place * mine.Place + theirs.Place * theirs.Place) / 2) : 0,
            Reason = $"{seats.Count} seats: {StudyFindings.Listed(seats.Select(pair => pair.Before.Seat))}",
        };
    }

    private static string InWords(double fromHz, double toHz) => new TrustedBand(fromHz, toHz, default, default).Words;

    /// <summary>Spread of one side with what moves it.</summary>
    private sealed class Spread(double[] weights)
    {
        private readonly List<(double[] Levels, double[] Noise, double[] Place, int[] Blocks)> _seats = [];

        internal void Add(ResponseResult result, int[] cells, double speedOfSoundMetresPerSecond)
        {
            var placings = UncertaintyOfPosition.BetweenPlacingsDb(result.Takes[0], result.Response, speedOfSoundMetresPerSecond);
            _seats.Add(([.. cells.Select(k => result.Response[k].LevelDb)],
                [.. cells.Select(k => Known(result.Response[k].Uncertainty.RepeatabilityDb / Coverage))], [.. cells.Select(k => Known(placings[k]))],
                [.. cells.Select(k => (int)Math.Floor(BlocksPerOctave * Math.Log2(result.Response.Grid[k])))]));
        }

        /// <summary>The spread in decibels and its standard uncertainties.</summary>
        internal (double Db, double Noise, double Place) Result()
        {
            var (count, sum, total) = (_seats[0].Levels.Length, weights.Sum(), 0.0);
            var (noise, place) = (new Dictionary<int, double>(), new Dictionary<int, double>());
            for (var k = 0; k < count; k++)
            {
                var (mean, variance, byNoise, byPlace) = (0.0, 0.0, 0.0, 0.0);
                for (var n = 0; n < _seats.Count; n++) mean += weights[n] * _seats[n].Levels[k] / sum;
                for (var n = 0; n < _seats.Count; n++)
                {
                    var away = _seats[n].Levels[k] - mean;
                    var slope = 2 * weights[n] * away / sum;
                    variance += weights[n] * away * away / sum;
                    byNoise += slope * slope * _seats[n].Noise[k] * _seats[n].Noise[k];
                    byPlace += slope * slope * _seats[n].Place[k] * _seats[n].Place[k];
                }
                total += variance / count;
                var block = _seats[0].Blocks[k];
                noise[block] = noise.GetValueOrDefault(block) + Math.Sqrt(byNoise) / count;   // as if one error moved the whole block
                place[block] = place.GetValueOrDefault(block) + Math.Sqrt(byPlace) / count;
            }
            var spread = Math.Sqrt(total);
            return (spread, Of(noise) / (2 * spread), Of(place) / (2 * spread));

            static double Of(Dictionary<int, double> blocks) => Math.Sqrt(blocks.OrderBy(block => block.Key).Sum(block => block.Value * block.Value));
        }

        private static double Known(double db) => double.IsNaN(db) ? 0 : db;
    }
}
