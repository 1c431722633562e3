// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>The terminal says the same as the study: sentences and bars, though it reads them back from the tables.</summary>
public sealed class FirstScreenTests : IDisposable
{
    private const double SixDigits = 1e-5;   // frequencies stand in the tables with six significant digits

    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Theory]
    [InlineData("orchard-row")]
    [InlineData("orchard-row-damaged")]
    public void The_first_screen_of_the_terminal_is_that_of_the_study(string demo)
    {
        var study = Study.Of(Survey.Read(Path.Combine(WorkFolder.RepositoryRoot, "data-demo", demo)));
        study.WriteTables(_work["results"]);

        Assert.Equal(study.Findings.Select(finding => (finding.Id, finding.Sentence)), ResultTables.Findings(_work["results"]));
        var bars = ResultTables.Bars(_work["results"]);
        Assert.Equal(study.Responses.Count, bars.Count);
        foreach (var (result, bar) in study.Responses.Zip(bars))
        {
            Assert.Equal((result.Source, result.Seat, result.Setting), (bar.Source, bar.Seat, bar.Setting));
            Assert.Equal((result.LevelBand.LowReason.Sentence, result.LevelBand.HighReason.Sentence), (bar.LowReason, bar.HighReason));
            Assert.InRange(bar.FromHz / result.LevelBand.FromHz, 1 - SixDigits, 1 + SixDigits);
            Assert.InRange(bar.ToHz / result.LevelBand.ToHz, 1 - SixDigits, 1 + SixDigits);
        }
    }

    [Fact]
    public void A_report_prints_five_sentences_the_picture_and_the_path()
    {
        SmallSurvey.Make(_work["survey"], takes: 2);
        var lines = Ran.In(_work.Root, "report", "survey").Succeeded().Output.Split('\n').ToList();
        for (var number = 1; number <= Study.Headlines; number++) Assert.Contains(lines, line => line.StartsWith($"{number}. ", StringComparison.Ordinal));
        Assert.Equal(2, lines.Count(line => line.StartsWith("main seat-", StringComparison.Ordinal)));
        Assert.Equal($"Report: {Path.Combine("out", "survey", "report.html")}", lines.Last(line => line.Length > 0));
        Assert.All(lines, line => Assert.InRange(line.Length, 0, 80));
        Assert.DoesNotContain(lines, line => line.Contains('\e'));
        Assert.All(["report.html", "findings.csv", "takes.csv", "responses.csv", "provenance.json", "room-report.ipynb"], file => Assert.True(File.Exists(_work["out", "survey", file]), file));
    }

    /// <summary>A check is made while the microphone still stands there: it judges the recordings, and leaves the room to the report.</summary>
    [Fact]
    public void A_check_speaks_about_the_recordings_only()
    {
        var ran = Ran.In(WorkFolder.RepositoryRoot, "check", Path.Combine("data-demo", "orchard-row")).Succeeded();
        Assert.DoesNotContain("node", ran.Output, StringComparison.Ordinal);
        Assert.DoesNotContain("T30", ran.Output, StringComparison.Ordinal);
        Assert.EndsWith("All 16 takes are fit for use.", ran.Output.TrimEnd(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_notebook_without_tables_makes_a_page_all_the_same()
    {
        Assert.Empty(ResultTables.Findings(_work.Root));
        Assert.Empty(ResultTables.Bars(_work.Root));
    }
}
