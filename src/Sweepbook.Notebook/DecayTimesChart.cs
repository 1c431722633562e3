// SPDX-License-Identifier: MIT
using System.Globalization;
using Plotly.NET;
using Sweepbook.Decay;
using Sweepbook.Quantities;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One row of marks: the same figure in every band, of one place or of a mean.</summary>
/// <param name="Group">Key of its legend entry.</param>
/// <param name="Name">What it is, for the legend and on hover.</param>
/// <param name="Colour">Its colour.</param>
/// <param name="Symbol">Its mark.</param>
/// <param name="Values">One value per band.</param>
internal sealed record DecayTimesRow(string Group, string Name, string Colour, string Symbol, IReadOnlyList<DecayValue> Values)
{
    /// <summary>True for a row whose marks are joined.</summary>
    public bool IsJoined { get; init; }

    /// <summary>True for a row whose marks carry their uncertainty.</summary>
    public bool HasBars { get; init; }
}

/// <summary>
/// Decay times over the bands, each with its uncertainty; a band in which nothing can be given is shaded and says why in a word. Bands stand side by side,
/// which is a logarithmic frequency axis, because all are equally wide on it.
/// </summary>
internal static class DecayTimesChart
{
    private const string Shade = "rgba(128,128,128,0.16)";
    private static readonly int[] OctaveStrides = [1, 2, 4], ThirdStrides = [1, 3, 6, 9];
    private const double ShiftBands = 0.13;   // side by side, so that marks of one band do not cover each other

    public static Figure Draw(string title, IReadOnlyList<FrequencyBand> bands, IReadOnlyList<DecayTimesRow> rows, IReadOnlyList<string> reasons, string said, string note, string fromFile)
    {
        var largest = rows.SelectMany(row => row.Values).Where(value => value.IsValid).Select(value => value.Value + (double.IsFinite(value.Uncertainty) ? value.Uncertainty : 0)).DefaultIfEmpty(0).Max();
        var top = largest > 0 ? largest * 1.12 : 1;
        var traces = rows.Select((row, n) => Marks(row, bands, ShiftBands * (n - (rows.Count - 1) / 2.0))).ToList();
        var (shapes, words) = (new List<DynamicObj.DynamicObj>(), new List<DynamicObj.DynamicObj>());
        for (var k = 0; k < bands.Count; k++)
        {
            if (reasons[k].Length == 0) continue;
            shapes.Add(Part(("type", "rect"), ("xref", "x"), ("yref", "paper"), ("x0", bands[k].Index - 0.5), ("x1", bands[k].Index + 0.5), ("y0", 0), ("y1", 1), ("fillcolor", Shade),
                ("line", Part(("width", 0))), ("layer", "below")));
            words.Add(Part(("x", bands[k].Index), ("xref", "x"), ("y", 0.03), ("yref", "paper"), ("yanchor", "bottom"), ("textangle", -90), ("showarrow", false),
                ("text", Encode(reasons[k].Split(' ', ':')[0])), ("hovertext", Encode(reasons[k]))));
        }
        // the page shows every label where there is room, else every so many (figures.js)
        string[] labels = [.. bands.Select(band => band.Label)];
        var xAxis = Part(("range", new[] { bands[0].Index - 0.5, bands[^1].Index + 0.5 }), ("tickmode", "array"), ("tickvals", bands.Select(band => band.Index).ToArray()), ("ticktext", labels),
            ("labels", labels), ("strides", bands[0].BandsPerOctave == 1 ? OctaveStrides : ThirdStrides), ("showgrid", false), ("ticks", "outside"), ("ticklen", 4), ("tickangle", 0),
            ("zeroline", false), ("automargin", false), ("showline", true), ("title", Part(("text", "Band (Hz)"), ("standoff", 8))));
        var yAxis = Part(("range", new[] { 0, top }), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true),
            ("title", Part(("text", "Decay time for 60 dB (s)"), ("standoff", 6))));
        return new(Charts.Of(traces, xAxis, yAxis, ("shapes", shapes), ("annotations", words)), said, fromFile)
        {
            Title = title,
            Note = note,
            Height = 400,
            Legend = [.. rows.Select(row => new LegendEntry(row.Group, row.Name, row.Colour, "solid"))],
        };
    }

    private static Trace Marks(DecayTimesRow row, IReadOnlyList<FrequencyBand> bands, double shift)
    {
        var given = Enumerable.Range(0, bands.Count).Where(k => row.Values[k].IsValid).ToArray();
        var around = given.Select(k => row.Values[k].Uncertainty).Select(value => double.IsFinite(value) ? Math.Round(value, 4) : 0).ToArray();
        return Charts.Scatter(row.IsJoined ? "lines+markers" : "markers", Rounded([.. given.Select(k => bands[k].Index + shift)]), Rounded([.. given.Select(k => row.Values[k].Value)]),
            ("name", Encode(row.Name)), ("legendgroup", row.Group), ("line", Charts.Line(row.Colour, 1.4)), ("marker", Part(("color", row.Colour), ("size", 9), ("symbol", row.Symbol))),
            ("error_y", Part(("type", "data"), ("array", around), ("thickness", 1.2), ("width", 3), ("color", row.Colour), ("visible", row.HasBars))),
            ("hovertext", given.Select(k => Encode(Hover(row, bands[k], row.Values[k]))).ToArray()), ("hovertemplate", "%{hovertext}<extra></extra>"));
    }

    private static string Hover(DecayTimesRow row, FrequencyBand band, DecayValue value) => string.Create(CultureInfo.InvariantCulture,
        $"{row.Name}, {band.Label} Hz: {value.Value:0.000} s ± {value.Uncertainty:0.000} s{(string.IsNullOrEmpty(value.Reason) ? "" : $"; {value.Reason}")}");
}
