// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>All notebooks, executed once: the solutions with their answers, the others as a student opens them.</summary>
[CollectionDefinition(Collection)]
public sealed class Course : IAsyncLifetime, ICollectionFixture<Course>
{
    internal const string Collection = "course";

    private const int AtATime = 2;   // a run keeps one processor busy

    private readonly TestFolder _folder = new();

    internal static string Notebooks => Path.Combine(TestFolder.Repository, "notebooks");

    internal static IReadOnlyList<string> Names { get; } = [.. Directory.GetFiles(Path.Combine(Notebooks, ExerciseFolder.Solutions), "*.ipynb").Select(path => Path.GetFileNameWithoutExtension(path)).Order()];

    internal Dictionary<string, RunResult> Results { get; } = [];

    internal static string Solution(string name) => Path.Combine(Notebooks, ExerciseFolder.Solutions, name + ".ipynb");

    internal static string Exercise(string name) => Path.Combine(Notebooks, name + ".ipynb");

    internal static string Index => Exercise("00-index");

    internal string Executed(string notebook) => _folder.File(Key(notebook) + ".ipynb");

    internal string Page(string notebook) => _folder.File(Key(notebook) + ".html");

    internal string Copy(string name) => _folder.File(name);

    internal string Folder => _folder.Path;

    public async ValueTask InitializeAsync() =>
        await Parallel.ForEachAsync(Directory.GetFiles(Notebooks, "*.ipynb").Concat(Names.Select(Solution)).Order(StringComparer.Ordinal), new ParallelOptions { MaxDegreeOfParallelism = AtATime }, async (notebook, cancellation) =>
        {
            var result = await NotebookRun.StartAsync(new() { Notebook = notebook, Output = Executed(notebook), Page = Page(notebook) }, null, cancellation);
            lock (Results) Results.Add(notebook, result);
        });

    public ValueTask DisposeAsync()
    {
        _folder.Dispose();
        return ValueTask.CompletedTask;
    }

    private static string Key(string notebook) => (notebook.Contains(Path.DirectorySeparatorChar + ExerciseFolder.Solutions) ? "solution-" : "exercise-") + Path.GetFileNameWithoutExtension(notebook);
}

[Collection(Course.Collection)]
public sealed partial class CourseTests(Course course)
{
    public static TheoryData<string> Names => [.. Course.Names];

    [Theory, MemberData(nameof(Names))]
    public void The_answers_of_a_solution_are_all_right(string name)
    {
        var result = course.Results[Course.Solution(name)];
        Assert.True(result.Succeeded, result.Failure?.ToString());
        var replies = Replies(course.Executed(Course.Solution(name)));
        Assert.InRange(replies.Count, 2, 4);
        Assert.All(replies, reply => Assert.Contains("data-reply=\"right\"", reply));
    }

    [Theory, MemberData(nameof(Names))]
    public void An_exercise_runs_to_its_end_before_anything_is_answered(string name)
    {
        var result = course.Results[Course.Exercise(name)];
        Assert.True(result.Succeeded, result.Failure?.ToString());
        var replies = Replies(course.Executed(Course.Exercise(name)));
        Assert.InRange(replies.Count, 2, 4);
        Assert.All(replies, reply => Assert.Contains("data-reply=\"not-answered\"", reply));
    }

    [Fact]
    public void The_index_runs_to_its_end_and_shows_its_figure()
    {
        Assert.True(course.Results[Course.Index].Succeeded, course.Results[Course.Index].Failure?.ToString());
        Assert.Contains("sweepbook-figure", File.ReadAllText(course.Executed(Course.Index)));
    }

    [Theory, InlineData("01-sweep-design"), InlineData("04-waterfall"), InlineData("08-nearfield-vented-box")]   // between them they hold every kind of figure
    public async Task The_page_of_a_solution_can_be_read_by_everybody_and_printed(string name)
    {
        TestBrowser.SkipWithout();
        await using var browser = await TestBrowser.StartAsync();
        var page = await browser.OpenAsync(course.Page(Course.Solution(name)));
        Assert.Empty(page.Errors);
        await ReportPageInBrowserTests.AssertAccessible(page.Page);
        foreach (var scheme in new[] { "light", "dark" })
        {
            await page.Page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = scheme }]);
            await ReportPageInBrowserTests.AssertContrast(page.Page);
        }
        await ReportPageInBrowserTests.AssertPrints(page.Page, 4, 14);
        await ReportPageInBrowserTests.AssertAxes((await browser.OpenAsync(course.Page(Course.Solution(name)), 400)).Page);
    }

    [Fact]
    public void The_exercises_in_the_repository_are_what_their_solutions_give()
    {
        var all = ExerciseFolder.Derive(Course.Notebooks);
        Assert.NotEmpty(all);
        foreach (var (path, text) in all)
            Assert.True(File.Exists(path) && File.ReadAllText(path) == text,
                $"{Path.GetFileName(path)} is not what its solution gives. Change the solution, then run: dotnet run --project src/Sweepbook.Report -- exercises notebooks");
    }

    [Fact]
    public void Nothing_of_an_answer_is_left_in_the_exercises()
    {
        foreach (var (path, text) in ExerciseFolder.Derive(Course.Notebooks))
        {
            var solution = NotebookFile.Read(Course.Solution(Path.GetFileNameWithoutExtension(path)));
            foreach (var cell in solution.Cells.Where(cell => cell.Tags.Contains("answer") || cell.Tags.Contains("solution")))
                foreach (var line in cell.Source.Split('\n').Where(line => line.Length > ShortestTell))
                    Assert.DoesNotContain(Escaped(line.Split(";   //")[0].Split(" = ")[^1]), text);   // no trace of the working, whatever it is called
            Assert.DoesNotContain(".Require(", text);
            Assert.DoesNotContain("../../", text);
        }
    }

    private const int ShortestTell = 12;   // a brace or a word of two letters tells nobody anything

    private static List<string> Replies(string executed) =>
        [.. JsonNode.Parse(File.ReadAllText(executed))!["cells"]!.AsArray().SelectMany(cell => cell!["outputs"]?.AsArray() ?? [])
            .Select(output => NotebookCell.Text(output!["data"]?["text/html"])).Where(html => html.Contains("sweepbook-reply"))];

    private static string Escaped(string line) => JsonValue.Create(line).ToJsonString(new() { Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping })[1..^1];
}
