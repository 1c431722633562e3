// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class NewSurveyTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Theory]
    [InlineData("My room")]
    [InlineData("a \"quoted\" \\ title\twith everything 😀 </script>")]
    public void A_new_survey_reads_as_it_stands(string title)
    {
        Ran.In(_work.Root, "new", "room", "--title", title).Succeeded();
        var survey = Survey.Read(_work["room"]);
        Assert.Equal(title, survey.Title);
        Assert.Empty(survey.Takes);
        Assert.Equal(["sub-left", "sub-right"], survey.Sources.Select(source => source.Id));
    }

    [Fact]
    public void Everything_that_the_template_comments_out_is_a_key_that_works()
    {
        Ran.In(_work.Root, "new", "room").Succeeded();
        var lines = File.ReadAllLines(_work["room", "survey.toml"]);
        // Lines of the form "# key = value" and "# [table]" lose their mark; sentences keep it.
        var opened = lines.Select(line => line.StartsWith("# ", StringComparison.Ordinal) && (line[2] == '[' || line.Contains(" = ") && !line.Contains(". ") && !line.TrimEnd().EndsWith('.')) && !line.Contains(", say)") ? line[2..] : line);
        File.WriteAllLines(_work["room", "survey.toml"], opened);
        File.WriteAllText(_work["room", "microphones", "mic.txt"], "20 0\n20000 0\n");
        var survey = Survey.Read(_work["room"]);
        Assert.NotNull(survey.Room);
        Assert.Equal(["microphones/mic.txt"], survey.Microphones[0].Calibrations.Select(calibration => calibration.File));
        Assert.Equal(["sub-left+sub-right"], survey.Takes.Select(take => take.SourceName));
    }

    [Fact]
    public void The_checklist_and_the_words_on_the_screen_carry_the_cautions()
    {
        Assert.Contains(Cautions.Short, Ran.In(_work.Root, "new", "room").Succeeded().Output.Replace('\n', ' '));
        var list = File.ReadAllText(_work["room", "CHECKLIST.md"]);
        Assert.All(Cautions.All, caution => Assert.Contains(caution, list));
    }

    [Fact]
    public void A_take_recorded_by_the_names_of_the_template_is_found_and_judged()
    {
        Ran.In(_work.Root, "new", "room").Succeeded();
        var made = SmallSurvey.Make(_work["other"]);
        foreach (var file in new[] { "full.toml", "full.wav" }) File.Copy(Path.Combine(made.Folder, "stimuli", file), _work["room", "stimuli", file], overwrite: true);
        File.Copy(made.Take(1), _work["room", "takes", "sub-left_sofa-left_1.wav"]);
        Assert.Contains("sub-left_sofa-left_1.wav", Ran.In(_work.Root, "check", "room").Succeeded().Output);
    }

    [Fact]
    public void A_folder_that_holds_something_is_left_alone()
    {
        Directory.CreateDirectory(_work["room"]);
        File.WriteAllText(_work["room", "diary.txt"], "mine");
        Assert.Contains("room", Ran.In(_work.Root, "new", "room").Refused(1).Error);
        Assert.Equal(["diary.txt"], Directory.EnumerateFileSystemEntries(_work["room"]).Select(Path.GetFileName));
    }
}
