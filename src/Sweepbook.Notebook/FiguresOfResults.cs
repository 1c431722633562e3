// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Nearfield;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <remarks>One result shown alone: a curve is enough, and the title comes from the result.</remarks>
public static partial class Figures
{
    private const int MostDrawn = 2000;
    private const double DiffractionFromHz = 20, DiffractionToHz = 5000;

    internal static Figure Of(ResponseResult result) => Level(result.Response, Key(result), SeatName(result), "responses.csv", Doubts(result), $"{Key(result)} {At(result)}", AxisFor([result]));

    internal static Figure Of(Response response, string name = "level") =>
        Level(response, "a response", name, Computed, [.. response.Points().Select(point => point.TrustedLevel ? "" : $"Not trusted: {point.LevelReason.Sentence}")], name == "level" ? "Response" : name, null);

    internal static Figure Of(NearfieldSum sum) => Of(sum.Response, string.Join(" and ", sum.Radiators.Select(radiator => radiator.Name)) + (sum.Parts.Count > 1 ? ", summed" : ""));

    internal static Figure Of(DecayResult result) => DecayTimes(result.ThirdOctaves).Titled($"{result.Source}, {(result.IsMean ? $"{result.Places} places together" : result.Seat)}: decay times");

    internal static Figure Of(MicrophoneRange range) => RangeChart.Draw([new(range.Microphone, Palette.Colour(0), range.Band, range.Sentence, null)], range.WithinDb);

    internal static Figure Of(ImpulseResponse response) => ImpulseChart.Draw("Impulse response", [new("response", Palette.Colour(0), response, null)], Computed);

    internal static Figure Of(TimeCurve curve)
    {
        var (ms, values) = Thinned(curve.Count, n => curve.SecondsAt(n) * 1000, n => curve[n]);
        if (ms.Length == 0) throw new ArgumentException("The curve has no point.", nameof(curve));
        var finite = values.Where(double.IsFinite).DefaultIfEmpty(0).ToArray();
        var (at, largest) = (ms[Array.IndexOf(values, values.MaxBy(value => double.IsFinite(value) ? value : double.NegativeInfinity))], finite.Max());
        var bottom = curve.Unit == "dB" ? Math.Max(finite.Min(), largest - 80) : finite.Min();
        var said = FormattableString.Invariant($"Curve over time, largest {largest:0.###}{(curve.Unit.Length > 0 ? $" {curve.Unit}" : "")} at {at:0.0} ms.");
        return TimeChart.Draw("Curve over time", [new("curve", Palette.Colour(0), ms, values)], (ms[0], ms[^1]), "Time (ms)", (bottom - 0.05 * (largest - bottom) - 1e-9, largest + 0.05 * (largest - bottom) + 1e-9),
            curve.Unit.Length > 0 ? $"Value ({curve.Unit})" : "Value (no unit)", "%{x:.2f} ms, %{y:.3~g}", said, said);
    }

    internal static Figure Of(DecayCurve curve)
    {
        var (ms, values) = Thinned(curve.Count, n => curve.SecondsAt(n) * 1000, n => curve[n]);
        if (ms.Length == 0) return new(Charts.Of([], Part(("visible", false)), Part(("visible", false))), "There is no decay curve.", Computed) { Title = "Decay curve", Height = 120 };
        var fit = curve.FitBetween(-5, -25);
        var said = fit.IsEmpty ? FormattableString.Invariant($"Decay curve of {curve.EndSeconds:0.00} s; it does not fall by 25 dB.") : FormattableString.Invariant($"Decay curve of {curve.EndSeconds:0.00} s; from −5 to −25 dB it falls as if 60 dB took {fit.T60Seconds:0.00} s.");
        return TimeChart.Draw("Decay curve", [new("decay curve", Palette.Colour(0), ms, values)], (0, ms[^1]), "Time after the start of the sound (ms)", (Math.Max(-90, values.Where(double.IsFinite).DefaultIfEmpty(-60).Min()), 3), "Energy still to come (dB)", "%{x:.0f} ms, %{y:.1f} dB", said, said, 10);
    }

    internal static Figure Of(LinearityResult result)
    {
        var points = result.Points;
        double[] frequencies = [.. points.Select(point => point.FrequencyHz)];
        var worst = points.Where(point => double.IsFinite(point.ShapeDb)).DefaultIfEmpty().MaxBy(point => Math.Abs(point.ShapeDb));
        var said = FormattableString.Invariant($"{result.Louder.File} beside {result.Softer.File}: {result.MedianCompressionDb:0.0} dB less than the louder drive asks for; the shape changes most at {WithUnit(worst.FrequencyHz)}, by {worst.ShapeDb:0.0} dB.");
        var reach = Math.Ceiling(Math.Max(1.5, points.Select(point => Math.Abs(point.CompressionDb)).Where(double.IsFinite).DefaultIfEmpty(0).Max()));
        return SpectrumChart.Draw("What a louder drive changes", [new("compression", Palette.Colour(0), "solid", [.. points.Select(point => point.CompressionDb)]), new("change of shape", Palette.Colour(1), "dash", [.. points.Select(point => point.ShapeDb)])],
            frequencies, [.. frequencies.Select(_ => "")], (-reach, reach), 1, "Change (dB)", "dB", said, said, Computed);
    }

