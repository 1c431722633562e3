// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using Deedle;
using Sweepbook.Report;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>What a cell shows has a text form from which a number can be compared.</summary>
public sealed class ShownTextTests
{
    [Fact]
    public void A_figure_gives_its_finding_and_the_numbers_of_every_curve()
    {
        var lines = ShownText.Of(Synthetic.Curves(10, 20000)).Split('\n');
        Assert.Contains(lines, line => line.Contains(" points, x ") && line.Contains(" Hz, y ") && line.Contains(" dB, mean "));
        Assert.StartsWith("From this file: ", lines[^1]);
    }

    [Fact]
    public void A_frame_gives_columns_in_line_and_says_what_it_leaves_out()
    {
        var text = ShownText.Of(Frame.FromRecords(Enumerable.Range(1, 40).Select(k => new { seat = "s" + k, level_dB = k * 12.5 })));
        Assert.StartsWith("seat  level_dB\ns1        12.5\n", text);
        Assert.EndsWith("\n30 of 40 rows.", text);
        Assert.Equal("seat\nNo row.", ShownText.Of(Frame.FromRecords(Enumerable.Range(1, 0).Select(k => new { seat = "s" + k }))));
    }

    [Fact]
    public void Other_values_are_written_in_the_invariant_culture_and_a_sequence_without_an_end_ends()
    {
        Assert.Equal("0.1", ShownText.Of(0.1));
        Assert.Equal("(1.5, x)", ShownText.Of((1.5, "x")));
        Assert.Equal("none", ShownText.Of(Array.Empty<double>()));
        Assert.Equal("- With care: Careful.", ShownText.Of(new Finding[] { new("a", Severity.Caution, "survey", 1, "Hz", "Careful.") }));
        Assert.EndsWith("\n… and more", ShownText.Of(Endless()));
    }

    [Fact]
    public async Task An_executed_notebook_holds_the_text_beside_the_page()
    {
        using var folder = new TestFolder();
        var notebook = folder.Notebook(TestFolder.Setup, TestCell.Code("Synthetic.Curves(10, 20000)"), TestCell.Code("new[] { 1.5, 2.5 }"), TestCell.Code("new { A = 1 }"));
        var result = await NotebookRun.StartAsync(new() { Notebook = notebook, Output = folder.File("executed.ipynb") }, null, TestContext.Current.CancellationToken);
        Assert.True(result.Succeeded, result.Failure?.ToString());
        var cells = JsonNode.Parse(File.ReadAllText(folder.File("executed.ipynb")))!["cells"]!.AsArray();
        Assert.Equal(["1.5\n2.5", "{ A = 1 }"], cells.Skip(2).Select(cell => NotebookCell.Text(cell!["outputs"]![0]!["data"]!["text/plain"])));
        var figure = cells[1]!["outputs"]![0]!["data"]!;
        Assert.Equal(ShownText.Of(Synthetic.Curves(10, 20000)), NotebookCell.Text(figure["text/plain"]));
        Assert.Contains("<figure", NotebookCell.Text(figure["text/html"]));
    }

    private static IEnumerable<int> Endless()
    {
        while (true) yield return 1;
    }
}
