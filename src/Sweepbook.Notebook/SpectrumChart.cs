// SPDX-License-Identifier: MIT
using Plotly.NET;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One line over frequency that is no level: strong where it is trusted, faint elsewhere.</summary>
internal sealed record SpectrumLine(string Name, string Colour, string Dash, double[] Values);

/// <summary>Phases and delays over a logarithmic frequency axis.</summary>
internal static class SpectrumChart
{
    /// <param name="title">Title.</param>
    /// <param name="lines">Lines with one value per frequency; NaN is a gap.</param>
    /// <param name="frequenciesHz">Frequencies in hertz.</param>
    /// <param name="doubts">Per frequency: why it is not trusted; empty where it is.</param>
    /// <param name="range">Value axis.</param>
    /// <param name="tick">Distance of its ticks; 0 leaves them to the chart.</param>
    /// <param name="valueTitle">Its title with the unit.</param>
    /// <param name="unit">Unit on hover.</param>
    /// <param name="alternative">What it shows.</param>
    /// <param name="note">How to read it.</param>
    /// <param name="fromFile">The table that holds the numbers.</param>
    /// <param name="marks">Frequencies to mark with an upright line, each with its name.</param>
    /// <param name="shown">The frequency axis; without it all of the frequencies.</param>
    public static Figure Draw(string title, IReadOnlyList<SpectrumLine> lines, double[] frequenciesHz, string[] doubts, (double From, double To) range, double tick, string valueTitle, string unit, string alternative, string note,
        string fromFile = "responses.csv", IReadOnlyList<(string Name, double FrequencyHz)>? marks = null, LogAxis? shown = null)
    {
        var axis = shown ?? LogAxis.Around(frequenciesHz[0], frequenciesHz[^1]);
        var yAxis = Part(("range", new[] { range.From, range.To }), ("ticks", "outside"), ("ticklen", 4), ("zeroline", true), ("zerolinewidth", 1), ("automargin", false), ("showline", true),
            ("title", Part(("text", valueTitle), ("standoff", 6))));
        if (tick > 0) yAxis.SetProperty("dtick", tick);
        var hover = "%{x:.4~g} Hz, %{y:.4~g} " + unit;
        return new(Charts.Of([.. (marks ?? []).Select((mark, n) => Charts.Upright(mark.Name, mark.FrequencyHz, range.From, range.To, n)), .. lines.SelectMany(Traces)], axis.ToPart("Frequency (Hz)"), yAxis), alternative, fromFile)
        {
            Title = title,
            Note = note,
            Height = 360,
            Legend = [.. lines.Select(line => new LegendEntry(line.Name, line.Name, line.Colour, line.Dash)), .. (marks ?? []).Select((mark, n) => Charts.UprightEntry(mark.Name, n))],
        };

        IEnumerable<Trace> Traces(SpectrumLine line)
        {
            var trusted = line.Values.Select((value, k) => doubts[k].Length == 0 ? value : double.NaN).ToArray();
            // the faint line reaches one point into the trusted part, so that the two meet
            var doubted = line.Values.Select((value, k) => doubts[k].Length > 0 || (k > 0 && doubts[k - 1].Length > 0) || (k + 1 < doubts.Length && doubts[k + 1].Length > 0) ? value : double.NaN).ToArray();
            if (trusted.Any(double.IsFinite)) yield return Line(line, trusted, 1.9, 1, hover);
            if (doubted.Any(double.IsFinite)) yield return Line(line, doubted, 1.2, 0.35, hover + "<br>%{text}");
        }

        Trace Line(SpectrumLine line, double[] values, double width, double opacity, string template) => Charts.Scatter("lines", Rounded(frequenciesHz), Rounded(values), ("line", Charts.Line(line.Colour, width, line.Dash)), ("opacity", opacity),
            ("name", Encode(line.Name)), ("legendgroup", line.Name), ("connectgaps", false), ("text", doubts.Select(doubt => Encode(doubt.Length > 0 ? doubt : "Trusted")).ToArray()), ("hovertemplate", template));
    }

    /// <summary>Angles brought into (−180, 180], with a gap wherever the line would jump from one edge to the other.</summary>
    public static double[] Wrapped(double[] degrees)
    {
        var wrapped = degrees.Select(angle => Math.IEEERemainder(angle, 360)).ToArray();
        var shown = (double[])wrapped.Clone();
        for (var k = 1; k < wrapped.Length; k++)
            if (Math.Abs(wrapped[k] - wrapped[k - 1]) > 180) shown[k] = double.NaN;
        return shown;
    }
}
