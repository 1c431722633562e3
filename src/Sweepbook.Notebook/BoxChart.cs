// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Nearfield;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>Cones and ports of a box close up: levels with their sum, and the phase between the two.</summary>
internal static class BoxChart
{
    internal const string FromFile = "nearfield.csv";
    internal const string Faint = "Faint: not to be believed; the file gives the reason for each frequency.";
    private const string Tuning = "tuning", Limit = "upper limit", Grey = "uncertainty";
    private const string Band = "rgba(127,127,127,0.28)";
    private const double AboveLimit = 1.3, BelowBand = 1.2;   // so that the faint ends of the curves are seen
    private const double PhaseFromDegrees = -45, PhaseToDegrees = 225;   // 180° lies inside, so that opposite phase does not jump from edge to edge

    public static bool HasPort(BoxResult box) => box.Sum.Radiators.Any(radiator => radiator.Kind != RadiatorKind.Cone);

    public static Figure Sum(BoxResult box)
    {
        var sum = box.Sum;
        var isOne = sum.Parts.Count == 1;
        Curve[] curves =
        [
            .. isOne ? [] : sum.Parts.Select((part, n) => Of(sum.Radiators[n].Name + (n == 0 ? "" : ", scaled"), Palette.Colour(n), Palette.DashOf(n + 1), part)),
            Of(isOne ? sum.Radiators[0].Name : "sum", Palette.Colour(isOne ? 0 : sum.Parts.Count), "solid", sum.Response),
        ];
        var said = Said(box);
        return CurveChart.Draw(curves, LevelTitle(sum.Response), $"Levels close to {Listed(box)} of {box.Id}{(isOne ? "" : " and their sum")}. {said}", FromFile,
            $"{said} Grey band: how far the sum may be off (coverage factor 2): {Uncertainty(sum)}. {(isOne ? "" : "On the scale of the first cone close up: a port counts by the root of its area over the cone's. ")}Not smoothed. {Faint}",
            AxisOf(box), $"{Named(box)}: {(isOne ? "what it radiates" : "its parts and their sum")}", scale => [.. Bands(sum, scale), .. Marks(box).Select((mark, n) => Charts.Upright(mark.Name, mark.FrequencyHz, scale.BottomDb, scale.TopDb, n))],
            [.. Marks(box).Select((mark, n) => Charts.UprightEntry(mark.Name, n)), new(Grey, Grey + " of the sum", "#b5b5b5", "solid")]);
    }

    public static Figure Refused(BoxResult box)
    {
        var said = $"{Listed(box)} of {box.Id} are not added. {box.WhyNoSum}";
        return CurveChart.Draw([.. box.Responses.Select((result, n) => Of(result.Source, Palette.Colour(n), Palette.DashOf(n + 1), result.Response))], LevelTitle(box.Responses[0].Response),
            $"Levels close to {Listed(box)} of {box.Id}, as measured. {said}", "responses.csv", $"As measured, neither scaled nor added: {said} Not smoothed. {Faint}",
            AxisOf(box.Responses), $"{Named(box)}: not added");
    }

    public static Figure Phase(BoxResult box)
    {
        var sum = box.Sum;
        var (values, doubts) = (new double[sum.Response.Count], new string[sum.Response.Count]);
        for (var k = 0; k < values.Length; k++)
        {
            var (motor, driven) = (Total(sum, k, true), Total(sum, k, false));
            var degrees = (driven / motor).Phase * (180 / Math.PI);
            values[k] = degrees < PhaseFromDegrees ? degrees + 360 : degrees;
            var reason = sum.Parts.Select(part => part[k].PhaseReason).FirstOrDefault(reason => reason.Doubt != Doubt.None);
            doubts[k] = reason.Doubt == Doubt.None ? "" : $"Not trusted: {reason.Sentence}";
        }
        for (var k = values.Length - 1; k > 0; k--) if (Math.Abs(values[k] - values[k - 1]) > 180) values[k] = double.NaN;   // no line from edge to edge
        var said = PhaseSaid(sum, box.Id);
        return SpectrumChart.Draw($"{Named(box)}: phase of the port over the cone", [new("port over cone", Palette.Colour(0), "solid", values)], sum.Response.Grid.ToArray(), doubts, (PhaseFromDegrees, PhaseToDegrees), 45, "Phase (°)", "°",
            said, $"{said} Below the tuning the air goes in at the port while the cone moves out, so the two cancel. {Faint}", FromFile, Marks(box), AxisOf(box));
    }

    /// <summary>"cone and port".</summary>
    internal static string Listed(BoxResult box)
    {
        var names = box.Responses.Select(result => result.Source).ToArray();
        return names.Length == 1 ? names[0] : $"{string.Join(", ", names[..^1])} and {names[^1]}";
    }

    internal static string Named(BoxResult box)
    {
        var first = box.Responses[0];
        return $"{box.Id}{(first.Setting == Surveys.Setting.AsFoundId ? "" : ", " + first.Setting)}, close up with {first.Microphone}";
    }

    internal static Curve Of(string name, string colour, string dash, Response response) => new()
    {
        Name = name,
        Colour = colour,
        Dash = dash,
        FrequenciesHz = response.Grid.ToArray(),
        LevelsDb = response.LevelsDb(),
        Doubts = [.. response.Points().Select(point => point.TrustedLevel ? "" : $"Not trusted: {point.LevelReason.Sentence}")],
    };

