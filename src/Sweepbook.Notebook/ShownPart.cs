// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Deedle;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One thing that a value shows; the page and the text are both made from it, so that they cannot tell two stories.</summary>
internal abstract record ShownPart
{
    public abstract string ToHtml();

    /// <summary>Lines of text without a line feed at the end; empty where there is nothing to say.</summary>
    public abstract string ToText();
}

internal sealed record FigurePart(Figure Figure) : ShownPart
{
    public override string ToHtml() => Figure.ToHtml();

    public override string ToText() => FigureText.Of(Figure);
}

internal sealed record FramePart(IFrame Frame) : ShownPart
{
    public override string ToHtml() => FrameHtml.Of(Frame);

    public override string ToText() => FrameText.Of(Frame);
}

internal sealed record SentencePart(string Text) : ShownPart
{
    public override string ToHtml() => $"<p class=\"sweepbook-value\">{Html(Text)}</p>";

    public override string ToText() => Text;
}

internal sealed record FindingsPart(IEnumerable<Finding> Findings) : ShownPart
{
    public override string ToHtml() => FindingsHtml.Of(Findings);

    /// <summary>Severity as a word in front, one sentence a line.</summary>
    public override string ToText() => string.Join('\n', Findings.Select(finding => "- " + FindingsHtml.Lead(finding) + finding.Sentence));
}

internal sealed record ReplyPart(Reply Reply) : ShownPart
{
    public override string ToHtml() => Reply.ToHtml();

    public override string ToText() => Reply.ToString();
}

/// <summary>The facts of one value below one another.</summary>
internal sealed record FactsPart(string Caption, IReadOnlyList<(string Name, string Text)> Facts) : ShownPart
{
    public override string ToHtml()
    {
        var html = new StringBuilder("<div class=\"sweepbook-table\"><table><caption style=\"text-align:left;font-weight:600\">").Append(Html(Caption)).Append("</caption><tbody>");
        foreach (var (name, text) in Facts) html.Append("<tr><th scope=\"row\">").Append(Html(name)).Append("</th><td>").Append(Html(text)).Append("</td></tr>");
        return html.Append("</tbody></table></div>").ToString();
    }

    public override string ToText() => string.Join('\n', Facts.Select(fact => $"  {fact.Name}: {fact.Text}").Prepend(Caption));
}

/// <summary>A table with titles above; the rows may be the first of more.</summary>
internal sealed record TablePart(IReadOnlyList<(string Title, bool IsNumber)> Columns, IReadOnlyList<IReadOnlyList<string>> Rows, int Count) : ShownPart
{
    private string More => Count > Rows.Count ? string.Create(CultureInfo.InvariantCulture, $"{Rows.Count} of {Count} rows.") : "";

    public override string ToHtml()
    {
        var html = new StringBuilder("<div class=\"sweepbook-table\" style=\"overflow-x:auto\" tabindex=\"0\" role=\"region\" aria-label=\"").Append(Html(FrameHtml.NameOf(Columns.Select(column => column.Title)))).Append("\"><table><thead><tr>");
        foreach (var (title, _) in Columns) html.Append("<th scope=\"col\">").Append(Html(title)).Append("</th>");
        html.Append("</tr></thead><tbody>");
        foreach (var row in Rows)
        {
            html.Append("<tr>");
            foreach (var (cell, column) in row.Zip(Columns)) html.Append(column.IsNumber ? "<td style=\"text-align:right\">" : "<td>").Append(Html(cell)).Append("</td>");
            html.Append("</tr>");
        }
        html.Append("</tbody></table>");
        if (More.Length > 0) html.Append("<p>").Append(More).Append("</p>");
        return html.Append("</div>").ToString();
    }

    public override string ToText() => FrameText.Of([.. Columns.Select((column, n) => (column.Title, Rows.Select(row => row[n]).ToArray(), column.IsNumber))], More);
}
