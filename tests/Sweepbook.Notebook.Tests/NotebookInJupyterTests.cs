// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.Json.Nodes;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Notebooks through the untouched kernel tool, as Jupyter runs them (<c>sweepbook jupyter install</c> installs it).</summary>
public sealed class NotebookInJupyterTests : IDisposable
{
    private const string Converter = "/usr/bin/jupyter-nbconvert";

    private readonly TestFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    internal static string KernelFolder =>
        Environment.GetEnvironmentVariable("SWEEPBOOK_JUPYTER") ?? Path.Combine(TestFolder.Repository, "artifacts", "jupyter");

    [Fact]
    public async Task The_same_first_cell_works_in_the_untouched_kernel_and_figures_draw_themselves()
    {
        SkipWithout();
        var notebook = _folder.Notebook(TestFolder.Setup, TestCell.Code("Synthetic.Curves(10, 20000)"), TestCell.Code("Synthetic.Bands()"),
            TestCell.Code("Deedle.Frame.FromRecords(new[] { new { seat = \"sofa\", level_db = -3.25 } })"));
        await Convert("notebook", "--execute", notebook, "executed.ipynb");
        var outputs = JsonNode.Parse(File.ReadAllText(_folder.File("executed.ipynb")))!["cells"]!.AsArray().SelectMany(cell => cell!["outputs"]!.AsArray()).ToArray();
        Assert.DoesNotContain(outputs, output => (string?)output!["output_type"] == "error");
        Assert.Equal(2, outputs.Count(output => Html(output).Contains("class=\"sweepbook-figure\"")));
        Assert.Equal(1, outputs.Count(output => Html(output).Contains("class=\"sweepbook-table\"")));

        TestBrowser.SkipWithout();
        await Convert("html", "--log-level=WARN", _folder.File("executed.ipynb"), "executed.html");
        await using var browser = await TestBrowser.StartAsync();
        var page = await browser.OpenAsync(_folder.File("executed.html"));
        Assert.Equal(2, await page.Page.EvaluateExpressionAsync<int>("document.querySelectorAll('.sweepbook-plot .main-svg:first-child').length"));
        await ReportPageInBrowserTests.AssertProportions(page.Page, 1);
    }

    [Fact]
    public async Task A_notebook_that_the_runner_executed_draws_its_figures_too()
    {
        Assert.SkipUnless(File.Exists(Converter), "No nbconvert here (Debian: jupyter-nbconvert).");
        TestBrowser.SkipWithout();
        var notebook = _folder.Notebook(TestFolder.Setup, TestCell.Code("Synthetic.Curves(10, 20000)"), TestCell.Code("Synthetic.Bands()"));
        var result = await Report.NotebookRun.StartAsync(new() { Notebook = notebook, Output = _folder.File("executed.ipynb") }, null, TestContext.Current.CancellationToken);
        Assert.True(result.Succeeded, result.Failure?.ToString());
        await Convert("html", "--log-level=WARN", _folder.File("executed.ipynb"), "executed.html");
        Assert.Equal(1, File.ReadAllText(_folder.File("executed.html")).Split("<script data-sweepbook=\"charts\">").Length - 1);
        await using var browser = await TestBrowser.StartAsync();
        var page = await browser.OpenAsync(_folder.File("executed.html"));
        Assert.Equal(2, await page.Page.EvaluateExpressionAsync<int>("[...document.querySelectorAll('.sweepbook-plot')].filter(p => p.querySelector('.trace path, .point path')).length"));
    }

    private static string Html(JsonNode? output) => Report.NotebookCell.Text(output!["data"]?["text/html"]);

    internal static bool IsHere => File.Exists(Converter) && Directory.Exists(Path.Combine(KernelFolder, "kernels"));

    internal static void SkipWithout()
    {
        Assert.SkipUnless(File.Exists(Converter), "No nbconvert here (Debian: jupyter-nbconvert).");
        Assert.SkipUnless(Directory.Exists(Path.Combine(KernelFolder, "kernels")), "The kernel is not installed: environment/sweepbook jupyter install --into artifacts/jupyter");
    }

    private Task Convert(string to, string option, string from, string name) => ConvertAsync(to, option, from, _folder.Path, name);

    internal static async Task ConvertAsync(string to, string option, string from, string folder, string name)
    {
        var start = new ProcessStartInfo(Converter, ["--to", to, option, "--output-dir", folder, "--output", name, from]) { RedirectStandardError = true, RedirectStandardOutput = true };
        start.Environment["JUPYTER_PATH"] = KernelFolder;
        using var process = Process.Start(start)!;
        var said = await process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, said);
    }
}
