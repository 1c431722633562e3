// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Net;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json.Nodes;
using Sweepbook.Notebook;

namespace Sweepbook.Report;

/// <summary>What a page says about itself apart from the notebook.</summary>
internal sealed record PageFacts(string? Title, string Notebook, string? Command)
{
    /// <summary>The day of the measurement.</summary>
    public DateOnly? Date { get; init; }

    /// <summary>The command that says whether the numbers still agree.</summary>
    public string? VerifyCommand { get; init; }

    /// <summary>The file in which the run says what it computed from.</summary>
    public string? Provenance { get; init; }
}

/// <summary>An executed notebook as one page that works from a file with the network off.</summary>
/// <remarks>
/// Cells tagged <c>first-screen</c> show their outputs above the contents list; cells tagged <c>about</c> come last, under their own heading;
/// cells tagged <c>check</c> say that they passed; a text tagged <c>if-output</c> is left out when the code after it showed nothing, one tagged <c>folder</c> always: it leads to other notebooks, and a page has none beside it. Everything else stands in its order. A notebook without tags is a page all the same.
/// </remarks>
internal sealed class ReportPage
{
    private const string FirstScreenTag = "first-screen";
    private const string AboutTag = "about";
    private const string CheckTag = "check";
    private const string IfOutputTag = "if-output";
    private const string FolderTag = "folder";
    private const string AboutHeading = "About this notebook";

    /// <summary>Nothing may be fetched, whatever an output holds; scripts and styles are those written into the page.</summary>
    private const string Policy =
        "default-src 'none'; script-src 'unsafe-inline' 'unsafe-eval'; style-src 'unsafe-inline'; img-src data: blob:; font-src data:; base-uri 'none'; form-action 'none'";

    private readonly List<(string Id, string Heading)> _contents = [];
    private readonly StringBuilder _first = new();
    private readonly StringBuilder _main = new();
    private readonly StringBuilder _about = new();
    private readonly NotebookFile _notebook;
    private readonly PageFacts _facts;

    private ReportPage(NotebookFile notebook, PageFacts facts) => (_notebook, _facts) = (notebook, facts);

