// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Deedle;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>A table of a frame: numbers to the right, missing values as a dash, thirty rows at most.</summary>
internal sealed class FrameHtml : IFrameOperation<string>
{
    internal const int ShownRows = 30;
    internal const string NoRow = "No row.";
    private const int NamedColumns = 3;

    public static string Of(IFrame frame) => frame.Apply(new FrameHtml());

    public string Invoke<TRow, TColumn>(Frame<TRow, TColumn> frame)
    {
        var columns = frame.ColumnKeys.ToArray();
        var name = NameOf(columns.Select(column => $"{column}"));
        var html = new StringBuilder($"<div class=\"sweepbook-table\" style=\"overflow-x:auto\" tabindex=\"0\" role=\"region\" aria-label=\"{Html(name)}\"><table><thead><tr>");
        var numbered = typeof(TRow) == typeof(int);   // a running number says nothing: not shown
        if (!numbered) html.Append("<th scope=\"col\"></th>");
        foreach (var column in columns) html.Append("<th scope=\"col\">").Append(Html($"{column}")).Append("</th>");
        html.Append("</tr></thead><tbody>");
        var shown = frame.RowKeys.Zip(frame.Rows.Values).Take(ShownRows).ToArray();
        var decimals = columns.Select(column => shown.Select(entry => Decimals(entry.Second.TryGet(column) is { HasValue: true } found ? found.Value : null)).Append(0).Max()).ToArray();
        foreach (var (key, row) in shown)
        {
            html.Append("<tr>");
            if (!numbered) html.Append("<th scope=\"row\">").Append(Html(Text(key, Decimals(key)))).Append("</th>");
            for (var n = 0; n < columns.Length; n++)
            {
                var found = row.TryGet(columns[n]);
                var value = found.HasValue ? found.Value : null;
                html.Append(IsNumber(value) ? "<td style=\"text-align:right\">" : "<td>").Append(Html(Text(value, decimals[n]))).Append("</td>");
            }
            html.Append("</tr>");
        }
        html.Append("</tbody></table>");
        if (frame.RowCount == 0) html.Append("<p>").Append(NoRow).Append("</p>");
        if (frame.RowCount > ShownRows) html.Append(CultureInfo.InvariantCulture, $"<p>{ShownRows} of {frame.RowCount} rows.</p>");
        return html.Append("</div>").ToString();
    }

    /// <summary>Two tables of a page need different names.</summary>
    internal static string NameOf(IEnumerable<string> columns) => $"Table: {string.Join(", ", columns.Take(NamedColumns))}";

    internal static bool IsNumber(object? value) => value is double or float or int or long;

    /// <summary>Decimal places that five significant digits of a number need; a column shows the largest of its numbers' needs.</summary>
    internal static int Decimals(object? value)
    {
        if (value is not double number || !double.IsFinite(number)) return 0;
        var text = number.ToString("G5", CultureInfo.InvariantCulture);
        var point = text.IndexOf('.');
        return point < 0 || text.Contains('E') ? 0 : text.Length - point - 1;
    }

    /// <summary>What rounds to nothing has no sign.</summary>
    private static string Unsigned(string text) => text.StartsWith('-') && text.AsSpan(1).Trim("0.").IsEmpty ? text[1..] : text;

    internal static string Text(object? value, int decimals) => value switch
    {
        null => "–",
        double number when double.IsNaN(number) => "–",
        double number when Math.Abs(number) is > 0 and < 1e-4 => number.ToString("G5", CultureInfo.InvariantCulture),
        double number => Unsigned(number.ToString("F" + decimals, CultureInfo.InvariantCulture)),
        bool flag => flag ? "yes" : "no",
        IFormattable other => other.ToString(null, CultureInfo.InvariantCulture),
        _ => $"{value}",
    };
}
