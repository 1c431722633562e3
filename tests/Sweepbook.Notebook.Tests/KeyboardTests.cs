// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class KeyboardTests
{
    [Fact]
    public async Task A_figure_tells_its_values_to_the_keyboard_and_lets_go_at_Escape()
    {
        TestBrowser.SkipWithout();
        using var folder = new TestFolder();
        await File.WriteAllTextAsync(folder.File("page.html"), $"<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>t</title><script>{ChartScript.Library}</script><script>{ChartScript.Drawing}</script><script>window.seen=[];document.addEventListener('keydown',e=>window.seen.push(e.key))</script><body>{Synthetic.Curves(20, 20000).ToHtml()}{Synthetic.Bands().ToHtml()}</body></html>");
        await using var browser = await TestBrowser.StartAsync();
        var opened = await browser.OpenAsync(folder.File("page.html"));
        var page = opened.Page;
        async Task<string> Read() => await page.EvaluateExpressionAsync<string>("document.activeElement.parentElement.querySelector('.sweepbook-reading').textContent");
        async Task<string> Press(string key)
        {
            await page.Keyboard.PressAsync(key);
            return await Read();
        }

        for (var n = 0; n < 5; n++) await page.Keyboard.PressAsync("Tab");   // the legend's five buttons
        Assert.Equal("BUTTON", await page.EvaluateExpressionAsync<string>("document.activeElement.tagName"));
        Assert.StartsWith("Arrow keys", await Press("Tab"));
        Assert.NotEqual("none", await page.EvaluateExpressionAsync<string>("getComputedStyle(document.activeElement).outlineStyle"));
        Assert.Matches(@"^sofa-left: 20 Hz, −?\d+(\.\d+)? dB", await Press("ArrowRight"));
        Assert.Matches(@"^sofa-left: 20\.1\d* Hz, ", await Press("ArrowRight"));
        Assert.Matches(@"^sofa-centre: 20\.1\d* Hz, ", await Press("ArrowDown"));   // the same frequency
        Assert.Matches(@"^sofa-left: 20\.1\d* Hz, ", await Press("ArrowUp"));
        Assert.Matches(@"^sofa-left: (20000|199\d\d|198\d\d) Hz", await Press("End"));
        Assert.Matches("^sofa-left: 20 Hz", await Press("Home"));
        await page.Keyboard.DownAsync("Shift");
        Assert.Matches("^sofa-left: (2[4-9]|[3-9][0-9])", await Press("ArrowRight"));   // a twentieth of the curve at once
        await page.Keyboard.UpAsync("Shift");
        Assert.DoesNotContain("ArrowRight", await page.EvaluateExpressionAsync<string[]>("window.seen"));   // a notebook's cells stay where they are
        await page.Keyboard.PressAsync("Escape");
        Assert.Equal("BODY", await page.EvaluateExpressionAsync<string>("document.activeElement.tagName"));
        await page.Keyboard.PressAsync("ArrowRight");
        Assert.Contains("ArrowRight", await page.EvaluateExpressionAsync<string[]>("window.seen"));
        await page.FocusAsync("figure:last-of-type .sweepbook-plot");
        Assert.Matches(@"^sub-left, sofa-left: Level: 11 to 170 Hz, below: noise 9 dB below the signal", await Press("ArrowRight"));
        foreach (var (happens, shown) in new[] { ("beforeprint", false), ("afterprint", true) })   // what was read last is not printed
            Assert.Equal(shown, await page.EvaluateExpressionAsync<bool>($"window.dispatchEvent(new Event('{happens}')), document.activeElement.parentElement.querySelector('.sweepbook-reading').offsetHeight > 0"));
        Assert.Empty(opened.Errors);
    }
}
