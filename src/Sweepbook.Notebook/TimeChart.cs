// SPDX-License-Identifier: MIT
using Plotly.NET;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One line over time: moments in milliseconds, values, and how it is drawn.</summary>
internal sealed record TimeLine(string Name, string Colour, double[] Ms, double[] Values)
{
    public string Dash { get; init; } = "solid";

    public double Width { get; init; } = 1.8;

    public double Opacity { get; init; } = 1;

    public bool IsFilled { get; init; }

    /// <summary>False for a line that needs no entry in the legend.</summary>
    public bool IsNamed { get; init; } = true;
}

/// <summary>Lines over a time axis in milliseconds.</summary>
internal static class TimeChart
{
    public static Figure Draw(string title, IReadOnlyList<TimeLine> lines, (double From, double To) ms, string timeTitle, (double From, double To) range, string valueTitle, string hover, string alternative, string note, double tick = 0)
    {
        var traces = lines.Select(line => Charts.Scatter("lines", Rounded(line.Ms), Rounded(line.Values), ("line", Charts.Line(line.Colour, line.Width, line.Dash)), ("opacity", line.Opacity), ("name", Encode(line.Name)),
            ("legendgroup", line.Name), ("hovertemplate", hover), ("fill", line.IsFilled ? "tozeroy" : "none"), ("fillcolor", line.Colour + "22")));
        var xAxis = Part(("range", new[] { ms.From, ms.To }), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true), ("title", Part(("text", timeTitle), ("standoff", 8))));
        var yAxis = Part(("range", new[] { range.From, range.To }), ("ticks", "outside"), ("ticklen", 4), ("zeroline", tick == 0), ("zerolinewidth", 1), ("automargin", false), ("showline", true),
            ("title", Part(("text", valueTitle), ("standoff", 6))));
        if (tick > 0) yAxis.SetProperty("dtick", tick);
        return new(Charts.Of(traces, xAxis, yAxis), alternative, "takes.csv")
        {
            Title = title,
            Note = note,
            Height = 340,
            Legend = lines.Count > 1 ? [.. lines.Where(line => line.IsNamed).Select(line => new LegendEntry(line.Name, line.Name, line.Colour, line.Dash))] : [],
        };
    }
}
