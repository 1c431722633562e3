// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Plotly.NET;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>
/// A figure that shows itself as the last value of a cell: the chart with its proportions, a legend, a text alternative that states what it
/// shows, and a line that names the file its numbers are in.
/// </summary>
public sealed partial class Figure
{
    private static int _count;
    private readonly string _id = $"sweepbook-{Interlocked.Increment(ref _count)}-{Guid.NewGuid().ToString("N")[..8]}";

    internal Figure(GenericChart chart, string textAlternative, string fromFile) =>
        (Chart, TextAlternative, FromFile) = (chart, textAlternative, fromFile);

    /// <summary>The chart itself, for those who want to change it with the chart library's own calls.</summary>
    public GenericChart Chart { get; }

    /// <summary>What the figure shows, in a sentence, for readers who cannot see it.</summary>
    public string TextAlternative { get; }

    /// <summary>The results table that holds these numbers, for example <c>responses.csv</c>.</summary>
    public string FromFile { get; }

    internal LogAxis? Axis { get; init; }

    internal LevelScale? Scale { get; init; }

    /// <summary>Height in pixels of a figure without a level scale.</summary>
    internal int Height { get; init; } = 360;

    internal int LeftMargin { get; init; } = 64;

    internal IReadOnlyList<LegendEntry> Legend { get; init; } = [];

    internal string Title { get; init; } = "";

    internal string Note { get; init; } = "";

    /// <summary>The same figure under another title.</summary>
    internal Figure Titled(string title) => new(Chart, TextAlternative, FromFile) { Axis = Axis, Scale = Scale, Height = Height, LeftMargin = LeftMargin, Legend = Legend, Title = title, Note = Note };

    /// <summary>The figure as a piece of a page; it draws itself once the page has the chart script.</summary>
    /// <returns>One HTML <c>figure</c> element with its data; nothing in it is fetched.</returns>
    public string ToHtml()
    {
        var html = new StringBuilder();
        html.Append(CultureInfo.InvariantCulture, $"<figure class=\"sweepbook-figure\" id=\"{_id}\" data-left=\"{LeftMargin}\" data-height=\"{Height}\"");
        if (Axis is { } axis && Scale is { } scale)
            html.Append(CultureInfo.InvariantCulture, $" data-decades=\"{axis.Decades:R}\" data-span-db=\"{scale.SpanDb:R}\" data-decade-db=\"{scale.DecadeDb:R}\"");
        html.Append('>');
        if (Title.Length > 0) html.Append("<p class=\"sweepbook-title\" style=\"font-weight:600;margin:0 0 .2em\">").Append(Html(Title)).Append("</p>");
        if (Legend.Count > 0)
        {
            html.Append("<ul class=\"sweepbook-legend\" style=\"list-style:none;display:flex;flex-wrap:wrap;gap:.2em 1.2em;margin:0 0 .4em;padding:0\">");
            foreach (var entry in Legend) html.Append(entry.ToHtml());
            html.Append("</ul>");
        }
        html.Append(CultureInfo.InvariantCulture, $"<div class=\"sweepbook-plot\" tabindex=\"0\" role=\"application\" aria-roledescription=\"figure\" aria-label=\"{Html(TextAlternative)}\" style=\"min-height:{(Scale is null ? Height : 200)}px\"></div>");
        html.Append("<p class=\"sweepbook-reading\" role=\"status\" aria-live=\"polite\" style=\"margin:0;font-size:.9em\"></p>");
        html.Append("<figcaption>");
        if (Note.Length > 0) html.Append(Html(Note)).Append(' ');
        html.Append("<span class=\"sweepbook-source\">From this file: ").Append(Html(FromFile)).Append("</span></figcaption>");
        html.Append("<script>(window.sweepbookQueue=window.sweepbookQueue||[]).push([\"").Append(_id).Append("\",")
            .Append(ForScript(GenericChart.toFigureJson(Chart))).Append("]);if(window.sweepbookDraw)window.sweepbookDraw();</script></figure>\n");
        return html.ToString();
    }
}

/// <summary>One line of a legend: what a colour and a pattern stand for. Pressing it hides and shows the curves of its group.</summary>
internal readonly record struct LegendEntry(string Group, string Name, string Colour, string Dash)
{
    public string ToHtml()
    {
        var pattern = Dash switch { "dash" => "6 4", "dot" => "2 3", "dashdot" => "7 3 2 3", "longdash" => "10 4", _ => "" };
        var dashes = pattern.Length > 0 ? $" stroke-dasharray=\"{pattern}\"" : "";
        return $"<li><button type=\"button\" aria-pressed=\"true\" data-group=\"{Html(Group)}\" style=\"background:none;border:0;padding:.1em 0;font:inherit;color:inherit;cursor:pointer\">"
            + $"<svg width=\"26\" height=\"10\" aria-hidden=\"true\" style=\"vertical-align:baseline;margin-right:.4em\"><line x1=\"1\" y1=\"5\" x2=\"25\" y2=\"5\" stroke=\"{Colour}\" stroke-width=\"3\"{dashes}/></svg>"
            + Html(Name) + "</button></li>";
    }
}
