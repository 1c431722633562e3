// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using PuppeteerSharp;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Every notebook opened in Jupyter and run by the menu's command to run all cells, once; server, kernels and browser have no network.</summary>
public sealed class Workbench : IAsyncLifetime
{
    private const int AtATime = 2;   // a kernel keeps one processor busy
    private const int LimitMs = 300_000;
    private const int PollMs = 200;   // a page behind another one gets no frames to wait for
    private const string Ready = "() => window.Jupyter && Jupyter.notebook && Jupyter.notebook._fully_loaded && Jupyter.notebook.kernel && Jupyter.notebook.kernel.is_connected()";
    private const string Done = """
        () => { const cells = Jupyter.notebook.get_cells().filter(c => c.cell_type === 'code' && c.get_text().trim());
          return cells.some(c => c.output_area.outputs.some(o => o.output_type === 'error')) || cells.every(c => typeof c.input_prompt_number === 'number') && !Jupyter.notebook.kernel_busy; }
        """;
    private const string Drawn = "() => [...document.querySelectorAll('.sweepbook-figure')].every(f => f.querySelector('.main-svg'))";

    internal static IReadOnlyList<string> Notebooks { get; } = [.. Directory.GetFiles(Course.Notebooks, "*.ipynb").Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)];

    internal string Address { get; private set; } = "";

    internal Dictionary<string, Visit> Visits { get; } = [];

    public async ValueTask InitializeAsync()
    {
        if (!JupyterServer.IsHere) return;   // each test says so
        await using var server = await JupyterServer.StartAsync();
        await using var browser = await TestBrowser.StartAsync(server.Network);
        Address = server.Address;
        await Parallel.ForEachAsync(Notebooks, new ParallelOptions { MaxDegreeOfParallelism = AtATime }, async (notebook, _) =>
        {
            var visit = await VisitAsync(browser, $"{server.Address}notebooks/{notebook}");
            lock (Visits) Visits.Add(notebook, visit);
        });
    }

    public ValueTask DisposeAsync() => ValueTask.CompletedTask;

    private static async Task<Visit> VisitAsync(TestBrowser browser, string address)
    {
        var page = await browser.BlankAsync();
        await page.Page.GoToAsync(address, WaitUntilNavigation.Load);
        await page.Page.WaitForFunctionAsync(Ready, new WaitForFunctionOptions { Timeout = LimitMs, PollingInterval = PollMs });
        var watch = Stopwatch.StartNew();
        await page.Page.EvaluateExpressionAsync("document.querySelector('#run_all_cells a').click()");
        await page.Page.WaitForFunctionAsync(Done, new WaitForFunctionOptions { Timeout = LimitMs, PollingInterval = PollMs });
        var seconds = watch.Elapsed.TotalSeconds;
        await page.Page.WaitForFunctionAsync(Drawn, new WaitForFunctionOptions { Timeout = LimitMs, PollingInterval = PollMs });
        var drawn = await page.Page.EvaluateExpressionAsync<int>("document.querySelectorAll('.sweepbook-figure .main-svg:first-child').length");
        var executed = await page.Page.EvaluateExpressionAsync<string>("JSON.stringify(Jupyter.notebook.toJSON())");
        await page.Page.EvaluateExpressionAsync("Jupyter.notebook.set_dirty(false); Jupyter.notebook.session.delete()");   // the kernel ends; nothing is asked on leaving
        await page.Page.CloseAsync();
        lock (page.Errors) lock (page.Requests) return new(JsonNode.Parse(executed)!, drawn, seconds, [.. page.Errors], [.. page.Requests]);
    }
}

/// <summary>What was seen of one notebook: its outputs, its drawn figures, how long it ran, what the page complained of and asked for.</summary>
internal sealed record Visit(JsonNode Executed, int Drawn, double Seconds, IReadOnlyList<string> Errors, IReadOnlyList<string> Requests);

/// <summary>Every notebook as a person opens it.</summary>
[Collection(Course.Collection)]
public sealed partial class NotebooksInBrowserTests(Workbench workbench, Course course, ITestOutputHelper output) : IClassFixture<Workbench>
{
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
        Assert.Empty(visit.Errors);
        Assert.All(visit.Requests, url => Assert.True(url.StartsWith(workbench.Address) || url.StartsWith("data:") || url.StartsWith("blob:"), url));
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void It_gives_the_same_numbers_as_the_runner(string notebook)
    {
        JupyterServer.SkipWithout();
        var runner = JsonNode.Parse(File.ReadAllText(course.Executed(Path.Combine(Course.Notebooks, notebook))))!;
        Assert.Equal(Outputs(runner), Outputs(workbench.Visits[notebook].Executed));
    }

    /// <summary>All that the cells show after the set-up, one entry an output, without the marks that tell one figure from another on a page.</summary>
    private static List<string> Outputs(JsonNode notebook) =>
        [.. notebook["cells"]!.AsArray().Where(cell => (string?)cell!["cell_type"] == "code").Skip(1).SelectMany(cell => cell!["outputs"]!.AsArray())
            .Select(shown => $"{shown!["output_type"]} {Forms(shown["data"]?.AsObject())}{NotebookCell.Text(shown["text"])}{shown["evalue"]}")];

    private static string Forms(JsonObject? data) =>
        FigureMark().Replace(string.Join('\n', (data ?? []).OrderBy(kind => kind.Key, StringComparer.Ordinal).Select(kind => $"{kind.Key}: {NotebookCell.Text(kind.Value)}")), "sweepbook-figure-id");

    [GeneratedRegex("sweepbook-[0-9]+-[0-9a-f]{8}")]
    private static partial Regex FigureMark();
}
