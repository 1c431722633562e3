// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Sweepbook.Report;

/// <summary>What stands in the margins of the printed page: title, date, "3 / 12".</summary>
/// <remarks>Source: CSS Paged Media Module Level 3, margin boxes and page counters; a browser that does not know them prints the page without.</remarks>
internal static class SheetStyle
{
    private const int LongestTitle = 90;   // one line of an A4 sheet in this size
    private const string Font = "font: 8.5pt system-ui, \"Segoe UI\", \"Helvetica Neue\", Arial, sans-serif; color: #5a6168;";

    public static string Of(string title, DateOnly? date)
    {
        var shown = new StringInfo(title).LengthInTextElements > LongestTitle ? new StringInfo(title).SubstringByTextElements(0, LongestTitle - 1).TrimEnd() + "…" : title;
        return $"@page {{ @top-left {{ content: {Text(shown)}; width: 78%; text-align: left; {Font} }} @top-right {{ content: {Text(date is { } day ? Day(day) : "")}; {Font} }} " +
            $"@bottom-right {{ content: counter(page) \" / \" counter(pages); {Font} }} }}\n";
    }

    /// <summary>A date as a reader of any country understands it: "18 October 2026".</summary>
    public static string Day(DateOnly date) => date.ToString("d MMMM yyyy", CultureInfo.InvariantCulture);

    /// <summary>A CSS string that ends neither itself nor the style it stands in, whatever the text holds.</summary>
    private static string Text(string text)
    {
        var css = new StringBuilder("\"");
        foreach (var rune in text.EnumerateRunes())
            if (Rune.IsLetterOrDigit(rune) || rune.Value is ' ' or ',' or '.' or ':' or '-' or '…') css.Append(rune.ToString());
            else css.Append('\\').Append(rune.Value.ToString("x", CultureInfo.InvariantCulture)).Append(' ');
        return css.Append('"').ToString();
    }
}
