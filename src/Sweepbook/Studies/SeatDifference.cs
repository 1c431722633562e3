// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>How differently the seats hear the bass of one source: the largest range of levels at one frequency.</summary>
internal static class SeatDifference
{
    private const double BassFromHz = 20, BassToHz = 120;   // common practice, no source: the range in which rooms and subwoofers decide
    private const int SmoothingFraction = 12;               // a twelfth of an octave, so that a one-point dip does not make the headline

    internal static Finding Headline(Study study)
    {
        var candidates = study.Responses.Where(result => SeatGroup.Of(result.Takes[0]) is not null).GroupBy(result => SeatGroup.Of(result.Takes[0]))
            .Where(group => group.Select(result => result.Seat).Distinct().Count() > 1)
            .Select(group => Largest([.. group])).Where(found => found is not null).Select(found => found!.Value).OrderByDescending(found => found.RangeDb).ToList();
        if (candidates.Count == 0)
            return new("seat-difference", Severity.Note, "survey", double.NaN, "dB",
                "Seats cannot be compared in the bass: that takes one source at two seats or more, trusted between 20 and 120 Hz.");
        var worst = candidates[0];
        var bound = worst.IsLowerBound ? "at least " : "";
        return new("seat-difference", Severity.Note, worst.Source, worst.RangeDb, "dB", FormattableString.Invariant(
            $"In the bass the seats differ most with {worst.Source}: {bound}{worst.RangeDb:0} dB at {worst.FrequencyHz:0} Hz, loud at {worst.LoudSeat}, weak at {worst.WeakSeat}."));
    }

    private readonly record struct Found(string Source, double RangeDb, double FrequencyHz, string LoudSeat, string WeakSeat, bool IsLowerBound);

    private static Found? Largest(IReadOnlyList<ResponseResult> seats)
    {
        var band = StudyFindings.Common(seats);
        var grid = seats[0].Response.Grid;
        if (band.IsEmpty || seats.Any(seat => seat.Response.Count != grid.Count)) return null;
        var levels = seats.Select(seat => seat.Response.SmoothedLevelsDb(SmoothingFraction)).ToList();
        Found? largest = null;
        for (var k = 0; k < grid.Count; k++)
        {
            if (grid[k] is < BassFromHz or > BassToHz || !band.Contains(grid[k]) || !seats.All(seat => seat.Response.LevelTrust[k])) continue;
            var (loud, weak) = (0, 0);
            for (var n = 1; n < levels.Count; n++)
            {
                if (levels[n][k] > levels[loud][k]) loud = n;
                if (levels[n][k] < levels[weak][k]) weak = n;
            }
            var rangeDb = levels[loud][k] - levels[weak][k];
            if (largest is null || rangeDb > largest.Value.RangeDb)
                largest = new(seats[0].Source, rangeDb, grid[k], seats[loud].Seat, seats[weak].Seat, seats[weak].Response[k].IsCensored);
        }
        return largest;
    }
}
