// SPDX-License-Identifier: MIT
using System.Globalization;
using Plotly.NET;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One bar of the first picture.</summary>
internal readonly record struct BandRow(string Source, string Seat, string Detail, string Colour, TrustedBand Level, TrustedBand Phase);

/// <summary>A bar per source and seat from trusted start to trusted end, with the reason written at each end.</summary>
internal static class BandChart
{
    private const double RowHeight = 25;
    private const double HalfBar = 0.36;
    private const double NominalPlotWidth = 860 - LeftMargin - 26;
    private const int LeftMargin = 150;
    private const double CharacterWidth = 6.2;   // of an 11.5 pixel sans serif, on average

    public static Figure Draw(IReadOnlyList<BandRow> rows, string fromFile)
    {
        var trusted = rows.Where(row => !row.Level.IsEmpty).ToArray();
        var axis = trusted.Length == 0 ? new LogAxis(10, 20000)
            : LogAxis.Around(Math.Min(20, trusted.Min(row => row.Level.FromHz)), Math.Max(200, trusted.Max(row => row.Level.ToHz)));
        var traces = new List<Trace>();
        var (tickAt, tickText, headings) = (new List<double>(), new List<string>(), new List<DynamicObj.DynamicObj>());
        var y = 0.0;
        foreach (var group in rows.GroupBy(row => row.Source))
        {
            headings.Add(Heading(group.Key, y));
            y += 1;
            foreach (var row in group)
            {
                tickAt.Add(y);
                tickText.Add(Encode(row.Detail.Length > 0 ? $"{row.Seat} ({row.Detail})" : row.Seat));
                traces.AddRange(Row(row, y, axis));
                y += 1;
            }
            y += 0.3;
        }
        if (rows.Count == 0)
        {
            traces.Add(Words(axis.FromHz, y, "no take could be used", "middle right", "", "The reasons are in the sentences and in takes.csv"));
            y += 1;
        }
        var yAxis = Part(("range", new[] { y - 0.4, -0.7 }), ("tickmode", "array"), ("tickvals", tickAt), ("ticktext", tickText), ("showgrid", false),
            ("zeroline", false), ("automargin", false), ("ticks", ""), ("fixedrange", true), ("showline", false));
        var chart = Charts.Of(traces, axis.ToPart("Frequency (Hz)"), yAxis, ("barmode", "overlay"), ("annotations", headings));
        return new(chart, Alternative(rows), fromFile)
        {
            Height = (int)(y * RowHeight) + 80,
            LeftMargin = LeftMargin,
            Note = "Each bar runs from the lowest to the highest frequency whose level may be believed. What sets each limit is written at the bar where there is room for it, and as a whole sentence in the file.",
        };
    }

    /// <summary>One or two words for the end of a bar; the sentence is on hover and in takes.csv.</summary>
    internal static string Short(Reason reason) => reason.Doubt switch
    {
        Doubt.Excitation => "sweep",
        Doubt.Loopback => "loopback noise",
        Doubt.Noise => "noise",
        Doubt.Hum => "mains hum",
        Doubt.Window => "window",
        Doubt.Reflection => "reflection",
        Doubt.Microphone => "microphone",
        Doubt.UpperEnd => "sweep end",
        Doubt.Recording => "recording fault",
        Doubt.Repeats => "repeats differ",
        Doubt.LevelDependent => "level-dependent",
        Doubt.TimeZero => "time zero",
        Doubt.NearField => "near field",
        _ => "end of grid",
    };

    private static DynamicObj.DynamicObj Heading(string source, double y) =>
        Part(("xref", "paper"), ("x", 0), ("xanchor", "right"), ("xshift", -8), ("y", y), ("yanchor", "middle"), ("showarrow", false), ("text", $"<b>{Encode(source)}</b>"));

    private static IEnumerable<Trace> Row(BandRow row, double y, LogAxis axis)
    {
        var name = Encode($"{row.Source}, {row.Seat}");
        return row.Level.IsEmpty ? [Words(axis.FromHz, y, $"nothing trusted: {Short(row.Level.LowReason)}", "middle right", name, Sentences(row))]
            : Bar(name, row.Seat, row.Colour, row.Level, (Short(row.Level.LowReason), Short(row.Level.HighReason)), Sentences(row), y, axis);
    }