    internal static Figure Of(CalibrationCurve curve) => Deviation(Path.GetFileName(curve.File), [.. Enumerable.Range(0, curve.Count).Select(k => (curve[k].FrequencyHz, curve[k].LevelDb))]);

    internal static Figure Of(TransferCalibration calibration) =>
        Deviation($"{calibration.Microphone}, calibrated against {calibration.Reference}", [.. Enumerable.Range(0, calibration.Count).Select(k => (calibration[k].FrequencyHz, calibration[k].LevelDb))]);

    internal static Figure Of(FreeFieldSplice splice)
    {
        var (first, last) = (splice.Points[0].Item1, splice.Points[^1].Item1);
        var said = FormattableString.Invariant($"Near field and free field joined over {splice.OverlapOctaves:0.0} octaves, {WithUnit(splice.OverlapFromHz)} to {WithUnit(splice.OverlapToHz)}; there they lay {splice.LevelMismatchDb:0.0} dB apart.");
        return CurveChart.Draw([new() { Name = "joined", Colour = Palette.Colour(2), FrequenciesHz = [.. splice.Points.Select(point => point.Item1)], LevelsDb = [.. splice.Points.Select(point => point.Item2)], Doubts = [.. splice.Points.Select(_ => "")] }],
            "Level (dB)", said, BoxChart.FromFile, said, LogAxis.Around(first, last), "Near field and free field joined");
    }

    internal static Figure Of(BaffleDiffraction front)
    {
        var grid = Quantities.LogGrid.Between(24, DiffractionFromHz, DiffractionToHz).ToArray();
        double[] levels = [.. grid.Select(front.LevelDbAt)];
        var highest = Array.IndexOf(levels, levels.Max());
        var said = FormattableString.Invariant($"What the edges of a front do: {levels[0]:0.0} dB at {WithUnit(grid[0])}, at most {levels[highest]:0.0} dB at {WithUnit(grid[highest])}, beside an endless wall.");
        return SpectrumChart.Draw("What the edges of a front do", [new("front", Palette.Colour(0), "solid", levels)], grid, [.. grid.Select(_ => "")], (-8, Math.Max(4, Math.Ceiling(levels.Max()))), 2, "Level over an endless wall (dB)", "dB", said, said, Computed);
    }

    private static Figure Level(Response response, string of, string name, string fromFile, string[] doubts, string title, LogAxis? axis)
    {
        var band = response.LevelTrust.LongestBand();
        var levels = response.LevelsDb();
        var believed = Enumerable.Range(0, levels.Length).Where(k => response.LevelTrust[k] && double.IsFinite(levels[k])).ToArray();
        var said = band.IsEmpty || believed.Length == 0 ? $"nothing is trusted: {band.LowReason.Sentence}"
            : FormattableString.Invariant($"trusted from {band.Words}; highest at {WithUnit(response.Grid[believed.MaxBy(k => levels[k])])}, {levels[believed.MaxBy(k => levels[k])]:0.0} dB, lowest at {WithUnit(response.Grid[believed.MinBy(k => levels[k])])}, {levels[believed.MinBy(k => levels[k])]:0.0} dB");
        return CurveChart.Draw([new() { Name = name, Colour = Palette.Colour(0), FrequenciesHz = response.Grid.ToArray(), LevelsDb = levels, Doubts = doubts }], LevelTitle(response), $"Level of {of} over frequency, {name}; {said}.", fromFile,
            $"{char.ToUpperInvariant(said[0])}{said[1..]}. Not smoothed; faint where it is not to be believed.", axis, title);
    }

    private static Figure Deviation(string title, IReadOnlyList<(double FrequencyHz, double LevelDb)> points)
    {
        var (lowest, highest) = (points.MinBy(point => point.LevelDb), points.MaxBy(point => point.LevelDb));
        var reach = Math.Ceiling(Math.Max(2, points.Max(point => Math.Abs(point.LevelDb))));
        var said = FormattableString.Invariant($"{points.Count} points from {WithUnit(points[0].FrequencyHz)} to {WithUnit(points[^1].FrequencyHz)}; {highest.LevelDb:+0.0;−0.0;0.0} dB at most, at {WithUnit(highest.FrequencyHz)}, {lowest.LevelDb:+0.0;−0.0;0.0} dB at least, at {WithUnit(lowest.FrequencyHz)}.");
        return SpectrumChart.Draw(title, [new("level", Palette.Colour(0), "solid", [.. points.Select(point => point.LevelDb)])], [.. points.Select(point => point.FrequencyHz)], [.. points.Select(_ => "")], (-reach, reach), reach > 10 ? 5 : 1,
            "Deviation from flat (dB)", "dB", $"Calibration {title}: {said}", said, Computed);
    }

    /// <summary>Of many points every few.</summary>
    private static (double[] X, double[] Y) Thinned(int count, Func<int, double> x, Func<int, double> y)
    {
        var step = 1 + count / MostDrawn;
        int[] kept = [.. Enumerable.Range(0, (count + step - 1) / step).Select(k => k * step)];
        return ([.. kept.Select(x)], [.. kept.Select(y)]);
    }
}
