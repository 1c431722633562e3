// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Notebook;
using static System.FormattableString;

namespace Sweepbook.Cli;

/// <summary>One curve of the quick look: strong where its level may be believed, faint elsewhere.</summary>
internal sealed record LookCurve(string Name, IReadOnlyList<double> FrequenciesHz, IReadOnlyList<double> LevelsDb, IReadOnlyList<bool> Trusted);

/// <summary>Level over frequency as a picture of plain lines, in the same proportions and colours as the report's figures, without a chart library.</summary>
internal static class LookDrawing
{
    private const int Width = 860;
    private const int Left = 56;
    private const int Right = 30;   // half of the last tick's words
    private const int Top = 12;
    private const int Bottom = 46;
    private const double PlotWidth = Width - Left - Right;

    /// <summary>The drawing as an SVG element; <paramref name="levels"/> says on the axis what 0 dB means.</summary>
    public static string Svg(IReadOnlyList<LookCurve> curves, string description, string levels = "relative")
    {
        var axis = AxisOf(curves);
        var scale = ScaleOf(curves, axis);
        var plotHeight = PlotWidth / axis.Decades * scale.SpanDb / scale.DecadeDb;   // a decade is as long as so many decibels
        var svg = new StringBuilder(Invariant($"<svg viewBox=\"0 0 {Width} {plotHeight + Top + Bottom:0.#}\" role=\"img\" aria-label=\"{PlotText.Html(description)}\">\n"));
        double X(double frequencyHz) => Left + Math.Log10(frequencyHz / axis.FromHz) / axis.Decades * PlotWidth;
        double Y(double levelDb) => Top + (scale.TopDb - levelDb) / scale.SpanDb * plotHeight;

        svg.Append(Invariant($"<clipPath id=\"plot\"><rect x=\"{Left}\" y=\"{Top}\" width=\"{PlotWidth}\" height=\"{plotHeight:0.#}\"/></clipPath>\n"));
        foreach (var tick in axis.TicksHz)
        {
            svg.Append(Invariant($"<line class=\"grid\" x1=\"{X(tick):0.#}\" x2=\"{X(tick):0.#}\" y1=\"{Top}\" y2=\"{Top + plotHeight:0.#}\"/>"));
            svg.Append(Invariant($"<text x=\"{X(tick):0.#}\" y=\"{Top + plotHeight + 17:0.#}\" text-anchor=\"middle\">{tick.ToString("0.###", CultureInfo.InvariantCulture)}</text>\n"));
        }
        for (var level = scale.BottomDb; level <= scale.TopDb; level += 10)
        {
            svg.Append(Invariant($"<line class=\"grid\" x1=\"{Left}\" x2=\"{Width - Right}\" y1=\"{Y(level):0.#}\" y2=\"{Y(level):0.#}\"/>"));
            svg.Append(Invariant($"<text x=\"{Left - 7}\" y=\"{Y(level) + 4:0.#}\" text-anchor=\"end\">{Signed(level)}</text>\n"));
        }
        svg.Append(Invariant($"<text x=\"{Left + PlotWidth / 2:0.#}\" y=\"{Top + plotHeight + 38:0.#}\" text-anchor=\"middle\">Frequency (Hz)</text>\n"));
        svg.Append(Invariant($"<text transform=\"translate(14 {Top + plotHeight / 2:0.#}) rotate(-90)\" text-anchor=\"middle\">Level (dB{(levels.StartsWith("re ", StringComparison.Ordinal) ? " " : ", ")}{PlotText.Html(levels)})</text>\n"));

        svg.Append("<g clip-path=\"url(#plot)\">\n");
        foreach (var (place, curve) in curves.Index())
        {
            var look = Invariant($"stroke=\"{Palette.Colour(place)}\" stroke-dasharray=\"{DashArray(Palette.Dash(place))}\"");
            svg.Append($"<path class=\"faint\" {look} d=\"{Path(curve, _ => true, axis, X, Y)}\"/>\n");
            svg.Append($"<path class=\"believed\" {look} d=\"{Path(curve, k => curve.Trusted[k], axis, X, Y)}\"><title>{PlotText.Html(curve.Name)}</title></path>\n");
        }
        return svg.Append("</g>\n</svg>\n").ToString();
    }

    /// <summary>The line of one curve, for the legend.</summary>
    public static string Swatch(int place) =>
        $"<svg class=\"swatch\" viewBox=\"0 0 34 8\" aria-hidden=\"true\"><path class=\"believed\" stroke=\"{Palette.Colour(place)}\" stroke-dasharray=\"{DashArray(Palette.Dash(place))}\" d=\"M1 4H33\"/></svg>";

    private static LogAxis AxisOf(IReadOnlyList<LookCurve> curves)
    {
        var believed = curves.SelectMany(curve => curve.FrequenciesHz.Where((_, k) => curve.Trusted[k])).ToList();
        return believed.Count > 0
            ? LogAxis.Around(Math.Min(20, believed.Min()), Math.Max(200, believed.Max()))
            : LogAxis.Around(curves.Min(curve => curve.FrequenciesHz[0]), curves.Max(curve => curve.FrequenciesHz[^1]));
    }

    private static LevelScale ScaleOf(IReadOnlyList<LookCurve> curves, LogAxis axis)
    {
        List<double> Levels(Func<LookCurve, int, bool> wanted) => [.. curves.SelectMany(curve => curve.LevelsDb.Where((level, k) =>
            double.IsFinite(level) && wanted(curve, k) && curve.FrequenciesHz[k] >= axis.FromHz && curve.FrequenciesHz[k] <= axis.ToHz))];
        var levels = Levels((curve, k) => curve.Trusted[k]);
        if (levels.Count == 0) levels = Levels((_, _) => true);
        return LevelScale.Around(levels.DefaultIfEmpty(double.NaN).Min(), levels.DefaultIfEmpty(double.NaN).Max(), axis);
    }

    private static string Path(LookCurve curve, Func<int, bool> wanted, LogAxis axis, Func<double, double> x, Func<double, double> y)
    {
        var path = new StringBuilder();
        var isDown = false;
        for (var k = 0; k < curve.FrequenciesHz.Count; k++)
        {
            var isWanted = wanted(k) && double.IsFinite(curve.LevelsDb[k]) && curve.FrequenciesHz[k] >= axis.FromHz && curve.FrequenciesHz[k] <= axis.ToHz;
            if (isWanted) path.Append(Invariant($"{(isDown ? 'L' : 'M')}{x(curve.FrequenciesHz[k]):0.#} {y(curve.LevelsDb[k]):0.#}"));
            isDown = isWanted;
        }
        return path.ToString();
    }

    private static string Signed(double levelDb) => (levelDb < 0 ? "\u2212" : "") + Math.Abs(levelDb).ToString("0", CultureInfo.InvariantCulture);

    private static string DashArray(string dash) => dash switch { "dash" => "8 4", "dot" => "2 3", "dashdot" => "8 3 2 3", "longdash" => "14 5", _ => "none" };
}
