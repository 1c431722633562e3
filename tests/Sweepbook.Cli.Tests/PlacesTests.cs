// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.RegularExpressions;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>Where results go, how they are named in what is handed on, and what they never replace.</summary>
public sealed partial class PlacesTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Fact]
    public void A_report_names_no_place_of_the_machine_and_its_notebook_finds_the_survey_from_where_it_lies()
    {
        SmallSurvey.Make(_work["my surveys", "room one"]);
        Ran.In(_work.Root, "report", _work["my surveys", "room one"], "--out", "my results/monday").Succeeded();
        var results = _work["my results", "monday"];
        var notebook = File.ReadAllText(Path.Combine(results, "room-report.ipynb"));
        Assert.DoesNotContain(_work.Root, notebook);
        Assert.DoesNotContain(_work.Root, File.ReadAllText(Path.Combine(results, "report.html")));
        var values = string.Join('\n', JsonDocument.Parse(notebook).RootElement.GetProperty("cells").EnumerateArray().Select(cell => cell.GetProperty("source").ToString()));
        var folders = Given().Matches(values).ToLookup(match => match.Groups[1].Value, match => Regex.Unescape(match.Groups[2].Value));
        Assert.Equal("../../my surveys/room one", folders["surveyFolder"].Last());
        Assert.Equal(".", folders["resultsFolder"].Last());
        Assert.Equal("Small", Survey.Read(Path.Combine(results, folders["surveyFolder"].Last())).Title);
        Assert.Contains("sweepbook report \"my surveys/room one\" --out \"my results/monday\"",
            System.Net.WebUtility.HtmlDecode(File.ReadAllText(Path.Combine(results, "report.html"))));
    }

    [Fact]
    public void From_inside_a_survey_the_results_go_beside_it()
    {
        const string inside = "takes", report = "../../out/room", look = "../../out/look.html";
        var survey = SmallSurvey.Make(_work["room"]);
        var before = WorkFolder.Fingerprint(survey.Folder);
        var here = Path.Combine(survey.Folder, inside);
        Assert.Contains($"Report: {report}/report.html", Ran.In(here, "report", "..").Succeeded().Output.Replace('\\', '/'));
        Assert.Contains($"Page: {look}", Ran.In(here, "look", survey.Take(1)).Succeeded().Output.Replace('\\', '/'));
        Assert.True(File.Exists(_work["out", "room", "report.html"]));
        Assert.True(File.Exists(_work["out", "look.html"]));
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    [Theory]
    [InlineData("survey/..look.html")]
    [InlineData("survey")]
    [InlineData("link/look.html")]
    [InlineData("link/new/look.html")]
    public void Neither_odd_names_nor_links_lead_into_a_survey(string target)
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        Directory.CreateSymbolicLink(_work["link"], survey.Folder);
        var before = WorkFolder.Fingerprint(survey.Folder);
        foreach (var words in new[] { new[] { "look", "survey/takes/main_seat-1.wav" }, ["report", "survey"], ["report", "link"] })
        {
            var ran = Ran.In(_work.Root, [.. words, "--out", target]).Refused(1);
            Assert.DoesNotContain(".sweepbook-", ran.Error);
            Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
        }
        Assert.Equal(["link", "survey"], Directory.EnumerateFileSystemEntries(_work.Root).Select(Path.GetFileName).Order());
    }

    [Fact]
    public void A_look_replaces_a_page_of_its_own_and_no_other_file()
    {
        SmallSurvey.Make(_work["survey"]);
        string[] look = ["look", "survey/takes/main_seat-1.wav", "--out", "page.html"];
        Ran.In(_work.Root, look).Succeeded();
        Ran.In(_work.Root, look).Succeeded();
        foreach (var mine in new[] { "my thesis", "" })
        {
            File.WriteAllText(_work["page.html"], mine);
            Assert.Contains("page.html", Ran.In(_work.Root, look).Refused(1).Error);
            Assert.Equal(mine, File.ReadAllText(_work["page.html"]));
        }
    }

    [Fact]
    public void A_folder_given_to_look_is_called_a_folder()
    {
        SmallSurvey.Make(_work["survey"]);
        Assert.Contains("this is a folder, and takes are wanted", Ran.In(_work.Root, "look", "survey").Refused(1).Error);
    }

    [Fact]
    public void A_place_where_no_survey_can_begin_is_refused_in_words()
    {
        File.WriteAllText(_work["file"], "mine");
        Assert.Contains("file: this is a file, and a folder is needed here.", Ran.In(_work.Root, "new", "file/room").Refused(1).Error);
        if (!OperatingSystem.IsLinux()) return;   // proc(5) takes no new folder from anybody
        var ran = Ran.In(_work.Root, "new", "/proc/room").Refused(1);
        Assert.StartsWith("/proc/room: the system permits no", ran.Error);
        Assert.DoesNotContain(".part", ran.Error);
    }

    [Theory]
    [InlineData("room", "room")]
    [InlineData("my room", "\"my room\"")]
    [InlineData("Größe_1.5", "Größe_1.5")]
    [InlineData("-room", "./-room")]
    [InlineData("a&b", "\"a&b\"")]
    public void A_word_is_quoted_where_a_shell_would_part_it(string word, string quoted) => Assert.Equal(quoted, ShownPath.Quoted(word));

    [Theory]
    [InlineData("it's $HOME", @"'it'\''s $HOME'")]
    [InlineData("say \"a\"", "'say \"a\"'")]
    public void What_a_shell_would_replace_stands_in_single_quotes(string word, string quoted)
    {
        if (!OperatingSystem.IsWindows()) Assert.Equal(quoted, ShownPath.Quoted(word));
    }

    [Fact]
    public void A_new_survey_proposes_a_command_that_runs_as_it_stands()
    {
        var output = Ran.In(_work.Root, "new", "my room").Succeeded().Output;
        var words = ShellWords.Split(output.Split('\n').Single(line => line.StartsWith("  sweepbook check", StringComparison.Ordinal)));
        Assert.Equal(["sweepbook", "check", "my room"], words);
    }

    [GeneratedRegex("(surveyFolder|resultsFolder) = \\\\?\"(.*?)\\\\?\"")]
    private static partial Regex Given();
}
