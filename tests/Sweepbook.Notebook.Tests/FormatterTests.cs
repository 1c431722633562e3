// SPDX-License-Identifier: MIT
using Deedle;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class FormatterTests
{
    [Fact]
    public void A_frame_is_a_table_with_headers_dashes_for_gaps_and_numbers_in_line_to_the_right()
    {
        var html = FrameHtml.Of(Frame.FromRecords(new[]
        {
            new { source = "<b>sub</b>", level_db = -3.25, frequency_hz = 20000.0, used = true },
            new { source = "main", level_db = double.NaN, frequency_hz = 31.5, used = false },
        }));
        Assert.Contains("<th scope=\"col\">source</th><th scope=\"col\">level_db</th><th scope=\"col\">frequency_hz</th><th scope=\"col\">used</th>", html);
        Assert.Contains("<td>&lt;b&gt;sub&lt;/b&gt;</td><td style=\"text-align:right\">-3.25</td><td style=\"text-align:right\">20000.0</td><td>yes</td>", html);
        Assert.Contains("<td>main</td><td>–</td><td style=\"text-align:right\">31.5</td><td>no</td>", html);
    }

    [Fact]
    public void A_long_frame_says_how_much_it_leaves_out()
    {
        var html = FrameHtml.Of(Frame.FromRecords(Enumerable.Range(0, 400).Select(k => new { k })));
        Assert.Contains("30 of 400 rows.", html);
        Assert.Equal(31, html.Split("<tr>").Length - 1);
    }

    [Fact]
    public void A_frame_with_named_rows_shows_their_names()
    {
        var frame = Frame.FromColumns(new[] { KeyValue.Create("t30_s", new Series<double, double>([125.0, 250.0], [0.52, 0.41])) });
        Assert.Contains("<th scope=\"row\">125</th><td style=\"text-align:right\">0.52</td>", FrameHtml.Of(frame));
    }

    [Fact]
    public void Findings_carry_their_severity_as_a_word()
    {
        var html = FindingsHtml.Of([
            new("a", Severity.Note, "survey", 1, "Hz", "All is well & <safe>."),
            new("b", Severity.Caution, "survey", 1, "Hz", "Careful."),
            new("c", Severity.Fault, "survey", 1, "Hz", "Broken."),
        ]);
        Assert.Contains("<li data-severity=\"note\">All is well &amp; &lt;safe&gt;.</li>", html);
        Assert.Contains("<strong>With care: </strong>Careful.", html);
        Assert.Contains("<strong>Fault: </strong>Broken.", html);
        Assert.Contains("From this file: findings.csv", html);
        Assert.Equal("", FindingsHtml.Of([]));
    }
}
