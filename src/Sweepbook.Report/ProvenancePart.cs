// SPDX-License-Identifier: MIT
using System.Net;
using System.Text;
using System.Text.Json;

namespace Sweepbook.Report;

/// <summary>The folded part of a page that says what it was computed from, taken from the <c>provenance.json</c> that the run wrote.</summary>
internal static class ProvenancePart
{
    /// <summary>The part as HTML; empty where the run wrote no such file, or a notebook of the user's own wrote another.</summary>
    public static string Of(string? path, PageFacts facts)
    {
        if (path is null || !File.Exists(path)) return "";
        try
        {
            using var json = JsonDocument.Parse(File.ReadAllBytes(path));
            return json.RootElement.ValueKind == JsonValueKind.Object ? Html(json.RootElement, facts) : "";
        }
        catch (JsonException)
        {
            return "";
        }
    }

    private static string Html(JsonElement root, PageFacts facts)
    {
        var (files, options, packages) = (Entries(root, "files"), Entries(root, "options"), Entries(root, "packages"));
        if (files.Count == 0) return "";
        var versions = new List<(string, string)> { ("Sweepbook", Text(root, "sweepbook")), (".NET", Text(root, "runtime")) };
        var html = new StringBuilder("<details class=\"provenance\">\n<summary>What this page was computed from</summary>\n");
        html.Append($"<p>{Encode(Text(root, "survey"))}{(facts.Date is { } date ? $", measured on {SheetStyle.Day(date)}" : "")}. The same is in <code>provenance.json</code> beside this page; the lines at its end compute it again and see whether it still agrees.</p>\n");
        Table(html, $"Input files ({files.Count})", "file", "SHA-256", files, "hash");
        Table(html, "Versions", "part", "version", [.. versions, .. packages], "");
        Table(html, "Settings of the analysis", "setting", "value", options, "");
        return html.Append("</details>\n").ToString();
    }

    private static void Table(StringBuilder html, string caption, string left, string right, IReadOnlyList<(string Name, string Value)> rows, string kind)
    {
        if (rows.Count == 0) return;
        html.Append($"<table><caption>{Encode(caption)}</caption><thead><tr><th scope=\"col\">{left}</th><th scope=\"col\">{right}</th></tr></thead><tbody>\n");
        foreach (var (name, value) in rows) html.Append($"<tr><th scope=\"row\">{Encode(name)}</th><td{(kind.Length > 0 ? $" class=\"{kind}\"" : "")}>{Encode(value)}</td></tr>\n");
        html.Append("</tbody></table>\n");
    }

    private static string Text(JsonElement root, string name) => root.TryGetProperty(name, out var value) ? value.ToString() : "";

    private static List<(string Name, string Value)> Entries(JsonElement root, string name) =>
        root.TryGetProperty(name, out var values) && values.ValueKind == JsonValueKind.Object ? [.. values.EnumerateObject().Select(value => (value.Name, value.Value.ToString()))] : [];

    private static string Encode(string text) => WebUtility.HtmlEncode(text);
}
