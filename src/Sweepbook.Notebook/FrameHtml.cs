// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Deedle;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>A table of a frame: numbers to the right, missing values as a dash, thirty rows at most.</summary>
internal sealed class FrameHtml : IFrameOperation<string>
{
    private const int ShownRows = 30;

    public static string Of(IFrame frame) => frame.Apply(new FrameHtml());

    public string Invoke<TRow, TColumn>(Frame<TRow, TColumn> frame)
    {
        var html = new StringBuilder("<div class=\"sweepbook-table\" style=\"overflow-x:auto\" tabindex=\"0\" role=\"region\" aria-label=\"Table\"><table><thead><tr>");
        var columns = frame.ColumnKeys.ToArray();
        var numbered = typeof(TRow) == typeof(int);   // a running number says nothing: not shown
        if (!numbered) html.Append("<th scope=\"col\"></th>");
        foreach (var column in columns) html.Append("<th scope=\"col\">").Append(Html($"{column}")).Append("</th>");
        html.Append("</tr></thead><tbody>");
        foreach (var (key, row) in frame.RowKeys.Zip(frame.Rows.Values).Take(ShownRows))
        {
            html.Append("<tr>");
            if (!numbered) html.Append("<th scope=\"row\">").Append(Html(Text(key))).Append("</th>");
            foreach (var column in columns)
            {
                var found = row.TryGet(column);
                var value = found.HasValue ? found.Value : null;
                html.Append(value is double or float or int or long ? "<td style=\"text-align:right\">" : "<td>").Append(Html(Text(value))).Append("</td>");
            }
            html.Append("</tr>");
        }
        html.Append("</tbody></table>");
        if (frame.RowCount > ShownRows) html.Append(CultureInfo.InvariantCulture, $"<p>{ShownRows} of {frame.RowCount} rows.</p>");
        return html.Append("</div>").ToString();
    }

    private static string Text(object? value) => value switch
    {
        null => "–",
        double number when double.IsNaN(number) => "–",
        double number when Math.Abs(number) >= 10000 && number == Math.Round(number) => number.ToString("0", CultureInfo.InvariantCulture),
        double number => number.ToString("G5", CultureInfo.InvariantCulture),
        bool flag => flag ? "yes" : "no",
        IFormattable other => other.ToString(null, CultureInfo.InvariantCulture),
        _ => $"{value}",
    };
}
