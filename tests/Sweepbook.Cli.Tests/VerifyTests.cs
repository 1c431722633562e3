// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

[Collection(PrintedReport.Shared)]
public sealed class VerifyTests(PrintedReport report)
{
    [Fact]
    public void Results_that_hold_are_said_to_agree_and_nothing_is_written()
    {
        var before = WorkFolder.Fingerprint(report.Work.Root);
        var said = Verify("survey").Succeeded();
        Assert.Contains("are as they were", said.Output);
        Assert.Contains("--wanted 40:200", said.Output);
        Assert.Matches(@"responses\.csv +equal", said.Output);
        Assert.StartsWith("The numbers agree: ", said.Output.TrimEnd().Split('\n')[^1]);
        Assert.Equal("", said.Error);
        Assert.Equal(before, WorkFolder.Fingerprint(report.Work.Root));
    }

    [Fact]
    public void A_take_that_was_made_again_is_named_before_the_tables_and_the_worst_differences_are_told_in_words()
    {
        using var other = new WorkFolder();
        var survey = SmallSurvey.Make(other["survey"], takes: 2);
        survey.Edit("title = \"Small\"", $"title = '{PrintedReport.Title}'");
        survey.Record(1, amplitude: 0.2);   // 1.9 dB less
        var said = Verify(survey.Folder);
        Assert.Equal(1, said.ExitCode);
        var words = string.Join(' ', said.Output.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries));
        Assert.Contains("(1): changed takes/main_seat-1.wav", words);
        Assert.True(words.IndexOf("changed", StringComparison.Ordinal) < words.IndexOf("responses.csv differs", StringComparison.Ordinal));
        Assert.Matches(@"main, as-found, seat-1, mic, full, room, [\d.]+ Hz: \w+_(db|ms|deg) was [-\d.]+ (dB|ms|°), is [-\d.]+ (dB|ms|°)", words);
        Assert.Contains("The numbers do not agree: ", words);
        Assert.EndsWith("the likely reason: 1 input file is not as it was.", words);
    }

    [Theory]
    [InlineData("nowhere", "survey", "nowhere: there is no such folder")]
    [InlineData("survey", "out/survey", "this is a survey")]
    [InlineData("out/survey", "nowhere", "nowhere")]
    public void Folders_that_are_none_are_named(string results, string survey, string said) =>
        Assert.Contains(said, Ran.In(report.Work.Root, "verify", results, survey).Refused(1).Error);

    private Ran Verify(string survey) => Ran.In(report.Work.Root, "verify", Path.Combine("out", "survey"), survey);
}
