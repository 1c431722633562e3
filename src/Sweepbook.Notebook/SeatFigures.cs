// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    /// <summary>Power and level mean over the seats of every source, a figure each, with the seats faint and the spread as a band.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per source, setting and microphone with two comparable seats or more; none where there is no such source.</returns>
    public static IReadOnlyList<Figure> Seats(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.SeatResults().Select(result => SeatChart.Means(View(study, result)))];
    }

    /// <summary>Power and level mean over the seats of one source, with the seats faint and the spread as a band.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source; ids joined by + for sources that played together.</param>
    /// <returns>One figure, of the first setting that was measured.</returns>
    /// <exception cref="ArgumentException">The study has no two comparable seats of that source.</exception>
    public static Figure Seats(Study study, string source) => SeatChart.Means(View(study, Comparable(study, source)));

    /// <summary>Spread and range over the seats of every source over frequency, a figure each, lower bounds marked.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per source, setting and microphone with two comparable seats or more.</returns>
    public static IReadOnlyList<Figure> SeatSpread(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.SeatResults().Select(result => SeatChart.Spread(View(study, result)))];
    }

    /// <summary>Spread and range over the seats of one source over frequency, lower bounds marked.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <returns>One figure, of the first setting that was measured.</returns>
    /// <exception cref="ArgumentException">The study has no two comparable seats of that source.</exception>
    public static Figure SeatSpread(Study study, string source) => SeatChart.Spread(View(study, Comparable(study, source)));

    private static SeatResult Comparable(Study study, string source)
    {
        ArgumentNullException.ThrowIfNull(study);
        var seats = study.SeatsOf(source);   // says which sources there are
        return study.SeatResults().First(result => result.Source == source && result.Seats.Grid.Count == seats.Grid.Count);
    }

    private static SeatView View(Study study, SeatResult result)
    {
        var band = result.Seats.LevelTrust.LongestBand();
        var (first, last) = (result.Seats.Grid[0], result.Seats.Grid[result.Seats.Grid.Count - 1]);
        var from = band.IsEmpty ? first : Math.Max(first, band.FromHz / 1.4);
        var axis = band.IsEmpty ? LogAxis.Around(first, last) : LogAxis.Around(from, Math.Max(Math.Min(band.ToHz, 20000), from * 30));
        var smoothed = band.ToHz > UnsmoothedUpToHz;
        return new(result.Setting == Surveys.Setting.AsFoundId ? result.Source : $"{result.Source}, {result.Setting}", smoothed ? result.Seats.Smoothed(SmoothingFraction) : result.Seats, axis,
            [.. result.Seats.Seats.Select(seat => Place(study, seat.Seat))], smoothed ? $"Smoothed to 1/{SmoothingFraction} octave before the seats are compared; the table is not smoothed." : "Not smoothed.");
    }
}
