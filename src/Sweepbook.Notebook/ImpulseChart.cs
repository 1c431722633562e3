// SPDX-License-Identifier: MIT
using System.Globalization;
using Plotly.NET;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One row of an impulse figure.</summary>
internal readonly record struct ImpulseRow(string Name, string Colour, Impulses.ImpulseResponse Response, double? ArrivalSeconds);

/// <summary>Impulse responses below one another on one time axis, each scaled to its own largest value, the arrival marked.</summary>
internal static class ImpulseChart
{
    private const double BeforeSeconds = 0.004;
    private const double AfterSeconds = 0.040;
    private const double HalfRow = 0.46;
    private const double RowHeight = 62;

    public static Figure Draw(string title, IReadOnlyList<ImpulseRow> rows, string fromFile)
    {
        var starts = rows.Select(Start).ToArray();
        var (from, to) = (starts.Min() - BeforeSeconds, starts.Max() + AfterSeconds);
        var traces = new List<Trace>();
        for (var n = 0; n < rows.Count; n++)
        {
            var row = rows[n];
            var part = row.Response.Between(from, to);
            var samples = part.ToArray();
            var largest = samples.Length == 0 ? 0 : samples.Max(Math.Abs);
            var times = Enumerable.Range(0, samples.Length).Select(k => part.SecondsAt(k) * 1000).ToArray();
            traces.Add(Charts.Scatter("lines", Rounded(times), Rounded([.. samples.Select(sample => n - (largest > 0 ? HalfRow * sample / largest : 0))]),
                ("line", Charts.Line(row.Colour, 1.3)), ("name", Encode(row.Name)), ("legendgroup", row.Name), ("hovertemplate", "%{x:.2f} ms")));
            if (row.ArrivalSeconds is { } seconds)
                traces.Add(Charts.Scatter("lines+text", Rounded([seconds * 1000, seconds * 1000]), new[] { n - HalfRow, n + HalfRow }, ("line", Charts.Line(row.Colour, 1.3, "dot")),
                    ("text", new[] { "", " \u2009" + Milliseconds(seconds) }), ("textposition", "top right"), ("textfont", Part(("size", 11.5))), ("name", Encode(row.Name)),
                    ("legendgroup", row.Name), ("hoverinfo", "skip")));
        }
        var xAxis = Part(("range", new[] { from * 1000, to * 1000 }), ("dtick", 5), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true),
            ("title", Part(("text", rows.Any(row => row.Response.TimeGroup.Name is not null) ? "Time after the stimulus left (ms)" : "Time (ms), zero unknown"), ("standoff", 8))));
        var yAxis = Part(("range", new[] { rows.Count - 0.45, -0.55 }), ("tickmode", "array"), ("tickvals", Enumerable.Range(0, rows.Count).ToArray()),
            ("ticktext", rows.Select(row => Encode(row.Name)).ToArray()), ("showgrid", false), ("zeroline", false), ("ticks", ""), ("automargin", false), ("fixedrange", true));
        var said = string.Join(", ", rows.Where(row => row.ArrivalSeconds is not null).Select(row => $"{row.Name} after {Milliseconds(row.ArrivalSeconds!.Value)}"));
        return new(Charts.Of(traces, xAxis, yAxis), $"{title}. {(said.Length > 0 ? $"The sound arrives at {said}." : FormattableString.Invariant($"No arrival is given; the largest {(rows.Count == 1 ? "value lies" : "values lie")} at {string.Join(", ", starts.Select(start => Milliseconds(start)))}."))}", fromFile)
        {
            Title = title,
            Height = (int)(rows.Count * RowHeight) + 70,
            LeftMargin = 110,
            Note = "Amplitude (no unit) upwards, each row scaled to its own largest value. Dotted: the arrival.",
        };
    }

    private static double Start(ImpulseRow row)
    {
        if (row.ArrivalSeconds is { } seconds) return seconds;
        var (at, largest) = (0, -1.0);
        for (var n = 0; n < row.Response.Length; n++)
            if (Math.Abs(row.Response[n]) > largest) (at, largest) = (n, Math.Abs(row.Response[n]));
        return row.Response.SecondsAt(at);
    }

    private static string Milliseconds(double seconds) => (seconds * 1000).ToString("0.00", CultureInfo.InvariantCulture) + " ms";
}
