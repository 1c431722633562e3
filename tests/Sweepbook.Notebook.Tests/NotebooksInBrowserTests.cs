// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using PuppeteerSharp;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Every notebook opened in Jupyter and run by the menu's command to run all cells, once; server, kernels and browser have no network.</summary>
public sealed class Workbench(Course course) : IAsyncLifetime
{
    internal const string Executed = "00-index.ipynb";
    private const int LimitMs = 240_000;
    private const int PollMs = 200;
    private const string Opened = "() => window.Jupyter && Jupyter.notebook && Jupyter.notebook._fully_loaded";
    private const string Ready = "() => window.Jupyter && Jupyter.notebook && Jupyter.notebook._fully_loaded && Jupyter.notebook.kernel && Jupyter.notebook.kernel.is_connected()";
    private const string Done = """
        () => { const cells = Jupyter.notebook.get_cells().filter(c => c.cell_type === 'code' && c.get_text().trim());
          return cells.some(c => c.output_area.outputs.some(o => o.output_type === 'error')) || cells.every(c => typeof c.input_prompt_number === 'number') && !Jupyter.notebook.kernel_busy; }
        """;
    private const string RunAll = "document.querySelector('#run_all_cells a').click()";
    private const string Trust = "document.querySelector('#trust_notebook a').click(); setTimeout(function press() { var b = document.querySelector('.modal.in .btn-danger'); if (b) b.click(); else setTimeout(press, 100); }, 100)";
    private const string IsTrusted = "() => window.Jupyter && Jupyter.notebook && Jupyter.notebook._fully_loaded && Jupyter.notebook.trusted && document.querySelector('.sweepbook-figure .main-svg')";
    private const string Drawn = "() => [...document.querySelectorAll('.sweepbook-figure')].every(f => f.querySelector('.main-svg'))";

    internal static IReadOnlyList<string> Notebooks { get; } = [.. Directory.GetFiles(Course.Notebooks, "*.ipynb").Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)];

    internal Dictionary<string, Visit> Visits { get; } = [];

    /// <summary>A notebook that the runner executed, opened before anybody trusted it.</summary>
    internal Visit Strange { get; private set; } = null!;

    /// <summary>The same once it is trusted by the menu's command.</summary>
    internal Visit Trusted { get; private set; } = null!;

    public async ValueTask InitializeAsync()
    {
        if (!JupyterServer.IsHere) return;   // each test says so
        await using var server = await JupyterServer.StartAsync();
        await using var browser = await TestBrowser.StartAsync(server.Network);
        foreach (var notebook in Notebooks) Visits.Add(notebook, await VisitAsync(browser, server.Address, notebook, RunAll));   // one after the other: a page behind another one is slowed down by the browser
        // the runner's notebook as Jupyter opens it: first as it came, then trusted
        File.Copy(course.Executed(Path.Combine(Course.Notebooks, Executed)), Path.Combine(server.Notebooks, "executed.ipynb"));
        Strange = await VisitAsync(browser, server.Address, "executed.ipynb", null, isDrawn: false);
        Trusted = await VisitAsync(browser, server.Address, "executed.ipynb", Trust);
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    /// <summary>Opens a notebook, does something there, and looks.</summary>
    private static async Task<Visit> VisitAsync(TestBrowser browser, string server, string notebook, string? run, bool isDrawn = true)
    {
        var page = await browser.BlankAsync(theirs: (text, script) =>   // Jupyter's own scripts, the kernel's, and an extension that Debian's Jupyter looks for in vain
            script.Length > 0 && !script.StartsWith(server + "notebooks/", StringComparison.Ordinal) || text.Contains(server + "nbextensions/", StringComparison.Ordinal));
        await page.Page.GoToAsync(server + "notebooks/" + notebook, WaitUntilNavigation.Load);
        await Until(page, run is null or Trust ? Opened : Ready);
        var watch = Stopwatch.StartNew();
        if (run is not null)
        {
            await page.Page.EvaluateExpressionAsync(run);
            await Until(page, run == Trust ? IsTrusted : Done);
        }
        var seconds = watch.Elapsed.TotalSeconds;
        if (isDrawn) await Until(page, Drawn);
        var drawn = await page.Page.EvaluateExpressionAsync<int>("document.querySelectorAll('.sweepbook-figure .main-svg:first-child').length");
        var text = await page.Page.EvaluateExpressionAsync<string>("document.querySelector('#notebook-container').innerText");
        var executed = await page.Page.EvaluateExpressionAsync<string>("JSON.stringify(Jupyter.notebook.toJSON())");
        await page.Page.EvaluateExpressionAsync("Jupyter.notebook.set_dirty(false); Jupyter.notebook.session && Jupyter.notebook.session.delete()");   // the kernel ends; nothing is asked on leaving
        await page.Page.CloseAsync();
        lock (page.Errors) lock (page.Requests) return new(JsonNode.Parse(executed)!, drawn, text, seconds, [.. page.Errors], [.. page.Requests]);
    }

    /// <summary>Asks again and again, also of a page that loads itself anew meanwhile.</summary>
    private static async Task Until(TestPage page, string condition)
    {
        for (var watch = Stopwatch.StartNew(); watch.ElapsedMilliseconds < LimitMs; await Task.Delay(PollMs))
        {
            try
            {
                if (await page.Page.EvaluateExpressionAsync<bool>($"!!({condition})()")) return;
            }
            catch (PuppeteerException)
            {
                // the page is on its way to itself
            }
        }
        var shown = await page.Page.EvaluateExpressionAsync<string>("document.body.innerText");
        throw new InvalidOperationException($"{page.Page.Url} waits for ever for {condition}\n{shown[..Math.Min(shown.Length, 3000)]}");
    }
}

