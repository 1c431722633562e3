// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class SurveyTemplateTests
{
    private static readonly StimulusDescription Short = SurveyTemplate.DefaultStimulus with { SweepSeconds = 0.5, LeadInSeconds = 0.1, TailSeconds = 0.1 };

    [Fact]
    public void A_new_survey_reads_without_a_fault_and_so_does_its_stimulus()
    {
        using var folder = new SurveyFolder();
        var written = SurveyTemplate.Write(folder.At("den"), "The \"den\" </script>", Short);
        Assert.Equal(written.Order(StringComparer.Ordinal), folder.Files("den"));
        Assert.Equal(["den"], Directory.EnumerateFileSystemEntries(folder.Path).Select(entry => Path.GetFileName(entry)));
        var survey = Survey.Read(folder.At("den"));
        Assert.Equal("The \"den\" </script>", survey.Title);
        Assert.Empty(survey.Takes);
        Assert.Empty(survey.Notes);
        Assert.Equal(Short with { File = "full.wav", Sha256 = FileHash.Sha256(folder.At("den/stimuli/full.wav")) }, Stimulus.Read(survey.Stimulus("full").Path).Description);
    }

    [Fact]
    public void The_remarks_of_a_new_survey_hold_lines_that_are_valid_too()
    {
        using var folder = new SurveyFolder();
        SurveyTemplate.Write(folder.At("den"), null, Short);
        var text = File.ReadAllText(folder.At("den/survey.toml"));
        File.WriteAllText(folder.At("den/survey.toml"), Regex.Replace(text, @"^# (?=\[|[a-z_]+ +=|[a-z_]+ = )", "", RegexOptions.Multiline));
        var survey = Survey.Read(folder.At("den"));
        Assert.Equal("den", survey.Title);
        Assert.Equal((5.62, 8), (survey.Room!.Value.LengthMetres, survey.Processor!.Value.FilterBands));
        Assert.Equal(("corrected", "sub"), (survey.Settings[1].Id, Assert.Single(survey.Settings[1].InvertedSources)));
        Assert.Equal(128 - 8, survey.Microphones[0].MaxSplDb);
        Assert.False(Assert.Single(survey.Takes).Use);
    }

    [Fact]
    public void A_recording_named_as_the_remarks_say_is_found()
    {
        using var folder = new SurveyFolder();
        SurveyTemplate.Write(folder.At("den"), null, Short);
        folder.Put("den/takes/sub+main_sofa-centre_as-found_1.wav", "");
        Assert.Equal("sub+main", Assert.Single(Survey.Read(folder.At("den")).Takes).SourceName);
    }

    [Fact]
    public void An_empty_folder_is_used_and_one_with_something_in_it_is_left_alone()
    {
        using var folder = new SurveyFolder();
        Directory.CreateDirectory(folder.At("den"));
        SurveyTemplate.Write(folder.At("den"), null, Short);
        Assert.True(File.Exists(folder.At("den/survey.toml")));
        folder.Put("mine/note.txt", "mine");
        Assert.Contains("the folder is not empty and nothing in it is overwritten", Assert.Throws<DataFault>(() => SurveyTemplate.Write(folder.At("mine"), null, Short)).Message, StringComparison.Ordinal);
        folder.Put("file", "mine");
        Assert.Contains("a file is in the place", Assert.Throws<DataFault>(() => SurveyTemplate.Write(folder.At("file"), null, Short)).Message, StringComparison.Ordinal);
        Assert.Contains("not supported yet", Assert.Throws<DataFault>(() => SurveyTemplate.Write(folder.At("other"), null, Short with { Repeats = 2 })).Message, StringComparison.Ordinal);
        Assert.Equal(["den", "file", "mine"], Directory.EnumerateFileSystemEntries(folder.Path).Select(entry => Path.GetFileName(entry)).Order(StringComparer.Ordinal));
        Assert.Equal(["note.txt"], folder.Files("mine"));
    }

    [Fact]
    public void The_cautions_stand_in_the_checklist()
    {
        using var folder = new SurveyFolder();
        SurveyTemplate.Write(folder.At("den"), null, Short);
        var text = File.ReadAllText(folder.At("den/CHECKLIST.md"));
        foreach (var words in new[] { "85 dB(A) for 8 hours", "94 dB(A) for one hour", "100 dB(A) for 15 minutes", "Below its tuning", "dangerous voltages", "hung or stacked", "licensed people", "Local codes" })
            Assert.Contains(words, text, StringComparison.Ordinal);
    }
}
