// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private const string Computed = "none, the numbers were computed in this notebook";
    private const int SnrSmoothing = 3;   // the noise is known no finer than in thirds of an octave

    /// <summary>The frequency of a sweep over time, with what its harmonics are meanwhile and how far they run ahead.</summary>
    /// <param name="sweep">The sweep.</param>
    /// <returns>One figure; the harmonics up to the fifth, as far as the sample rate can hold them.</returns>
    /// <remarks>The lines are the law of the sweep, not a recording: see <see cref="SweepDesign"/>, also for the source.</remarks>
    public static Figure Sweep(SweepDesign sweep)
    {
        ArgumentNullException.ThrowIfNull(sweep);
        return SweepChart.Draw(sweep, Computed);
    }

    /// <summary>Signal over noise of one response, as it was measured and as other sweeps at the same place would give it.</summary>
    /// <param name="result">The response.</param>
    /// <param name="played">The sweep it was measured with.</param>
    /// <param name="others">The other sweeps.</param>
    /// <returns>One figure with a curve for each sweep, smoothed over a third of an octave; faint where the measured level is not trusted.</returns>
    /// <remarks>What others would give is the prediction of <see cref="SweepDesign.SnrGainDbOver"/>: it holds for steady noise. Own manner.</remarks>
    public static Figure SignalOverNoise(ResponseResult result, SweepDesign played, params IReadOnlyList<SweepDesign> others)
    {
        ArgumentNullException.ThrowIfNull(result);
        ArgumentNullException.ThrowIfNull(played);
        var (points, levels) = (result.Response.Points().ToArray(), result.Response.SmoothedLevelsDb(SnrSmoothing));
        var measured = points.Select((point, k) => Over(Decibels.ToPowerRatio(levels[k]), point.NoisePowerRatio)).ToArray();
        Curve[] curves = [.. others.Prepend(played).Select((sweep, place) => new Curve
        {
            Name = $"{(sweep.ToString() == played.Lasting(sweep.Seconds).ToString() ? FormattableString.Invariant($"{sweep.Seconds:0.###} s") : sweep)}, {(place == 0 ? "as measured" : "as predicted")}",
            Colour = Palette.Colour(place),
            Dash = Palette.DashOf(place),
            FrequenciesHz = [.. points.Select(point => point.FrequencyHz)],
            LevelsDb = [.. points.Select((point, k) => measured[k] + (place == 0 ? 0 : sweep.SnrGainDbOver(played, point.FrequencyHz)))],
            Doubts = [.. points.Select(point => point.TrustedLevel ? "" : point.LevelReason.Sentence)],
        })];
        var said = $"{Key(result)} at {result.Seat}: signal over noise";
        return CurveChart.Draw(curves, "Over noise (dB)", $"{said}, with {curves.Length} {(curves.Length == 1 ? "sweep" : "sweeps")}: {string.Join("; ", curves.Select(curve => $"{curve.Name}{MedianOf(curve)}"))}.", "responses.csv", "Smoothed over a third of an octave. The predictions hold for steady noise and the same level played.", LogAxis.Around(played.Description.StartHz, played.Description.EndHz), $"{said}, measured with the {played}");
    }

    /// <summary>How long a level may be heard in a day, over the level.</summary>
    /// <returns>One figure.</returns>
    /// <remarks>Misleads in the bass: see <see cref="Exposure"/>, which also names the source.</remarks>
    public static Figure AllowedExposure() => ExposureChart.Draw(Computed);

    /// <summary>", median 45 dB", of what is trusted.</summary>
    private static string MedianOf(Curve curve)
    {
        double[] trusted = [.. curve.LevelsDb.Where((level, k) => double.IsFinite(level) && curve.Doubts[k].Length == 0).Order()];
        return trusted.Length == 0 ? "" : FormattableString.Invariant($", median {trusted[trusted.Length / 2]:0;−0} dB");
    }

    private static double Over(double powerRatio, double noiseRatio) => noiseRatio > 0 && powerRatio > noiseRatio ? Decibels.FromPower(powerRatio / noiseRatio - 1) : double.NaN;
}
