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
        Assert.Equal(["sub", "main"], survey.Sources.Select(source => source.Id));
    }

    [Fact]
    public void The_checklist_and_the_words_on_the_screen_carry_the_cautions()
    {
        Assert.Contains(Cautions.Short, Ran.In(_work.Root, "new", "room").Succeeded().Output.Replace('\n', ' '));
        var list = File.ReadAllText(_work["room", "CHECKLIST.md"]);
        Assert.All(["Hearing", "Drivers", "Amplifiers", "Things hung or stacked", "Local codes"], caution => Assert.Contains(caution, list));
    }

    [Fact]
    public void A_take_recorded_by_the_names_of_the_template_is_found_and_judged()
    {
        Ran.In(_work.Root, "new", "room").Succeeded();
        var made = SmallSurvey.Make(_work["other"]);
        foreach (var file in new[] { "full.toml", "full.wav" }) File.Copy(Path.Combine(made.Folder, "stimuli", file), _work["room", "stimuli", file], overwrite: true);
        File.Copy(made.Take(1), _work["room", "takes", "sub_sofa-left_as-found_1.wav"]);
        Assert.Contains("sub_sofa-left_as-found_1.wav", Ran.In(_work.Root, "check", "room").Succeeded().Output);
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
