// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Quantities;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private static readonly (DecayQuantity Quantity, string Words, int Place, string Symbol)[] Marks =
        [(DecayQuantity.Edt, "open diamonds", 1, "diamond-open"), (DecayQuantity.T20, "circles", 2, "circle"), (DecayQuantity.T30, "squares", 3, "square")];

    /// <summary>The decay curve of one band: the stretches that EDT, T20 and T30 are read from, the noise, and where it ends the decay.</summary>
    /// <param name="decay">A band of one place; a mean over places as arithmetic has no curve.</param>
    /// <returns>One figure; it says so where there is no curve.</returns>
    /// <remarks>The lines are those of the figures in decay.csv, drawn through the middle of their stretch. Own manner; the stretches are those of ISO 3382-1:2009.</remarks>
    public static Figure DecayCurve(BandDecay decay)
    {
        ArgumentNullException.ThrowIfNull(decay);
        return DecayCurveChart.Draw(decay, "decay.csv");
    }

    /// <summary>EDT, T20 and T30 of one place over its bands, each with its uncertainty; where neither T20 nor T30 can be given the band is shaded and says why.</summary>
    /// <param name="decays">The bands of one place, or of a mean over places.</param>
    /// <returns>One figure.</returns>
    /// <exception cref="ArgumentException">There is no band.</exception>
    /// <remarks>The bars are one standard deviation by the chance of the decay itself; another place in the room differs by more. Own manner.</remarks>
    public static Figure DecayTimes(IReadOnlyList<BandDecay> decays)
    {
        ArgumentNullException.ThrowIfNull(decays);
        if (decays.Count == 0) throw new ArgumentException("Got 0 bands; must be at least 1.", nameof(decays));
        var rows = Marks.Select(mark => new DecayTimesRow(DecayCurveChart.Name(mark.Quantity), $"{DecayCurveChart.Name(mark.Quantity)} ({mark.Words})", Palette.Colour(mark.Place), mark.Symbol,
            [.. decays.Select(decay => decay[mark.Quantity])])
        { IsJoined = mark.Quantity == DecayQuantity.T30, HasBars = true }).ToArray();
        string[] reasons = [.. decays.Select(decay => decay.T20.IsValid || decay.T30.IsValid ? "" : decay.T20.Reason ?? "")];
        var said = DecayWords.Said(decays);
        return DecayTimesChart.Draw("Decay times", [.. decays.Select(decay => decay.Band)], rows, reasons, said,
            $"{said} {DecayWords.HowToRead(reasons)}", "decay.csv");
    }

    /// <summary>Decay times of the source that gives the most of them: a mark per seat and third octave, and a line for the energies of all seats added up.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure, or none where no decay time can be given at all.</returns>
    /// <remarks>T30 where it can be given, else T20. Where there is one seat only, the line is that seat's. Own manner.</remarks>
    public static IReadOnlyList<Figure> DecayTimes(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var fullest = study.Decays.GroupBy(result => (result.Source, result.Setting, result.Microphone)).Select(group => group.ToArray())
            .MaxBy(group => group.Sum(result => result.ThirdOctaves.Count(decay => DecayWords.Best(decay).IsValid)));
        return fullest is not null && fullest.Any(result => result.ThirdOctaves.Any(decay => DecayWords.Best(decay).IsValid)) ? [DecayTimes(study, fullest)] : [];
    }

    private static Figure DecayTimes(Study study, DecayResult[] results)
    {
        var seats = results.Where(result => !result.IsMean).ToArray();
        var whole = results.FirstOrDefault(result => result.Seat == DecayResult.EnsembleSeat) ?? results.FirstOrDefault(result => result.Seat == DecayResult.MeanSeat) ?? seats[0];
        FrequencyBand[] bands = [.. whole.ThirdOctaves.Select(decay => decay.Band)];
        DecayValue At(DecayResult result, FrequencyBand band) => result.ThirdOctaves.FirstOrDefault(decay => decay.Band == band) is { } decay ? DecayWords.Best(decay) : default;
        DecayTimesRow[] rows =
        [
            new("all", whole.IsMean ? $"all {seats.Length} seats" : whole.Seat, "#7f7f7f", "line-ew", [.. bands.Select(band => At(whole, band))]) { IsJoined = true, HasBars = true },
            .. whole.IsMean ? seats.Select(seat => new DecayTimesRow(seat.Seat, seat.Seat, Palette.Colour(Place(study, seat.Seat)), "circle", [.. bands.Select(band => At(seat, band))])) : [],
        ];
        string[] reasons = [.. whole.ThirdOctaves.Select(decay => DecayWords.Best(decay).IsValid ? "" : decay.T20.Reason ?? "")];
        var said = DecayWords.Said(whole.ThirdOctaves);
        var source = whole.Setting == Surveys.Setting.AsFoundId ? whole.Source : $"{whole.Source}, {whole.Setting}";
        return DecayTimesChart.Draw($"{source}: decay time in each third octave", bands, rows, reasons, $"Decay of {source}, {(whole.IsMean ? $"{seats.Length} seats together" : whole.Seat)}. {said}",
            $"{said} T30 where it can be given, else T20.{(whole.IsMean ? " Line: the energies of all seats added up, then read once; marks: each seat." : "")} {DecayWords.HowToRead(reasons)}", "decay.csv");
    }
}

/// <summary>What a figure of decay times says, in sentences.</summary>
internal static class DecayWords
{
    private const int MostNamed = 4;

    public static string Said(IReadOnlyList<BandDecay> decays)
    {
        var given = decays.Where(decay => Best(decay).IsValid).ToArray();
        if (given.Length == 0) return $"No decay time can be given in any of {decays.Count} bands: {decays[0].T20.Reason}.";
        var (longest, shortest) = (given.MaxBy(decay => Best(decay).Value)!, given.MinBy(decay => Best(decay).Value)!);
        var words = FormattableString.Invariant($"Decay times run from {Best(shortest).Value:0.00} s at {Label(shortest)} to {Best(longest).Value:0.00} s at {Label(longest)}.");
        var none = decays.Where(decay => !Best(decay).IsValid).ToArray();
        if (none.Length > 0) words += $" None can be given {Listed(none)}.";
        var curved = given.Where(decay => decay.T30.Reason?.StartsWith("curved", StringComparison.Ordinal) == true).ToArray();
        if (curved.Length > 0) words += $" The decay is curved, so that one number does not describe it, {Listed(curved)}.";
        return words;

        static string Listed(BandDecay[] bands) => bands.Length <= MostNamed ? $"at {string.Join(", ", bands.Select(Label))}" : $"in {bands.Length} bands from {Label(bands[0])} to {Label(bands[^1])}";

        static string Label(BandDecay decay) => PlotText.WithUnit(decay.Band.NominalHz);
    }

    public static string HowToRead(IEnumerable<string> reasons) =>
        "Bars: one standard deviation by the chance of the decay itself." + (reasons.Any(reason => reason.Length > 0) ? " Shaded: neither T20 nor T30 can be given." : "");

    /// <summary>T30 where it can be given, else T20.</summary>
    public static DecayValue Best(BandDecay decay) => decay.T30.IsValid ? decay.T30 : decay.T20;
}
