// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using Deedle;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Report;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>What a cell shows has a text form from which a number can be compared.</summary>
public sealed class ShownTextTests(ViewStudies views) : IClassFixture<ViewStudies>
{
    [Fact]
    public void A_study_gives_its_findings_and_the_text_of_its_figure()
    {
        var study = views.Timed;
        var text = ShownText.Of(study);
        Assert.StartsWith("- ", text);
        Assert.All(study.Findings.Take(Study.Headlines), finding => Assert.Contains(finding.Sentence, text));
        Assert.EndsWith("\n\n" + ShownText.Of(Figures.TrustedBands(study)), text);
        var result = study.Responses.First(response => !response.LevelBand.IsEmpty);
        Assert.Contains(FormattableString.Invariant($"  {result.Source}, {result.Seat}: 1 point, x {result.LevelBand.FromHz:G6} to {result.LevelBand.ToHz:G6} Hz, y at {result.Seat}\n"), text);
        Assert.Single(text.Split('\n'), line => line.StartsWith($"  {result.Source}, {result.Seat}:", StringComparison.Ordinal));   // not once more for its edges
    }

    [Fact]
    public void A_faint_part_says_so_and_what_cancels_has_no_mean()
    {
        var text = ShownText.Of(views.Timed.Responses[0]);
        Assert.Contains(text.Split('\n'), line => line.Contains(" (faint): "));
        Assert.Contains(text.Split('\n'), line => line.StartsWith("  ", StringComparison.Ordinal) && !line.Contains("(faint)"));
        Assert.Contains("y -0.3 to 0.3 dB, mean 0\n", ShownText.Of(SpectrumOf(0.1, 0.2, -0.3, 0.3, -0.1, -0.2)));
    }

    [Fact]
    public void Facts_of_the_library_are_the_same_in_text_and_on_the_page()
    {
        Assert.Equal("box size\n  width: 0.34 m\n  height: 0.52 m\n  depth: 0.3 m\n  largest: 0.52 m", ShownText.Of(new BoxSize(0.34, 0.52, 0.3)));
        Assert.StartsWith("frequency (Hz)  width (octaves)\n            20          0.08333\n", ShownText.Of(Enumerable.Range(1, 40).Select(n => new SmoothingWidth(20 * n, n / 12.0))));
        Assert.EndsWith("\n30 of 40 rows.", ShownText.Of(Enumerable.Range(1, 40).Select(n => new SmoothingWidth(n, 1))));
        Assert.Equal("None.", ShownText.Of(Array.Empty<SmoothingWidth>()));
        Assert.Equal("(31.5 to 200 Hz, 1)", ShownText.Of((new TrustedBand(31.5, 200, new(Doubt.Noise, "noise"), new(Doubt.UpperEnd, "sweep end")), 1)));
    }

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

    private static Figure SpectrumOf(params double[] db) => SpectrumChart.Draw("t", [new("c", Palette.Colour(0), "solid", db)], [.. db.Select((_, k) => 20.0 * (k + 1))], [.. db.Select(_ => "")], (-1, 1), 1, "Change (dB)", "dB", "s", "s", "f.csv");

    private static IEnumerable<int> Endless()
    {
        while (true) yield return 1;
    }
}