/// <summary>What was seen of one notebook: its outputs, its drawn figures, its words, how long it ran, what the page complained of and asked for.</summary>
internal sealed record Visit(JsonNode Executed, int Drawn, string Text, double Seconds, IReadOnlyList<string> Errors, IReadOnlyList<string> Requests);

/// <summary>Every notebook as a person opens it.</summary>
[Collection(Course.Collection)]
public sealed partial class NotebooksInBrowserTests(Workbench workbench, Course course, ITestOutputHelper output) : IClassFixture<Workbench>
{
    private const string Here = "http://127.0.0.1:";   // the server, and the kernel's own page interface, which is confined to this machine

    public static TheoryData<string> Notebooks => [.. Workbench.Notebooks];

    [Theory, MemberData(nameof(Notebooks))]
    public void It_runs_to_its_end_and_draws_all_its_figures_with_the_network_cut(string notebook)
    {
        JupyterServer.SkipWithout();
        var visit = workbench.Visits[notebook];
        output.WriteLine($"{notebook}: {visit.Seconds:0.0} s");
        Assert.DoesNotContain(Outputs(visit.Executed), shown => shown.StartsWith("error"));
        var figures = Outputs(visit.Executed).Sum(shown => shown.Split("<figure ").Length - 1);
        Assert.True(figures >= 1, "no figures");
        Assert.Equal(figures, visit.Drawn);
        Assert.True(visit.Errors.Count == 0, string.Join('\n', visit.Errors));
        Assert.All(visit.Requests, url => Assert.True(url.StartsWith(Here) || url.StartsWith("data:") || url.StartsWith("blob:"), url));
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void It_gives_the_same_numbers_as_the_runner(string notebook)
    {
        JupyterServer.SkipWithout();
        var runner = JsonNode.Parse(File.ReadAllText(course.Executed(Path.Combine(Course.Notebooks, notebook))))!;
        Assert.Equal(Outputs(runner), Outputs(workbench.Visits[notebook].Executed));
    }

    [Fact]
    public void What_the_runner_executed_shows_its_figures_once_it_is_trusted_and_not_before()
    {
        JupyterServer.SkipWithout();
        Assert.Equal(0, workbench.Strange.Drawn);
        Assert.True(workbench.Trusted.Drawn >= 1);
        Assert.True(workbench.Trusted.Errors.Count == 0, string.Join('\n', workbench.Trusted.Errors));
    }

    /// <summary>All that the cells show after the set-up, one entry an output, without the marks that tell one figure from another on a page.</summary>
    private static List<string> Outputs(JsonNode notebook) =>
        [.. notebook["cells"]!.AsArray().Where(cell => (string?)cell!["cell_type"] == "code").Skip(1).SelectMany(cell => cell!["outputs"]!.AsArray())
            .Select(shown => $"{shown!["output_type"]} {Forms(shown["data"]?.AsObject())}{NotebookCell.Text(shown["text"])}{shown["evalue"]}")
            .Where(shown => shown is not "display_data text/html: ")];   // the place of a line of progress, which is gone when the work is done

    private static string Forms(JsonObject? data) =>
        FigureMark().Replace(string.Join('\n', (data ?? []).OrderBy(kind => kind.Key, StringComparer.Ordinal).Select(kind => $"{kind.Key}: {NotebookCell.Text(kind.Value)}")), "sweepbook-figure-id");

    [GeneratedRegex("sweepbook-[0-9]+-[0-9a-f]{8}")]
    private static partial Regex FigureMark();
}
