// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Seats;
using Sweepbook.Trust;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private const double ShownHoleDb = 6;   // own choice: below that the two means tell the same story

    /// <summary>Power, level and complex mean of the seats over frequency: what one curve for all seats may look like, and where the complex one has holes.</summary>
    /// <param name="seats">The seats of one source.</param>
    /// <returns>One figure; without the complex mean where the seats may not be added, and it says why.</returns>
    /// <remarks>Drawn where every seat is trusted, the complex mean where every phase is. Source: beside each mean in <see cref="SeatSet"/>.</remarks>
    public static Figure SeatMeans(SeatSet seats)
    {
        ArgumentNullException.ThrowIfNull(seats);
        var frequencies = seats.Grid.ToArray();
        var (power, level) = (seats.PowerMeanDb(), seats.LevelMeanDb());
        var complex = seats.WhyNoComplexMean is null ? seats.ComplexMean().Select(value => double.IsNaN(value.Real) ? double.NaN : Decibels.FromAmplitude(value.Magnitude)).ToArray() : [];
        string[] none = [.. frequencies.Select(_ => "")];
        Curve Of(string name, int place, string dash, double[] levels) => new() { Name = name, Colour = Palette.Colour(place), Dash = dash, FrequenciesHz = frequencies, LevelsDb = levels, Doubts = none };
        var band = seats.LevelTrust.LongestBand();
        var said = $"Means over {seats.Seats.Count} seats. " + (seats.WhyNoComplexMean ?? Deepest(frequencies, power, complex));
        return CurveChart.Draw(
            [Of("power mean", 0, "solid", power), Of("level mean", 2, "dash", level), .. complex.Length > 0 ? new[] { Of("complex mean", 1, "dot", complex) } : []],
            PlotText.LevelTitle(seats.Seats[0].Response), said, "seats.csv", said,
            band.IsEmpty ? null : LogAxis.Around(band.FromHz, Math.Max(band.ToHz, band.FromHz * 8)), "Three means of the same seats");
    }

    private static string Deepest(double[] frequencies, double[] power, double[] complex)
    {
        var hole = Enumerable.Range(0, power.Length).Where(k => double.IsFinite(power[k] - complex[k])).DefaultIfEmpty(-1).MaxBy(k => k < 0 ? 0 : power[k] - complex[k]);
        return hole < 0 || power[hole] - complex[hole] < ShownHoleDb
            ? FormattableString.Invariant($"The complex mean stays within {ShownHoleDb:0} dB of the power mean.")
            : FormattableString.Invariant($"At {PlotText.WithUnit(frequencies[hole])} the complex mean lies {power[hole] - complex[hole]:0} dB below the power mean: the seats cancel in the sum, which nobody hears.");
    }
}