    private static System.Numerics.Complex Total(NearfieldSum sum, int k, bool isMotor)
    {
        var total = System.Numerics.Complex.Zero;
        for (var n = 0; n < sum.Parts.Count; n++) if (sum.Radiators[n].Kind == RadiatorKind.Cone == isMotor) total += sum.Parts[n][k].Value;
        return total;
    }

    private static LogAxis AxisOf(BoxResult box)
    {
        var grid = box.Sum.Response.Grid;
        var bands = box.Sum.Parts.Select(part => part.LevelTrust.LongestBand()).Where(band => !band.IsEmpty).ToArray();
        var from = bands.Length == 0 ? grid[0] : Math.Max(grid[0], bands.Min(band => band.FromHz) / BelowBand);
        return LogAxis.Around(from, Math.Max(from * 10, Math.Min(grid[grid.Count - 1], box.Sum.ConeLimit.FrequencyHz * AboveLimit)));
    }

    private static LogAxis? AxisOf(IReadOnlyList<ResponseResult> results)
    {
        var bands = results.Select(result => result.LevelBand).Where(band => !band.IsEmpty).ToArray();
        return bands.Length == 0 ? null : LogAxis.Around(bands.Min(band => band.FromHz) / BelowBand, bands.Max(band => band.ToHz));
    }

    private static IReadOnlyList<(string Name, double FrequencyHz)> Marks(BoxResult box) =>
        [.. new[] { (Tuning, box.Sum.TuningHz), (Limit, box.UpperLimitHz) }.Where(mark => double.IsFinite(mark.Item2))];

    private static string Said(BoxResult box)
    {
        var (sum, band) = (box.Sum, box.Sum.Response.LevelTrust.LongestBand());
        var tuned = double.IsNaN(sum.TuningHz) ? "" : FormattableString.Invariant($"The box is tuned to {sum.TuningHz:0.0} Hz{(double.IsNaN(sum.SlopeDbPerOctave) ? "" : FormattableString.Invariant($", and below it the sum falls by {sum.SlopeDbPerOctave:0.0} dB per octave"))}. ");
        return tuned + (band.IsEmpty ? $"Nowhere may the sum be believed: {band.LowReason.Sentence}." : $"The sum tells the far field from {band.Words}; {sum.Limit.Reason}.");
    }

    /// <summary>Where the sum is surest and where it is least sure.</summary>
    private static string Uncertainty(NearfieldSum sum)
    {
        var trusted = Enumerable.Range(0, sum.Response.Count).Where(k => sum.Response.LevelTrust[k]).ToArray();
        if (trusted.Length == 0) return "more than may be believed";
        var (least, most) = (trusted.MinBy(k => sum.UncertaintyDb[k]), trusted.MaxBy(k => sum.UncertaintyDb[k]));
        return FormattableString.Invariant($"± {sum.UncertaintyDb[least]:0.0} dB at {WithUnit(sum.Response.Grid[least])}, ± {sum.UncertaintyDb[most]:0.0} dB at {WithUnit(sum.Response.Grid[most])}");
    }

    private static string PhaseSaid(NearfieldSum sum, string box)
    {
        if (double.IsNaN(sum.TuningHz)) return $"Phase of the port of {box} over its cone; {sum.Check.WhyNot}.";
        string At(double ratio) => FormattableString.Invariant($"{Math.Abs(sum.PhaseBetweenDegreesAt(Math.Max(sum.Response.Grid[0], ratio * sum.TuningHz))):0}°");
        return FormattableString.Invariant($"Port and cone of {box} are {At(0.5)} apart an octave below the tuning of {sum.TuningHz:0.0} Hz, {At(1)} at it and {At(2)} an octave above.").Replace("NaN°", "an unknown angle", StringComparison.Ordinal);
    }

    /// <summary>One closed shape per stretch in which nothing but cancelling keeps the sum from being believed, cut at the frame.</summary>
    private static IEnumerable<Trace> Bands(NearfieldSum sum, LevelScale scale)
    {
        var limit = sum.Limit.FrequencyHz;
        bool IsShown(int k) => sum.Response.Grid[k] <= limit && double.IsFinite(sum.UncertaintyDb[k]) && sum.Response[k].LevelReason.Doubt is Doubt.None or Doubt.NearField;
        for (var k = 0; k < sum.Response.Count; k++)
        {
            if (!IsShown(k)) continue;
            var first = k;
            while (k + 1 < sum.Response.Count && IsShown(k + 1)) k++;
            int[] run = [.. Enumerable.Range(first, k + 1 - first)];
            double Edge(int at, int sign) => Math.Round(Math.Clamp(sum.Response[at].LevelDb + sign * sum.UncertaintyDb[at], scale.BottomDb, scale.TopDb), 2);
            double[] x = [.. run.Select(at => sum.Response.Grid[at]), .. run.Reverse().Select(at => sum.Response.Grid[at])];
            double[] y = [.. run.Select(at => Edge(at, 1)), .. run.Reverse().Select(at => Edge(at, -1))];
            yield return Charts.Scatter("lines", Rounded(x), Rounded(y), ("fill", "toself"), ("fillcolor", Band), ("line", Charts.Line(Band, 0)), ("name", Grey), ("legendgroup", Grey), ("hoverinfo", "skip"));
        }
    }
}
