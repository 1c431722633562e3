// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Studies;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private const string BeforeColour = "#7f7f7f";   // no seat's colour, as far from white as from a dark page

    /// <summary>Before and after of every source: what changed in third octaves at every seat, then both curves at the seat where it changed the most.</summary>
    /// <param name="comparison">The comparison.</param>
    /// <returns>Two figures for each source and microphone, those that changed first; none where nothing could be compared.</returns>
    /// <remarks>The grey band is what noise, drift and a microphone put back explain. For what misleads see <see cref="StudyComparison"/>.</remarks>
    public static IReadOnlyList<Figure> Changes(StudyComparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        return [.. BySource(comparison).SelectMany(group => new[] { Differences(comparison, group), Overlay(comparison, MostChanged(comparison, group)) })];
    }

    /// <summary>What changed in third octaves at every seat, of the source that changed the most.</summary>
    /// <param name="comparison">The comparison.</param>
    /// <returns>One figure; none where nothing could be compared.</returns>
    /// <remarks>That source which changed in the most third octaves; of equal ones the one whose largest change is the largest. Source: own choice.</remarks>
    public static IReadOnlyList<Figure> LargestChange(StudyComparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        return [.. BySource(comparison).Take(1).Select(group => Differences(comparison, group))];
    }

    /// <summary>Both curves of one source at one seat, before and after.</summary>
    /// <param name="comparison">The comparison.</param>
    /// <param name="source">Id of the source; ids joined by + for sources that played together.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <returns>One figure; faint where either may not be believed.</returns>
    /// <exception cref="ArgumentException">The comparison has no such pair; the message says which it has.</exception>
    public static Figure Changes(StudyComparison comparison, string source, string seat)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        foreach (var pair in comparison.Pairs)
            if (pair.Before.Source == source && pair.Before.Seat == seat) return Overlay(comparison, pair);
        throw new ArgumentException($"Nothing was compared of \"{source}\" at \"{seat}\"; there is: {string.Join(", ", comparison.Pairs.Select(pair => $"{pair.Before.Source} at {pair.Before.Seat}").Distinct())}.", nameof(source));
    }

    private static IEnumerable<SeatChange[]> BySource(StudyComparison comparison) => comparison.Changes.Where(row => row.Quantity is ChangedQuantity.Level or ChangedQuantity.Shape)
        .GroupBy(row => (row.Source, row.Microphone)).Select(group => group.ToArray()).OrderByDescending(rows => rows.Count(row => row.IsSignificant)).ThenByDescending(rows => rows.Max(row => Math.Abs(row.Difference)));

    private static Figure Differences(StudyComparison comparison, SeatChange[] rows)
    {
        var explainedBy = comparison.IsMicrophoneUntouched ? "noise and drift explain" : "noise, drift and a microphone put back explain";
        var several = comparison.Pairs.Select(pair => pair.Before.Microphone).Distinct().Count() > 1;
        return ChangeChart.Draw(rows[0].Source + (several ? $" ({rows[0].Microphone})" : ""), explainedBy,
            [.. rows.GroupBy(row => row.Seat).Select(seat => new ChangeRow(seat.Key.Length > 0 ? seat.Key : "its place", Place(comparison.Before, seat.Key), [.. seat]))],
            rows.Any(row => row.Basis == "noise only"), rows.All(row => row.Quantity == ChangedQuantity.Shape));
    }

    private static (ResponseResult Before, ResponseResult After) MostChanged(StudyComparison comparison, SeatChange[] rows)
    {
        var seat = rows.GroupBy(row => row.Seat).OrderByDescending(group => group.Count(row => row.IsSignificant)).ThenByDescending(group => group.Max(row => Math.Abs(row.Difference))).First().Key;
        return comparison.Pairs.First(pair => pair.Before.Source == rows[0].Source && pair.Before.Seat == seat && pair.Before.Microphone == rows[0].Microphone);
    }

    private static Figure Overlay(StudyComparison comparison, (ResponseResult Before, ResponseResult After) pair)
    {
        var axis = AxisFor([pair.Before, pair.After]);
        var smoothed = axis.ToHz > UnsmoothedUpToHz;
        var rows = comparison.Changes.Where(row => row.Source == pair.Before.Source && row.Seat == pair.Before.Seat && row.Microphone == pair.Before.Microphone && row.Quantity is ChangedQuantity.Level or ChangedQuantity.Shape).ToArray();
        var takenOffDb = rows.Length > 0 ? rows[0].TakenOff : 0;
        (string Name, ResponseResult Result, string Colour, string Dash, double ShiftDb)[] sides =
            [("before", pair.Before, BeforeColour, "dash", 0), ("after", pair.After, Palette.Colour(Place(comparison.Before, pair.Before.Seat)), "solid", takenOffDb)];
        var curves = sides.Select(side => new Curve
        {
            Name = side.Name,
            Colour = side.Colour,
            Dash = side.Dash,
            FrequenciesHz = side.Result.Response.Grid.ToArray(),
            LevelsDb = [.. (smoothed ? side.Result.Response.SmoothedLevelsDb(SmoothingFraction) : side.Result.Response.LevelsDb()).Select(level => level - side.ShiftDb)],
            Doubts = Doubts(side.Result),
        }).ToArray();
        var said = FormattableString.Invariant($"{rows.Count(row => row.IsSignificant)} of {rows.Length} third octaves changed beyond what is explained otherwise.");
        return CurveChart.Draw(curves, LevelTitle(pair.Before.Response), $"{pair.Before.Source} {At(pair.Before)}, level before and after. {said}{Largest(rows)}", "comparison.csv",
            $"{said} {(smoothed ? $"Smoothed to 1/{SmoothingFraction} octave for drawing; the table holds third octaves." : "Not smoothed; the table holds third octaves.")} Faint: not to be believed.{(takenOffDb == 0 ? "" : FormattableString.Invariant($" From the curve after {takenOffDb:0.0} dB are taken off: {(rows[0].Quantity == ChangedQuantity.Shape ? "only the shape is compared" : "the sweep was played so much louder")}."))}",
            axis, $"{pair.Before.Source} {At(pair.Before)}: before and after");
    }

    /// <summary>The largest difference in words; empty where there is none.</summary>
    private static string Largest(SeatChange[] rows) => rows.MaxBy(row => Math.Abs(row.Difference)) is { } largest
        ? FormattableString.Invariant($" The largest difference is {largest.Difference:+0.0;−0.0;0.0} dB, at {largest.Label} Hz.") : "";
}
