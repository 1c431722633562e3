// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>Figures of phase and delay over frequency.</summary>
internal static class PhaseFigures
{
    private const string Quiet = "#7f7f7f";
    private const double UsualPart = 0.02;   // of the values at either end may leave the axis: the spikes that dips make
    private const double LeastSpanMs = 0.5;
    private const double WildFromHz = 1000, LongSeconds = 0.05;

    public static Figure Delay(ResponseResult result, string colour)
    {
        if (Seen(result) is not { } seen) return Nothing(result, "group delay");
        var (delays, excess) = (seen.Parts.GroupDelaysMs(), seen.Parts.ExcessDelaysMs());
        var trusted = delays.Concat(excess).Where((value, k) => double.IsFinite(value) && seen.Doubts[k % delays.Length].Length == 0).Order().ToArray();
        var (lowest, highest) = (trusted[(int)(UsualPart * (trusted.Length - 1))], trusted[(int)((1 - UsualPart) * (trusted.Length - 1))]);
        var (middle, half) = ((lowest + highest) / 2, Math.Max(LeastSpanMs, highest - lowest) * 0.65);
        var outside = trusted.Any(value => Math.Abs(value - middle) > half);
        var common = FormattableString.Invariant($"{seen.DelaySeconds * 1000:0.00} ms");
        return SpectrumChart.Draw($"{ViewFigures.Key(result)} {ViewFigures.At(result)}: group delay",
            [new("group delay", colour, "solid", delays), new("beyond minimum phase", Palette.Colour(colour == Palette.Colour(1) ? 0 : 1), "dash", excess)], seen.Parts.Grid.ToArray(), seen.Doubts, (middle - half, middle + half), 0, "Group delay (ms)", "ms",
            $"Group delay of {ViewFigures.Key(result)} {ViewFigures.At(result)}, trusted from {result.PhaseBand.Words}; the median beyond minimum phase is {common}.",
            $"Milliseconds after the stimulus left. Where the dashed line is flat, the response is minimum phase and merely late; its median is {common}. Faint: not to be believed.{(outside ? " Spikes that leave the axis belong to dips." : "")}{Advice(result)}");
    }

    public static Figure Phase(ResponseResult result, string colour)
    {
        if (Seen(result) is not { } seen) return Nothing(result, "phase");
        var minimum = seen.Parts.MinimumPhasesDegrees();
        double[] excess = [.. seen.Parts.ExcessPhasesDegrees().Select((degrees, k) => degrees + 360 * seen.Parts.Grid[k] * seen.DelaySeconds)];
        var common = FormattableString.Invariant($"{seen.DelaySeconds * 1000:0.00} ms");
        return SpectrumChart.Draw($"{ViewFigures.Key(result)} {ViewFigures.At(result)}: phase",
            [
                new("phase", Quiet, "dot", SpectrumChart.Wrapped([.. minimum.Zip(excess, (one, other) => one + other)])), new("minimum phase", colour, "solid", SpectrumChart.Wrapped(minimum)),
                new("excess phase", Palette.Colour(colour == Palette.Colour(1) ? 0 : 1), "dash", SpectrumChart.Wrapped(excess)),
            ], seen.Parts.Grid.ToArray(), seen.Doubts, (-180, 180), 90, "Phase (°)", "°",
            $"Phase of {ViewFigures.Key(result)} {ViewFigures.At(result)} without a delay of {common}, with its minimum and its excess part, trusted from {result.PhaseBand.Words}.",
            $"A delay of {common}, the median beyond minimum phase, is taken off. Minimum phase follows from the level and is mended with it; excess phase is not. Faint: not to be believed.{Advice(result)}");
    }

    /// <summary>The parts over the band of trusted level, with the doubts of the phase; null where less than an octave of the phase is trusted.</summary>
    private static (PhaseParts Parts, double DelaySeconds, string[] Doubts)? Seen(ResponseResult result)
    {
        ArgumentNullException.ThrowIfNull(result);
        if (result.PhaseParts() is not { } trusted) return null;   // refuses where the time zero is not known
        var parts = result.ImpulseResponse.PhaseParts(Math.Min(result.LevelBand.FromHz, result.PhaseBand.FromHz), Math.Max(result.LevelBand.ToHz, result.PhaseBand.ToHz));
        var reasons = result.Response.Points().ToDictionary(point => (int)Math.Round(parts.Grid.PointsPerOctave * Math.Log2(point.FrequencyHz)), point => point.TrustedPhase ? "" : $"Not trusted: {point.PhaseReason.Sentence}");
        return (parts, trusted.CommonDelaySeconds, [.. parts.Grid.ToArray().Select(frequencyHz => reasons[(int)Math.Round(parts.Grid.PointsPerOctave * Math.Log2(frequencyHz))])]);
    }

    private static string Advice(ResponseResult result) => result.PhaseBand.ToHz > WildFromHz && result.Window.RightSeconds > LongSeconds
        ? " With all reflections in it the curve is wild at the top: for the source itself, look at it through a short window." : "";

    private static Figure Nothing(ResponseResult result, string what)
    {
        var why = result.PhaseBand.IsEmpty ? result.PhaseBand.LowReason.Sentence : $"trusted only from {result.PhaseBand.Words}, less than an octave";
        return new(Charts.Of([], Part(("visible", false)), Part(("visible", false))), $"No {what} of {ViewFigures.Key(result)} {ViewFigures.At(result)} can be shown: {why}.", "responses.csv")
        {
            Title = $"{ViewFigures.Key(result)} {ViewFigures.At(result)}: {what}",
            Note = $"Nothing is drawn: {why}.",
            Height = 120,
        };
    }
}
