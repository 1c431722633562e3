// SPDX-License-Identifier: MIT
using System.Text;
using System.Text.Json.Nodes;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class ReportPageTests
{
    [Fact]
    public void A_notebook_without_tags_is_a_page_in_its_own_order_with_its_own_title()
    {
        var html = Page(null, [TestCell.Text("# A question\n\nfirst"), TestCell.Code("1 + 1"), TestCell.Text("# Second title\n\nsecond"), TestCell.Text("## Part")]);
        Assert.Contains("<title>A question</title>", html);
        Assert.Equal(1, html.Split("<h1").Length - 1);
        Assert.Contains("<h2 id=\"part-1\">Second title</h2>", html);
        Assert.Contains("<a href=\"#part-2\">Part</a>", html);
        Assert.True(html.IndexOf("first", StringComparison.Ordinal) < html.IndexOf("1 + 1", StringComparison.Ordinal));
        Assert.DoesNotContain("id=\"about\"", html);
    }

    [Fact]
    public void A_text_that_leads_to_other_notebooks_is_not_on_the_page() =>
        Assert.DoesNotContain("next one", Page(null, [TestCell.Text("# A question"), TestCell.Text("The [next one](01-next.ipynb).", "folder")]));

    [Fact]
    public void The_chart_script_is_there_once()
    {
        var html = Page("den", [TestCell.Text("# A question")]);
        Assert.Equal(1, html.Split("plotly.js v2.28.0").Length - 1);
        Assert.Equal(2, html.Split("</script>").Length - 1);   // the library and our drawing script
    }

    [Fact]
    public void Outputs_of_every_kind_are_shown_and_plain_ones_stay_text()
    {
        var html = Page("den", [TestCell.Code("x")], cell => cell["outputs"] = new JsonArray(
            new JsonObject { ["output_type"] = "stream", ["name"] = "stdout", ["text"] = new JsonArray("a <b>\n", "c") },
            new JsonObject { ["output_type"] = "stream", ["name"] = "stderr", ["text"] = "aside" },
            new JsonObject { ["output_type"] = "display_data", ["data"] = new JsonObject { ["text/plain"] = "plain <i>", ["image/png"] = "AAAA\n" } },
            new JsonObject { ["output_type"] = "execute_result", ["data"] = new JsonObject { ["text/plain"] = "only <plain>" } },
            new JsonObject { ["output_type"] = "display_data", ["data"] = new JsonObject { ["text/markdown"] = "**bold** <u>" } },
            new JsonObject { ["output_type"] = "display_data", ["data"] = new JsonObject { ["text/html"] = "<em>rich</em>" } },
            new JsonObject { ["output_type"] = "error", ["ename"] = "Bad", ["evalue"] = "<oh>" }));
        foreach (var piece in new[] { "a &lt;b&gt;\nc", "aside\">aside", "src=\"data:image/png;base64,AAAA\"", "only &lt;plain&gt;", "<strong>bold</strong> &lt;u&gt;", "<em>rich</em>", "<strong>Bad:</strong> &lt;oh&gt;" })
            Assert.Contains(piece, html);
        Assert.DoesNotContain("plain <i>", html);
    }

    [Theory]
    [InlineData("<p>news</p>", true)]
    [InlineData("", false)]
    public void A_text_that_waits_for_an_output_is_shown_with_it_only(string shown, bool expected)
    {
        var html = Page("den", [TestCell.Code("x"), TestCell.Text("## Always"), TestCell.Text("## Perhaps", "if-output"), TestCell.Code("y")], null,
            last => last["outputs"] = new JsonArray(new JsonObject { ["output_type"] = "execute_result", ["data"] = new JsonObject { ["text/html"] = shown } }));
        Assert.Equal(expected, html.Contains(">Perhaps<"));
        Assert.Contains(">Always<", html);
        Assert.Contains("Code, cell 2", html);   // the code is there to be read in any case
    }

    [Fact]
    public void Text_cells_cannot_bring_their_own_markup()
    {
        var html = Page("den", [TestCell.Text("<script>alert(1)</script> and <img src=x onerror=alert(1)>")]);
        Assert.Contains("&lt;script&gt;alert(1)&lt;/script&gt;", html);
        Assert.DoesNotContain("<img src=x", html);
    }

    [Fact]
    public void The_last_heading_is_what_progress_shows()
    {
        Assert.Equal("Part `x` of two", MarkdownText.LastHeading("# Title\n\nwords\n\n## Part \\`x\\` of *two*\n\nmore"));
        Assert.Null(MarkdownText.LastHeading("no heading"));
    }

    private static string Page(string? title, TestCell[] cells, Action<JsonNode>? change = null, Action<JsonNode>? changeLast = null)
    {
        using var folder = new TestFolder();
        var path = folder.Notebook(cells);
        var json = JsonNode.Parse(File.ReadAllText(path))!;
        change?.Invoke(json["cells"]![0]!);
        changeLast?.Invoke(json["cells"]![cells.Length - 1]!);
        File.WriteAllText(path, json.ToJsonString());
        using var stream = new MemoryStream();
        ReportPage.Write(stream, NotebookFile.Read(path), new(title, "test.ipynb", "sweepbook report den"));
        return Encoding.UTF8.GetString(stream.ToArray());
    }
}
