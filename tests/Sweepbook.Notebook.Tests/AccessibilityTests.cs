// SPDX-License-Identifier: MIT
using System.Text.Json;
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>axe-core finds nothing to complain of in a page, in light and in dark. It is fetched by <c>environment/axe.sh</c> and belongs to the tests alone.</summary>
public sealed class AccessibilityTests(SyntheticPage synthetic) : IClassFixture<SyntheticPage>
{
    private static readonly string Axe = Environment.GetEnvironmentVariable("SWEEPBOOK_AXE") ?? Path.Combine(TestFolder.Repository, "artifacts", "axe", "node_modules", "axe-core", "axe.min.js");

    [Fact]
    public async Task The_synthetic_page_has_no_violation_in_light_and_dark()
    {
        TestBrowser.SkipWithout();
        SkipWithout();
        await AssertNoViolation((await synthetic.Browser.OpenAsync(synthetic.File)).Page);
    }

    [Fact]
    public async Task What_is_wrong_is_found()
    {
        TestBrowser.SkipWithout();
        SkipWithout();
        var page = (await synthetic.Browser.OpenAsync(synthetic.File)).Page;
        await page.EvaluateExpressionAsync("document.querySelector('.sweepbook-legend button').textContent = ''; document.querySelector('html').removeAttribute('lang')");
        var found = await Violations(page);
        Assert.Contains(found, violation => violation.StartsWith("html-has-lang"));
        Assert.Contains(found, violation => violation.StartsWith("button-name"));
    }

    internal static void SkipWithout() => Assert.SkipUnless(File.Exists(Axe), "No axe-core here: run environment/axe.sh once, or name its script in SWEEPBOOK_AXE.");

    /// <summary>No violation in either scheme, with every folded part open.</summary>
    internal static async Task AssertNoViolation(IPage page)
    {
        await page.EvaluateExpressionAsync("for (const d of document.querySelectorAll('details')) d.open = true");
        foreach (var scheme in new[] { "light", "dark" })
        {
            await page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = scheme }]);
            await ReportPageInBrowserTests.AssertContrast(page);   // waits until the page knows of the scheme
            Assert.Empty(await Violations(page));
        }
    }

    private static async Task<string[]> Violations(IPage page)
    {
        if (!await page.EvaluateExpressionAsync<bool>("!!window.axe")) await page.EvaluateExpressionAsync(await File.ReadAllTextAsync(Axe) + ";0");   // not as a script element, which the page's own policy may refuse
        var violations = await page.EvaluateExpressionAsync<JsonElement>("axe.run(document, { resultTypes: ['violations'] }).then(r => r.violations.map(v => v.id + ' (' + v.impact + '): ' + v.help + ': ' + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(' | ')))");
        return [.. violations.EnumerateArray().Select(violation => violation.GetString()!)];
    }
}
