// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>How differently the seats hear the bass of one source: the largest range of levels at one frequency.</summary>
internal static class SeatDifference
{
    private const int SmoothingFraction = 12;   // a twelfth of an octave, so that a one-point dip does not make the headline

    internal static Finding Headline(Study study)
    {
        var worst = study.SeatResults().Select(result => (Name: SeatStudy.Named(result), Found: Largest(result.Seats))).Where(entry => entry.Found is not null)
            .OrderByDescending(entry => entry.Found!.Value.RangeDb).FirstOrDefault();
        if (worst.Found is not { } found)
            return new("seat-difference", Severity.Note, "survey", double.NaN, "dB",
                "Seats cannot be compared in the bass: that takes one source at two seats or more, trusted between 20 and 120 Hz.");
        return new("seat-difference", Severity.Note, worst.Name, found.RangeDb, "dB", FormattableString.Invariant(
            $"In the bass the seats differ most with {worst.Name}: {(found.IsLowerBound ? "at least " : "")}{found.RangeDb:0} dB at {found.FrequencyHz:0} Hz, loud at {found.LoudSeat}, weak at {found.WeakSeat}."));
    }

    private readonly record struct Found(double RangeDb, double FrequencyHz, string LoudSeat, string WeakSeat, bool IsLowerBound);

    private static Found? Largest(SeatSet seats)
    {
        var band = seats.LevelTrust.LongestBand();
        var smooth = seats.Smoothed(SmoothingFraction);
        Found? largest = null;
        for (var k = 0; k < smooth.Grid.Count; k++)
        {
            var point = smooth[k];
            if (point.FrequencyHz is < SeatStudy.BassFromHz or > SeatStudy.BassToHz || !point.IsTrusted || !band.Contains(point.FrequencyHz)) continue;
            if (largest is null || point.RangeDb > largest.Value.RangeDb)
                largest = new(point.RangeDb, point.FrequencyHz, smooth.LoudestAt(k), smooth.WeakestAt(k), point.IsLowerBound);
        }
        return largest;
    }
}