    public static void Write(Stream stream, NotebookFile notebook, PageFacts facts)
    {
        using var writer = new StreamWriter(stream, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" };
        new ReportPage(notebook, facts).Write(writer);
    }

    private void Write(StreamWriter page)
    {
        var notebookTitle = _notebook.Cells.Where(cell => cell.IsMarkdown).Select(cell => MarkdownText.Title(cell.Source)).FirstOrDefault(title => title is not null);
        var title = _facts.Title ?? notebookTitle ?? Path.GetFileNameWithoutExtension(_facts.Notebook);
        Cells();

        page.Write($"<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{Policy}\">\n");
        page.Write("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"color-scheme\" content=\"light dark\">\n");
        page.Write($"<title>{Encode(title)}</title>\n<style>\n{Style()}{SheetStyle.Of(title, _facts.Date)}</style>\n</head>\n<body>\n<a class=\"skip\" href=\"#findings\">Skip to the findings</a>\n");
        page.Write($"<header>\n<h1>{Encode(title)}</h1>\n");
        if (notebookTitle is not null && notebookTitle != title) page.Write($"<p class=\"question\">{Encode(notebookTitle)}</p>\n");
        if (_facts.Date is { } date) page.Write($"<p class=\"measured\">Measured on {SheetStyle.Day(date)}</p>\n");
        page.Write("</header>\n<main id=\"findings\">\n");
        page.Write("<noscript><p>The figures need scripts, which are switched off here; all numbers are in the tables beside this page.</p></noscript>\n");
        if (_first.Length > 0) page.Write($"<section class=\"first\" aria-label=\"Findings\">\n{_first}</section>\n");
        if (_contents.Count > 1)
        {
            page.Write("<nav aria-label=\"Contents\">\n<ol>\n");
            foreach (var (id, heading) in _contents) page.Write($"<li><a href=\"#{id}\">{Encode(heading)}</a></li>\n");
            page.Write("</ol>\n</nav>\n");
        }
        page.Write(_main.ToString());
        if (_about.Length > 0) page.Write($"<h2 id=\"about\">{AboutHeading}</h2>\n{_about}");
        page.Write(ProvenancePart.Of(_facts.Provenance, _facts));
        page.Write($"</main>\n<footer>\n{Footer()}</footer>\n");
        page.Write($"<script>{ChartScript.Library}</script>\n<script>{ChartScript.Drawing}</script>\n</body>\n</html>\n");
    }

    private void Cells()
    {
        var (number, titleShown, silent) = (0, false, false);
        var cells = _notebook.Cells;
        for (var k = 0; k < cells.Count; k++)
        {
            var cell = cells[k];
            var tags = cell.Tags;
            if (cell.IsMarkdown && tags.Contains(FolderTag)) continue;
            if (cell.IsMarkdown) silent = tags.Contains(IfOutputTag) && !ShowsAnything(cells.Skip(k + 1));
            if (cell.IsMarkdown && silent) continue;
            var about = silent || tags.Contains(AboutTag);
            var place = about ? _about : _main;
            if (cell.IsMarkdown)
            {
                place.Append("<div class=\"text\">\n").Append(MarkdownText.ToHtml(cell.Source, !titleShown, heading => Contents(heading, about))).Append("</div>\n");
                titleShown |= MarkdownText.Title(cell.Source) is not null;
                continue;
            }
            if (!cell.IsCode) continue;
            number++;
            var shown = string.Concat(cell.Outputs.Select(output => Output(output!.AsObject(), number)));
            var first = tags.Contains(FirstScreenTag);
            (first ? _about : place).Append(Code(cell, number, tags.Contains(CheckTag) && shown.Length == 0));   // nothing but sentences and picture on top
            (first ? _first : place).Append(shown);
        }
        if (_about.Length > 0) _contents.Add(("about", AboutHeading));
    }

    private static bool ShowsAnything(IEnumerable<NotebookCell> following) =>
        following.TakeWhile(cell => !cell.IsMarkdown).Any(cell => cell.IsCode && cell.Outputs.Any(output => Output(output!.AsObject(), 0).Length > 0));

    private string Contents(string heading, bool about)
    {
        var id = "part-" + (_contents.Count + 1).ToString(CultureInfo.InvariantCulture);
        if (about) return id + "-about";
        _contents.Add((id, heading));
        return id;
    }

    private static string Code(NotebookCell cell, int number, bool check) =>
        string.IsNullOrWhiteSpace(cell.Source) ? ""
            : $"<details class=\"code\"><summary>{(check ? "Checked" : "Code")}, cell {number}</summary><pre><code>{Encode(cell.Source)}</code></pre></details>\n";

    private static string Output(JsonObject output, int number)
    {
        switch ((string?)output["output_type"])
        {
            case "stream":
                return $"<pre class=\"output{((string?)output["name"] == "stderr" ? " aside" : "")}\">{Encode(NotebookCell.Text(output["text"]))}</pre>\n";
            case "error":
                return $"<pre class=\"output error\"><strong>{Encode((string?)output["ename"] ?? "Error")}:</strong> {Encode((string?)output["evalue"] ?? "")}</pre>\n";
            default:
                return output["data"] is JsonObject data ? Rich(data, number) : "";
        }
    }

    private static string Rich(JsonObject data, int number)
    {
        if (data["text/html"] is { } html) return NotebookCell.Text(html) is { Length: > 0 } shown && !shown.StartsWith(ChartScript.Marker, StringComparison.Ordinal) ? "<div class=\"output\">" + shown + "</div>\n" : "";
        if (data["image/svg+xml"] is { } svg) return "<div class=\"output\">" + NotebookCell.Text(svg) + "</div>\n";
        foreach (var kind in new[] { "image/png", "image/jpeg" })
            if (data[kind] is { } image)
                return $"<img class=\"output\" alt=\"Output of cell {number}\" src=\"data:{kind};base64,{Encode(NotebookCell.Text(image).Replace("\n", ""))}\">\n";
        if (data["text/markdown"] is { } markdown) return "<div class=\"output\">" + MarkdownText.ToHtml(NotebookCell.Text(markdown), false, _ => $"output-{number}") + "</div>\n";
        return data["text/plain"] is { } plain ? $"<pre class=\"output\">{Encode(NotebookCell.Text(plain))}</pre>\n" : "";
    }

    private string Footer()
    {
        var html = new StringBuilder();
        if (_facts.Command is { Length: > 0 } command) html.Append($"<p>Compute this page again: <code>{Encode(command)}</code></p>\n");
        if (_facts.VerifyCommand is { Length: > 0 } verify) html.Append($"<p>See whether its numbers still agree: <code>{Encode(verify)}</code></p>\n");
        var version = typeof(ReportPage).Assembly.GetName().Version?.ToString(3);
        html.Append($"<p>Sweepbook {version}, {Encode(RuntimeInformation.FrameworkDescription)}; notebook {Encode(Path.GetFileName(_facts.Notebook))}. ");
        return html.Append("This page holds all it shows and fetches nothing.</p>\n").ToString();
    }

    private static string Encode(string text) => WebUtility.HtmlEncode(text);

    private static string Style()
    {
        using var stream = typeof(ReportPage).Assembly.GetManifestResourceStream("Sweepbook.report.css")!;
        using var reader = new StreamReader(stream);
        return reader.ReadToEnd();
    }
}
