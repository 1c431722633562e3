// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Deedle;

namespace Sweepbook.Notebook;

/// <summary>A frame as columns of text: the rows and the digits that <see cref="FrameHtml"/> shows, numbers to the right.</summary>
internal sealed class FrameText : IFrameOperation<string>
{
    private const string Gap = "  ";

    public static string Of(IFrame frame) => frame.Apply(new FrameText());

    public string Invoke<TRow, TColumn>(Frame<TRow, TColumn> frame)
    {
        var columns = frame.ColumnKeys.ToArray();
        var shown = frame.RowKeys.Zip(frame.Rows.Values).Take(FrameHtml.ShownRows).ToArray();
        var texts = new List<(string Heading, string[] Cells, bool Right)>();
        if (typeof(TRow) != typeof(int))   // as in the page: a running number says nothing
            texts.Add(("", [.. shown.Select(entry => FrameHtml.Text(entry.First, FrameHtml.Decimals(entry.First)))], false));
        foreach (var column in columns)
        {
            var values = shown.Select(entry => entry.Second.TryGet(column) is { HasValue: true } found ? found.Value : null).ToArray();
            var decimals = values.Select(FrameHtml.Decimals).Append(0).Max();
            texts.Add(($"{column}", [.. values.Select(value => FrameHtml.Text(value, decimals))], values.Any(FrameHtml.IsNumber)));
        }
        return Of(texts, frame.RowCount == 0 ? FrameHtml.NoRow : frame.RowCount > FrameHtml.ShownRows ? string.Create(CultureInfo.InvariantCulture, $"{FrameHtml.ShownRows} of {frame.RowCount} rows.") : "");
    }

    /// <summary>Columns beside one another, headings above, a last line below.</summary>
    internal static string Of(IReadOnlyList<(string Heading, string[] Cells, bool Right)> texts, string last)
    {
        var rows = texts.Count == 0 ? 0 : texts[0].Cells.Length;
        var lines = new List<string>(rows + 2) { Line(texts, text => text.Heading) };
        for (var k = 0; k < rows; k++) lines.Add(Line(texts, text => text.Cells[k]));
        if (last.Length > 0) lines.Add(last);
        return string.Join('\n', lines);
    }

    private static string Line(IReadOnlyList<(string Heading, string[] Cells, bool Right)> texts, Func<(string Heading, string[] Cells, bool Right), string> cell)
    {
        var line = new StringBuilder();
        foreach (var text in texts)
        {
            var width = text.Cells.Append(text.Heading).Max(one => one.Length);
            line.Append(text.Right ? cell(text).PadLeft(width) : cell(text).PadRight(width)).Append(Gap);
        }
        return line.ToString().TrimEnd();
    }
}
