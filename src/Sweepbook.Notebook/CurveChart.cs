// SPDX-License-Identifier: MIT
using Plotly.NET;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One level curve over frequency: strong where trusted, faint elsewhere with the reason on hover.</summary>
internal sealed class Curve
{
    public required string Name { get; init; }

    public required string Colour { get; init; }

    public string Dash { get; init; } = "solid";

    public required IReadOnlyList<double> FrequenciesHz { get; init; }

    public required IReadOnlyList<double> LevelsDb { get; init; }

    /// <summary>Per point: why it is drawn faint, as a sentence; empty where it is trusted.</summary>
    public required IReadOnlyList<string> Doubts { get; init; }
}

/// <summary>Level curves over a logarithmic frequency axis in standard proportions; bands and marks may lie behind them.</summary>
internal static class CurveChart
{
    private const string Hover = "%{x:.4~g} Hz, %{y:.1f} dB";

    public static Figure Draw(IReadOnlyList<Curve> curves, string levelTitle, string alternative, string fromFile, string note, LogAxis? axis = null, string title = "",
        Func<LevelScale, IEnumerable<Trace>>? behind = null, params IReadOnlyList<LegendEntry> more)
    {
        axis ??= LogAxis.Around(curves.Min(c => c.FrequenciesHz[0]), curves.Max(c => c.FrequenciesHz[^1]));
        var (lowest, highest) = TrustedRange(curves, axis);
        var scale = LevelScale.Around(lowest, highest, axis);
        var chart = Charts.Of([.. behind?.Invoke(scale) ?? [], .. curves.SelectMany(curve => Traces(curve, axis))], axis.ToPart("Frequency (Hz)"), scale.ToPart(levelTitle));
        return new(chart, alternative, fromFile)
        {
            Axis = axis,
            Scale = scale,
            Title = title,
            Note = note,
            Legend = [.. curves.Select(c => new LegendEntry(c.Name, c.Name, c.Colour, c.Dash)), .. more],
        };
    }

    private static (double Lowest, double Highest) TrustedRange(IReadOnlyList<Curve> curves, LogAxis axis)
    {
        var (lowest, highest) = (double.PositiveInfinity, double.NegativeInfinity);
        foreach (var wanted in new[] { true, false })
        {
            foreach (var curve in curves)
            {
                for (var k = 0; k < curve.LevelsDb.Count; k++)
                {
                    var inside = curve.FrequenciesHz[k] >= axis.FromHz && curve.FrequenciesHz[k] <= axis.ToHz;
                    if (!inside || !double.IsFinite(curve.LevelsDb[k]) || (wanted && curve.Doubts[k].Length > 0)) continue;
                    (lowest, highest) = (Math.Min(lowest, curve.LevelsDb[k]), Math.Max(highest, curve.LevelsDb[k]));
                }
            }
            if (lowest <= highest) break;   // nothing trusted at all: show the rest
        }
        return (lowest, highest);
    }

    private static IEnumerable<Trace> Traces(Curve curve, LogAxis axis)
    {
        var inside = Enumerable.Range(0, curve.LevelsDb.Count)
            .Where(k => curve.FrequenciesHz[k] >= axis.FromHz && curve.FrequenciesHz[k] <= axis.ToHz).ToArray();
        bool Trusted(int k) => curve.Doubts[k].Length == 0;
        if (Part(curve, inside, Trusted) is { } believed)
            yield return Charts.Scatter("lines", believed.X, believed.Y, ("name", Encode(curve.Name)), ("legendgroup", curve.Name),
                ("line", Charts.Line(curve.Colour, 2, curve.Dash)), ("connectgaps", false), ("hovertemplate", Hover));
        // the faint line reaches one point into the trusted part, so that the two meet
        if (Part(curve, inside, k => !Trusted(k) || (k > 0 && !Trusted(k - 1)) || (k + 1 < curve.Doubts.Count && !Trusted(k + 1))) is { } doubted)
            yield return Charts.Scatter("lines", doubted.X, doubted.Y, ("name", Encode(curve.Name)), ("legendgroup", curve.Name),
                ("line", Charts.Line(curve.Colour, 1.2, curve.Dash)), ("opacity", 0.35), ("connectgaps", false),
                ("text", doubted.Reasons), ("hovertemplate", Hover + "<br>%{text}"));
    }

    private static (object X, object Y, string?[] Reasons)? Part(Curve curve, int[] inside, Func<int, bool> belongs)
    {
        var kept = new List<int>();   // -1 stands for a gap
        foreach (var k in inside)
        {
            if (belongs(k)) kept.Add(k);
            else if (kept.Count > 0 && kept[^1] >= 0) kept.Add(-1);
        }
        if (!kept.Any(k => k >= 0 && double.IsFinite(curve.LevelsDb[k]))) return null;
        return (Rounded([.. kept.Select(k => k < 0 ? double.NaN : curve.FrequenciesHz[k])]),
            Rounded([.. kept.Select(k => k < 0 ? double.NaN : Math.Round(curve.LevelsDb[k], 2))]),
            [.. kept.Select(k => k < 0 ? null : Encode(curve.Doubts[k].Length > 0 ? curve.Doubts[k] : "Trusted"))]);
    }
}
