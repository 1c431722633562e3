// SPDX-License-Identifier: MIT
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>The figures of step, energy, delay, phase and window on a real page, light, dark and narrow.</summary>
public sealed class ViewPageTests(ViewStudies studies) : IClassFixture<ViewStudies>
{
    private const string KeepIn = "SWEEPBOOK_PICTURES";   // a folder, to look at what the tests looked at

    [Fact]
    public async Task Every_figure_draws_itself_inside_its_page_with_a_text_for_those_who_cannot_see_it()
    {
        TestBrowser.SkipWithout();
        using var folder = new TestFolder();
        string[] figures = ["ImpulseResponse", "StepResponse", "EnergyTimeCurve", "GroupDelay", "Phase"];
        var cells = figures.SelectMany(figure => new[] { "main-left", "sub-front" }.Select(source => TestCell.Code($"Figures.{figure}(study, \"{source}\", \"sofa-centre\")")))
            .Append(TestCell.Code("Figures.Windowed(study, \"main-left\", \"sofa-centre\", ImpulseWindow.OfMilliseconds(leftMs: 5, rightMs: 20))"))
            .Append(TestCell.Code("Figures.Windowed(study, \"sub-front\", \"sofa-centre\", ImpulseWindow.OfMilliseconds(leftMs: 200, rightMs: 200))"))
            .Append(TestCell.Code($"Figures.StepResponse(Study.Of(Survey.Read(\"{studies.UnknownFolder.Replace('\\', '/')}\")).Response(\"main-left\", \"sofa-centre\"))"));
        var notebook = folder.Notebook([TestCell.Text("# What does the sound do over time?\n\nOne line of answer.", "about"), TestFolder.Setup with { Tags = ["about"] },
            TestCell.Code($"using Sweepbook.Impulses; using Sweepbook.Studies; using Sweepbook.Surveys;\nvar study = Study.Of(Survey.Read(\"{studies.TimedFolder.Replace('\\', '/')}\"));"), .. cells]);
        var file = folder.File("report.html");
        var result = await NotebookRun.StartAsync(new() { Notebook = notebook, Output = folder.File("executed.ipynb"), Page = file, Title = "Views", Command = "sweepbook run views.ipynb" });
        Assert.True(result.Succeeded, result.Failure?.ToString());
        await using var browser = await TestBrowser.StartAsync();
        foreach (var (name, width, isDark) in new[] { ("light", 1200, false), ("dark", 1200, true), ("narrow", 420, false) })
        {
            var opened = await browser.OpenAsync(file, width);
            if (isDark) await opened.Page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = "dark" }]);
            Assert.Equal(13, await opened.Page.EvaluateExpressionAsync<int>("[...document.querySelectorAll('.sweepbook-figure')].filter(f => f.querySelector('.main-svg .trace')).length"));
            Assert.False(await opened.Page.EvaluateExpressionAsync<bool>("document.documentElement.scrollWidth > innerWidth + 1"), $"The {name} page is wider than its window.");
            Assert.Equal(0, await opened.Page.EvaluateExpressionAsync<int>("[...document.querySelectorAll('.sweepbook-plot')].filter(p => !(p.getAttribute('aria-label') || '').length).length"));
            Assert.Empty(opened.Errors);
            if (Environment.GetEnvironmentVariable(KeepIn) is { Length: > 0 } kept) await opened.Page.ScreenshotAsync(Path.Combine(kept, $"views-{name}.png"), new() { FullPage = true });
            await opened.Page.CloseAsync();
        }
    }
}
