// SPDX-License-Identifier: MIT
using System.Text.Json;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>Bad data ends in words for a person, and nothing is lost or half written.</summary>
public sealed class BadInputTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    // What is wrong with the survey as a whole stops it; each row: what is changed and what the message has to name.
    public static TheoryData<string, Action<SmallSurvey>, string[]> SurveyFaults => new()
    {
        { "same file and channel twice", survey => survey.Append("[[take]]\nfile = \"takes/main_seat-1.wav\"\nsources = [\"main\"]\nseat = \"seat-1\"\n\n[[take]]\nfile = \"takes/main_seat-1.wav\"\nsources = [\"main\"]\nseat = \"seat-1\"\n"), ["survey.toml:", "takes/main_seat-1.wav"] },
        { "a path that leaves the folder", survey => survey.Edit("stimuli/full.toml", "../full.toml"), ["survey.toml:", "../full.toml"] },
        { "an absolute path", survey => survey.Edit("stimuli/full.toml", "/full.toml"), ["survey.toml:", "/full.toml"] },
        { "an unknown key", survey => survey.Edit("lowest_hz", "lowset_hz"), ["survey.toml:", "lowset_hz", "lowest_hz"] },
        { "an unknown microphone", survey => survey.Edit("microphone = \"mic\"", "microphone = \"mci\""), ["survey.toml:", "mci", "mic"] },
        { "no TOML", survey => survey.Edit("format = 1", "format = = 1"), ["survey.toml:1"] },
        { "a missing stimulus", survey => File.Delete(Path.Combine(survey.Folder, "stimuli", "full.toml")), ["stimuli/full.toml"] },
        { "a stimulus that was changed", survey => File.WriteAllBytes(Path.Combine(survey.Folder, "stimuli", "full.wav"), File.ReadAllBytes(survey.Take(1))), ["full"] },
        { "no survey.toml", survey => File.Delete(survey.Toml), ["survey.toml"] },
    };

    [Theory, MemberData(nameof(SurveyFaults), DisableDiscoveryEnumeration = true)]
    public void A_fault_of_the_survey_is_named_and_nothing_is_written(string fault, Action<SmallSurvey> damage, string[] named)
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        damage(survey);
        foreach (var command in new[] { "check", "report" })
        {
            var ran = Ran.In(_work.Root, command, "survey").Refused(1);
            Assert.All(named, word => Assert.True(ran.Error.Contains(word), $"{fault}: \"{word}\" is not in: {ran.Error}"));
        }
        Assert.False(Directory.Exists(_work["out", "survey"]));
        Assert.Empty(Leftovers());
    }

    // What is wrong with one take excludes that take.
    public static TheoryData<string, Action<SmallSurvey>, string[]> TakeFaults => new()
    {
        { "44.1 kHz beside a stimulus of 48 kHz", survey => survey.Record(1, rateHz: 44_100), ["main_seat-1.wav", "44100", "48000"] },
        { "a channel that is not there", survey => survey.Edit("microphone_channel = 1", "microphone_channel = 3"), ["main_seat-1.wav", "3"] },
        { "an empty file", survey => File.WriteAllBytes(survey.Take(1), []), ["main_seat-1.wav", "empty"] },
        { "a header alone", survey => File.WriteAllBytes(survey.Take(1), File.ReadAllBytes(survey.Take(1))[..44]), ["main_seat-1.wav"] },
        { "a silent loopback", survey => survey.Record(1, loopback: 0), ["main_seat-1.wav", "loopback"] },
        { "a clipped microphone", survey => survey.Record(1, amplitude: 8), ["main_seat-1.wav", "clip"] },
        { "no WAV at all", survey => File.WriteAllText(survey.Take(1), "This is a shopping list."), ["main_seat-1.wav"] },
    };

    [Theory, MemberData(nameof(TakeFaults), DisableDiscoveryEnumeration = true)]
    public void A_fault_of_a_take_is_found_by_the_check(string fault, Action<SmallSurvey> damage, string[] named)
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        damage(survey);
        var before = WorkFolder.Fingerprint(survey.Folder);
        var ran = Ran.In(_work.Root, "check", "survey").Refused(1);
        Assert.All(named, word => Assert.True(ran.Error.Contains(word, StringComparison.OrdinalIgnoreCase), $"{fault}: \"{word}\" is not in: {ran.Error}"));
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    [Fact]
    public void A_good_survey_passes_the_check()
    {
        SmallSurvey.Make(_work["survey"], takes: 2);
        var ran = Ran.In(_work.Root, "check", "survey").Succeeded();
        Assert.Equal("", ran.Error);
        Assert.Contains("All 2 takes are fit for use.", ran.Output);
    }

    [Fact]
    public void A_file_that_no_pattern_finds_is_named_and_counted_in_the_verdict()
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        File.Copy(survey.Take(1), Path.Combine(survey.Folder, "takes", "mian_seat-1.wav"));
        var ran = Ran.In(_work.Root, "check", "survey").Succeeded();
        Assert.Contains("- takes/mian_seat-1.wav", ran.Output);
        Assert.Contains("1 take is fit for use; 1 file was not recognised.", ran.Output);
    }

    [Fact]
    public void A_mix_up_of_44100_and_48000_is_called_by_its_name()
    {
        SmallSurvey.Make(_work["survey"]).Record(1, rateHz: 44_100);
        Assert.Matches("44.?1.*48", Ran.In(_work.Root, "check", "survey").Refused(1).Error);
    }

    [Fact]
    public void A_regular_file_where_the_results_should_go_is_left_alone()
    {
        SmallSurvey.Make(_work["survey"]);
        File.WriteAllText(_work["results"], "mine");
        Assert.Contains("results", Ran.In(_work.Root, "report", "survey", "--out", "results").Refused(1).Error);
        Assert.Equal("mine", File.ReadAllText(_work["results"]));
        Assert.Empty(Leftovers());
    }

    [Fact]
    public void Results_are_never_written_into_the_survey()
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        var before = WorkFolder.Fingerprint(survey.Folder);
        Assert.Contains("--out", Ran.In(_work.Root, "report", "survey", "--out", "survey/out").Refused(1).Error);
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    [Fact]
    public void A_folder_with_files_of_somebody_else_is_not_replaced()
    {
        SmallSurvey.Make(_work["survey"]);
        Directory.CreateDirectory(_work["results"]);
        File.WriteAllText(_work["results", "thesis.txt"], "mine");
        Assert.Contains("thesis.txt", Ran.In(_work.Root, "report", "survey", "--out", "results").Refused(1).Error);
        Assert.Equal("mine", File.ReadAllText(_work["results", "thesis.txt"]));
    }

    [Fact]
    public void Nine_unusable_takes_of_ten_are_named_and_the_tenth_is_reported()
    {
        var survey = SmallSurvey.Make(_work["survey"], takes: 10);
        for (var seat = 1; seat <= 9; seat++) File.WriteAllBytes(survey.Take(seat), []);
        var ran = Ran.In(_work.Root, "report", "survey").Succeeded();
        for (var seat = 1; seat <= 9; seat++) Assert.Contains($"main_seat-{seat}.wav", ran.Error);
        Assert.DoesNotContain("main_seat-10.wav", ran.Error);
        Assert.True(File.Exists(_work["out", "survey", "report.html"]));
    }

    [Fact]
    public void A_cell_that_throws_is_named_by_its_number_and_an_old_report_stays()
    {
        SmallSurvey.Make(_work["survey"]);
        Directory.CreateDirectory(_work["out", "survey"]);
        File.WriteAllText(_work["out", "survey", "report.html"], "old");
        File.WriteAllText(_work["out", "survey", "written-by-sweepbook.txt"], "These files\nreport.html\n");
        var before = WorkFolder.Fingerprint(_work["out"]);
        File.WriteAllText(_work["broken.ipynb"], Notebook("var surveyFolder = \"\"; var resultsFolder = \"\";", "1 + 1", "throw new System.IO.InvalidDataException(\"this cell says no\");"));
        var ran = Ran.In(_work.Root, "report", "survey", "--notebook", "broken.ipynb");
        Assert.Equal(1, ran.ExitCode);
        Assert.Contains("cell 4", ran.Error);   // as in the executed notebook, where the values given stand in a cell of their own
        Assert.Contains("this cell says no", ran.Error);
        Assert.DoesNotContain("   at ", ran.Error);
        Assert.Equal(before, WorkFolder.Fingerprint(_work["out"]));
    }

    internal static string Notebook(string parameters, params string[] cells) => JsonSerializer.Serialize(new
    {
        cells = cells.Prepend(parameters).Select((cell, k) => new
        {
            cell_type = "code",
            id = $"c{k}",
            metadata = new { tags = k == 0 ? new[] { "parameters" } : [] },
            execution_count = (int?)null,
            outputs = Array.Empty<object>(),
            source = cell,
        }),
        metadata = new { kernelspec = new { display_name = "Sweepbook (C#)", language = "C#", name = "sweepbook" } },
        nbformat = 4,
        nbformat_minor = 5,
    });

    /// <summary>Unfinished work left beside the results.</summary>
    private IEnumerable<string> Leftovers() => Directory.EnumerateFileSystemEntries(_work.Root, ".*", SearchOption.AllDirectories);
}