    /// <summary>One bar with the words for its ends.</summary>
    internal static IEnumerable<Trace> Bar(string name, string group, string colour, TrustedBand band, (string Low, string High) words, string hover, double y, LogAxis axis)
    {
        var (from, to) = (band.FromHz, band.ToHz);
        var bar = new Trace("bar");
        bar.SetProperty("orientation", "h");
        bar.SetProperty("base", new[] { from });
        bar.SetProperty("x", new[] { to - from });
        bar.SetProperty("y", new[] { y });
        bar.SetProperty("width", 2 * HalfBar);
        bar.SetProperty("name", name);
        bar.SetProperty("legendgroup", group);
        bar.SetProperty("marker", Part(("color", colour), ("opacity", 0.28), ("line", Part(("width", 0)))));
        bar.SetProperty("hovertext", hover);
        bar.SetProperty("hovertemplate", "%{hovertext}");
        yield return bar;
        var edges = new object?[] { from, from, null, to, to };
        yield return Charts.Scatter("lines", edges, new object?[] { y - HalfBar, y + HalfBar, null, y - HalfBar, y + HalfBar },
            ("line", Charts.Line(colour, 3)), ("name", name), ("legendgroup", group), ("hoverinfo", "skip"));
        // the page shows the pair inside the bar where there is room, and both together beside it where there is not
        var low = $"{WithUnit(from)}, {words.Low}";
        var high = $"{words.High}, {WithUnit(to)}";
        var inside = (low.Length + high.Length) * CharacterWidth + 34;
        var fits = Math.Log10(to / from) / axis.Decades * NominalPlotWidth > inside;
        var roomRight = Math.Log10(axis.ToHz / to) > Math.Log10(from / axis.FromHz);
        object Place(string kind) => Part(("words", kind), ("from", from), ("to", to), ("inside", inside), ("right", roomRight));
        yield return Words(from, y, low, "middle right", name, hover, ("meta", Place("pair")), ("visible", fits));
        yield return Words(to, y, high, "middle left", name, hover, ("meta", Place("pair")), ("visible", fits));
        yield return Words(roomRight ? to : from, y, $"{low} – {high}", roomRight ? "middle right" : "middle left", name, hover,
            ("meta", Place("together")), ("visible", !fits));
    }

    internal static Trace Words(double x, double y, string words, string position, string name, string sentences, params ReadOnlySpan<(string Name, object? Value)> more)
    {
        var trace = Charts.Scatter("text", new[] { x }, new[] { y }, ("text", new[] { "\u2009 " + Encode(words) + " \u2009" }), ("textposition", position), ("name", name),
            ("textfont", Part(("size", 11.5))), ("cliponaxis", false), ("hovertext", sentences), ("hovertemplate", "%{hovertext}"));
        foreach (var (property, value) in more) trace.SetProperty(property, value);
        return trace;
    }

    private static string Sentences(BandRow row) => row.Level.IsEmpty
        ? $"Level: nothing trusted, {Encode(row.Level.LowReason.Sentence)}"
        : $"Level: {row.Level.Words}<br>below: {Encode(row.Level.LowReason.Sentence)}<br>above: {Encode(row.Level.HighReason.Sentence)}"
            + (row.Phase.IsEmpty ? "<br>Phase and sums: nothing trusted" : $"<br>Phase and sums: {row.Phase.Words}");

    private static string Alternative(IReadOnlyList<BandRow> rows)
    {
        if (rows.Count == 0) return "No take could be used, so there is no bar.";
        var parts = rows.GroupBy(row => row.Source).Select(group =>
        {
            var trusted = group.Where(row => !row.Level.IsEmpty).ToArray();
            var isOneEach = group.DistinctBy(row => row.Seat).Count() == group.Count();   // else microphones or settings took turns at a seat
            var (at, places) = isOneEach ? ("at", "seats") : ("in", "responses");
            if (trusted.Length == 0) return $"{group.Key}: nothing trusted {at} any of {group.Count()} {places}";
            var (from, to) = (trusted.Max(row => row.Level.FromHz), trusted.Min(row => row.Level.ToHz));
            return string.Create(CultureInfo.InvariantCulture, $"{group.Key}: {new TrustedBand(from, to, default, default).Words} {at} {trusted.Length} of {group.Count()} {places}");
        });
        return "Trusted frequencies for level, a bar for each response. " + string.Join("; ", parts) + ".";
    }
}
