// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>Before and after: what the command writes and says, and what it says where it cannot.</summary>
public sealed class CompareTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    /// <summary>What the examples of the help name: a survey after the demo's, and one with two settings.</summary>
    internal static void Prepare(WorkFolder work)
    {
        SmallSurvey.Make(work["after"]);   // the same takes: only that it runs is tried
        TwoSettings(work["my-room"]);
    }

    /// <summary>One seat, measured as found and then with the gain halved.</summary>
    private static SmallSurvey TwoSettings(string folder)
    {
        var survey = SmallSurvey.Make(folder);
        File.Copy(survey.Take(1), Path.Combine(folder, "takes", "first.wav"));
        survey.Record(1, amplitude: 0.125);
        File.Move(survey.Take(1), Path.Combine(folder, "takes", "second.wav"));
        survey.Edit("takes = \"takes/{source}_{seat}.wav\"", "");
        survey.Append("[[setting]]\nid = \"as-found\"\n[[setting]]\nid = \"corrected\"\n"
            + "[[take]]\nfile = \"takes/first.wav\"\nsources = [\"main\"]\nseat = \"seat-1\"\n[[take]]\nfile = \"takes/second.wav\"\nsources = [\"main\"]\nseat = \"seat-1\"\nsetting = \"corrected\"\n");
        return survey;
    }

    [Fact]
    public void Two_settings_become_a_page_a_table_and_sentences()
    {
        TwoSettings(_work["my-room"]);
        var ran = Ran.In(_work.Root, "compare", "my-room", "--untouched").Succeeded();
        var results = _work["out", "my-room-as-found-corrected"];
        Assert.All(["comparison.html", "comparison.csv", "findings.csv", "provenance.json", "before-and-after.ipynb"], file => Assert.True(File.Exists(Path.Combine(results, file)), file));
        var said = string.Join(' ', ran.Output.Split('\n').Select(line => line.Trim()));
        Assert.Contains("1. Compared are the settings as-found and corrected of Small: 1 source at 1 seat, 1 response each.", said);
        Assert.Contains("main is 6.0 dB weaker (median) at 1 of 1 seat", said);
        Assert.DoesNotContain(_work.Root, File.ReadAllText(Path.Combine(results, "before-and-after.ipynb")));
        Assert.Contains("sweepbook compare my-room --untouched", File.ReadAllText(Path.Combine(results, "comparison.html")));
        var regions = System.Text.RegularExpressions.Regex.Matches(File.ReadAllText(Path.Combine(results, "comparison.html")), "role=\"region\" aria-label=\"([^\"]*)\"").Select(match => match.Groups[1].Value).ToList();
        Assert.True(regions.Count >= 3 && regions.Distinct().Count() == regions.Count, string.Join("; ", regions));
        Assert.All(File.ReadLines(Path.Combine(results, "comparison.csv")).Skip(1).Where(row => row.Contains(",level,")), row => Assert.Contains(",true,true,", row));
    }

    [Theory]
    [InlineData(2, "has takes in one setting only (as-found)", "compare", "plain")]
    [InlineData(2, "no take in the setting \"tuned\"; it has as-found", "compare", "plain", "plain-too", "--settings", "as-found,tuned")]
    [InlineData(2, "two settings with a comma between", "compare", "plain", "--settings", "as-found")]
    [InlineData(1, "there is no such folder", "compare", "plain", "nowhere")]
    [InlineData(1, "never written into", "compare", "plain", "plain-too", "--out", "plain-too/out")]
    public void What_cannot_be_compared_is_said_in_a_line_and_nothing_is_written(int exitCode, string said, params string[] words)
    {
        SmallSurvey.Make(_work["plain"]);
        SmallSurvey.Make(_work["plain-too"]);
        var ran = Ran.In(_work.Root, words);
        Assert.Equal(exitCode, ran.ExitCode);
        Assert.Contains(said, ran.Error);
        Assert.InRange(ran.Error.TrimEnd().Split('\n').Length, 1, 2);
        Assert.False(Directory.Exists(_work["out"]));
    }
}
