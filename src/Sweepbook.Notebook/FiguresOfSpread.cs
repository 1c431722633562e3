// SPDX-License-Identifier: MIT
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private const double BassFromHz = 20, BassToHz = 120;   // as the findings about the seats: the range in which rooms and subwoofers decide

    /// <summary>The means and the spread of the source whose seats differ the most between 20 and 120 Hz.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure, or none where no source has two comparable seats that are trusted there.</returns>
    /// <remarks>By the mean spatial variance; of sources with equal ones the first. Source: as for <see cref="Sweepbook.Seats.SeatSummary"/>.</remarks>
    public static IReadOnlyList<Figure> SeatsFarthestApart(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var farthest = study.SeatResults().Select(result => (Result: result, Bass: result.Seats.Between(BassFromHz, BassToHz))).Where(entry => entry.Bass.Points > 0)
            .Select(entry => (entry.Result, entry.Bass.MeanSpatialVarianceDb2)).DefaultIfEmpty().MaxBy(entry => entry.MeanSpatialVarianceDb2);
        return farthest.Result is { } result ? [SeatChart.Means(View(study, result))] : [];
    }
}
