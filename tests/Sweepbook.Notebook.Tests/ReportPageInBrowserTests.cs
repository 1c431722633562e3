// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;
using System.Text.Json;
using System.Text.RegularExpressions;
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class ReportPageInBrowserTests(SyntheticPage synthetic) : IClassFixture<SyntheticPage>
{
    [Fact]
    public async Task It_works_from_a_file_with_the_network_cut_and_asks_for_nothing()
    {
        var page = await Open();
        Assert.True(page.Requests.All(url => url.StartsWith("file:") || url.StartsWith("data:") || url.StartsWith("http://192.0.2.1/")), string.Join("\n", page.Requests));
        // the picture that a text cell refers to is refused by the page's own policy, before the network is asked; nothing else is complained of
        Assert.All(page.Errors, error => Assert.Contains("Content Security Policy", error));
        Assert.True(page.Errors.Count <= 1);
        Assert.DoesNotContain("data-sweepbook=\"charts\"", System.IO.File.ReadAllText(synthetic.File));   // the page has the chart script of its own
        Assert.Contains("data-sweepbook=\\\"charts\\\"", System.IO.File.ReadAllText(synthetic.Executed));   // the notebook carries it
    }

    [Fact]
    public async Task Every_figure_is_drawn_with_data_and_says_in_words_what_it_shows()
    {
        var page = await Open();
        var figures = await page.Page.EvaluateFunctionAsync<JsonElement>("""
            () => [...document.querySelectorAll('.sweepbook-figure')].map(f => { const p = f.querySelector('.sweepbook-plot'); return {
              points: Math.max(...p.data.map(t => t.x.filter(v => v !== null && isFinite(v)).length)),
              paths: p.querySelectorAll('.trace path, .point path').length, label: p.getAttribute('aria-label'), source: f.querySelector('.sweepbook-source').textContent,
              titled: !!p._fullLayout.xaxis.title.text }; })
            """);
        Assert.Equal(4, figures.GetArrayLength());
        foreach (var figure in figures.EnumerateArray())
        {
            Assert.True(figure.GetProperty("points").GetInt32() >= 1 && figure.GetProperty("paths").GetInt32() >= 1, figure.ToString());
            Assert.True(figure.GetProperty("label").GetString()!.Length > 20);
            Assert.StartsWith("From this file: ", figure.GetProperty("source").GetString());
            Assert.True(figure.GetProperty("titled").GetBoolean());
        }
    }

    // IEC 60263:2020: 50 dB or 25 dB as long as one decade; the promise of the report is 2 %, drawn to whole pixels
    private const double Proportion = 0.02;

    [Theory]
    [InlineData(1200)]
    [InlineData(760)]
    [InlineData(420)]
    public async Task A_decade_is_as_long_as_fifty_or_twenty_five_decibels(int width)
    {
        var page = await Open(width);
        await AssertProportions(page.Page, 2);
        await page.Page.SetViewportAsync(new() { Width = width - 60, Height = 900 });
        await page.Page.WaitForFunctionAsync("() => [...document.querySelectorAll('.sweepbook-figure')].every(f => Math.abs(f.querySelector('.main-svg').clientWidth - Math.min(1000, f.clientWidth)) <= 1)");
        await AssertProportions(page.Page, 2);
    }

    internal static async Task AssertProportions(IPage page, int atLeast)
    {
        var measured = await page.EvaluateFunctionAsync<JsonElement>("""
            () => [...document.querySelectorAll('.sweepbook-figure[data-decades]')].map(f => {
              const at = (query, wanted, side) => { const t = [...f.querySelectorAll(query)].filter(t => wanted(t.textContent)); return t.map(e => { const b = e.getBoundingClientRect(); return { n: Number(e.textContent.replace('−', '-')), p: side === 'x' ? b.x + b.width / 2 : b.y + b.height / 2 }; }); };
              const x = at('.xaxislayer-above .xtick text', t => /^10*$/.test(t), 'x'), y = at('.yaxislayer-above .ytick text', t => t !== '', 'y');
              return { decade: Math.abs(x[x.length - 1].p - x[0].p) / Math.log10(x[x.length - 1].n / x[0].n), db: Math.abs(y[y.length - 1].p - y[0].p) / Math.abs(y[y.length - 1].n - y[0].n) }; })
            """);
        Assert.True(measured.GetArrayLength() >= atLeast);
        foreach (var figure in measured.EnumerateArray())
        {
            var decibels = figure.GetProperty("decade").GetDouble() / figure.GetProperty("db").GetDouble();
            Assert.True(Math.Abs(decibels / 50 - 1) <= Proportion || Math.Abs(decibels / 25 - 1) <= Proportion, $"A decade is as long as {decibels:0.00} dB.");
        }
    }

    [Theory]
    [InlineData("light")]
    [InlineData("dark")]
    public async Task Text_stands_out_from_the_page_in_light_and_dark(string scheme)
    {
        var page = await Open();
        await page.Page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = scheme }]);
        var luminance = await page.Page.EvaluateExpressionAsync<double>(Contrast + ";luminance(getComputedStyle(document.documentElement).backgroundColor)");
        Assert.True(scheme == "light" ? luminance > 0.8 : luminance < 0.1);
        await AssertContrast(page.Page);
    }

    // WCAG 2.2, 1.4.3: 4.5 to 1 for text, 3 to 1 for large text; contrast = (lighter + 0.05) / (darker + 0.05)
    private const string Contrast = """
        function channels(c) { const m = c.match(/[\d.]+/g).map(Number); return m.length < 4 ? [...m, 1] : m; }
        function luminance(c) { const [r, g, b] = channels(c).map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; }); return 0.2126 * r + 0.7152 * g + 0.0722 * b; }
        function ground(e) { for (; e; e = e.parentElement) { const c = getComputedStyle(e).backgroundColor; if (channels(c)[3] > 0.99) return c; } return 'rgb(255, 255, 255)'; }
        function faint() { const found = []; const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT); for (let n; (n = walk.nextNode());) {
          const e = n.parentElement, s = getComputedStyle(e); if (!n.textContent.trim() || ['SCRIPT', 'STYLE', 'NOSCRIPT'].includes(e.tagName) || !e.getClientRects().length) continue;
          const ink = e instanceof SVGElement ? s.fill : s.color, back = ground(e), a = luminance(ink), b = luminance(back), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
          if (ratio < (parseFloat(s.fontSize) >= 24 ? 3 : 4.5)) found.push(ratio.toFixed(2) + ' ' + n.textContent.trim().slice(0, 40)); } return found; }
        """;

    internal static async Task AssertContrast(IPage page)
    {
        var faint = await page.EvaluateExpressionAsync<string[]>(Contrast + ";faint()");
        for (var look = 0; look < 50 && faint.Length > 0; look++)   // the browser tells the page of a change of scheme a frame later
        {
            await Task.Delay(100, TestContext.Current.CancellationToken);
            faint = await page.EvaluateExpressionAsync<string[]>(Contrast + ";faint()");
        }
        Assert.Empty(faint);
    }

    [Fact]
    public async Task Names_stay_text_wherever_they_are_written()
    {
        var page = (await Open()).Page;
        Assert.Equal(SyntheticPage.HostileTitle, await page.EvaluateExpressionAsync<string>("document.title"));
        Assert.Equal(SyntheticPage.HostileTitle, await page.EvaluateExpressionAsync<string>("document.querySelector('h1').textContent"));
        Assert.True(await page.EvaluateExpressionAsync<bool>("window.broken === undefined"));
        Assert.Equal(0, await page.EvaluateExpressionAsync<int>("document.querySelectorAll('img[src=\"x\"]').length"));
        var drawn = await page.EvaluateExpressionAsync<string>("[...document.querySelectorAll('.main-svg text')].map(t => t.textContent).join('\\n')");
        Assert.Contains(SyntheticPage.HostileTitle, drawn);
        foreach (var place in new[] { ".sweepbook-findings", "pre.output", "footer", ".sweepbook-table" })
            Assert.Contains(SyntheticPage.HostileTitle, await page.EvaluateFunctionAsync<string>("q => document.querySelector(q).textContent", place));
    }

    [Fact]
    public async Task The_page_has_landmarks_headings_in_order_and_a_name_for_everything()
    {
        var page = (await Open()).Page;
        await AssertAccessible(page);
        Assert.Equal(4, await page.EvaluateExpressionAsync<int>("document.querySelectorAll('nav a').length"));
        Assert.True(await page.EvaluateExpressionAsync<bool>("[...document.querySelectorAll('nav a')].every(a => document.getElementById(a.hash.slice(1)))"));
        Assert.True(await page.EvaluateExpressionAsync<bool>("[...document.querySelectorAll('details')].length > 5 && [...document.querySelectorAll('details')].every(d => !d.open)"));
        Assert.True(await page.EvaluateExpressionAsync<bool>("[...document.querySelectorAll('summary')].some(s => s.textContent.startsWith('Checked'))"));
    }

    internal static async Task AssertAccessible(IPage page) => Assert.Empty(await page.EvaluateFunctionAsync<string[]>("""
        () => { const bad = [], all = q => [...document.querySelectorAll(q)];
          if (document.documentElement.lang !== 'en') bad.push('no language');
          for (const q of ['header', 'main', 'footer', 'h1']) if (all('body > ' + q + ', header > ' + q).length !== 1) bad.push('not one ' + q);
          let level = 0; for (const h of all('h1,h2,h3,h4,h5,h6')) { const now = Number(h.tagName[1]); if (now > level + 1) bad.push('heading skips to ' + h.textContent); level = now; }
          for (const e of all('[role=img],[role=region],nav,section')) if (!e.getAttribute('aria-label')) bad.push('no name: ' + e.outerHTML.slice(0, 60));
          for (const e of all('img')) if (!e.hasAttribute('alt')) bad.push('no alt');
          for (const e of all('button,a,summary')) if (!e.textContent.trim()) bad.push('empty ' + e.tagName);
          for (const e of all('table')) if (!e.querySelector('th[scope]')) bad.push('table without headers');
          const ids = all('[id]').map(e => e.id).filter(i => i); if (new Set(ids).size !== ids.length) bad.push('an id twice');
          return bad; }
        """));

    [Theory]
    [InlineData(1200)]
    [InlineData(760)]
    [InlineData(420)]
    public async Task The_words_at_the_bars_stay_inside_the_picture_and_off_the_names(int width)
    {
        var page = (await Open(width)).Page;
        Assert.Empty(await page.EvaluateExpressionAsync<string[]>("""
            (() => { const figure = document.querySelector('.first .sweepbook-figure'), frame = figure.querySelector('.main-svg').getBoundingClientRect();
              const boxes = q => [...figure.querySelectorAll(q)].map(e => ({ t: e.textContent, b: e.getBoundingClientRect() })), names = boxes('.ytick text'), words = boxes('.textpoint text'), bad = [];
              for (const w of words) { if (w.b.left < frame.left || w.b.right > frame.right + 1) bad.push('outside: ' + w.t);
                for (const n of [...names, ...words]) if (n !== w && n.b.left < w.b.right - 2 && w.b.left < n.b.right - 2 && n.b.top < w.b.bottom - 2 && w.b.top < n.b.bottom - 2) bad.push(w.t + ' on ' + n.t); }
              return bad; })()
            """));
    }

    [Theory]
    [InlineData(1200)]
    [InlineData(400)]
    [InlineData(340)]
    public async Task The_words_at_the_axes_are_whole_and_apart(int width)
    {
        var page = (await Open(width)).Page;
        await AssertAxes(page);
    }

    internal static async Task AssertAxes(IPage page) => Assert.Empty(await page.EvaluateExpressionAsync<string[]>("""
        (() => { const bad = [], box = e => e.getBoundingClientRect(), apart = 4;
          for (const figure of document.querySelectorAll('.sweepbook-figure')) { const frame = box(figure.querySelector('.main-svg'));
            const labels = [...figure.querySelectorAll('.xtick text')].filter(e => e.textContent.trim()).sort((a, b) => box(a).left - box(b).left);
            labels.forEach((e, k) => { if (k > 0 && box(e).left < box(labels[k - 1]).right + apart) bad.push(labels[k - 1].textContent + ' runs into ' + e.textContent); });
            if (labels.length < 2) bad.push('too few labels');
            for (const e of [...labels, ...figure.querySelectorAll('.xtitle, .ytitle')]) if (box(e).top < frame.top - 1 || box(e).bottom > frame.bottom + 1 || box(e).left < frame.left - 1 || box(e).right > frame.right + 1) bad.push('cut off: ' + e.textContent); }
          return bad; })()
        """));

    [Fact]
    public async Task A_seat_can_be_taken_out_of_a_figure_and_put_back_by_its_legend()
    {
        var page = (await Open()).Page;
        const string Shown = "[...document.querySelectorAll('.sweepbook-figure[data-decades]')][0].querySelectorAll('.scatterlayer .trace').length";
        var before = await page.EvaluateExpressionAsync<int>(Shown);
        await page.EvaluateExpressionAsync("document.querySelector('.sweepbook-figure[data-decades] button').click()");
        var after = await page.EvaluateExpressionAsync<int>(Shown);
        Assert.True(after < before, $"{before} curves before, {after} after");
        Assert.Equal("false", await page.EvaluateExpressionAsync<string>("document.querySelector('.sweepbook-figure[data-decades] button').getAttribute('aria-pressed')"));
        await page.EvaluateExpressionAsync("document.querySelector('.sweepbook-figure[data-decades] button').click()");
        Assert.Equal(before, await page.EvaluateExpressionAsync<int>(Shown));
    }

    [Fact]
    public async Task It_prints_on_A4_without_an_empty_page()
    {
        var page = (await Open()).Page;
        await AssertPrints(page, 2, 8);
        await ReportPageInBrowserTests.AssertProportions(page, 2);   // and the page is as before afterwards
    }

    [Fact]
    public async Task A_dark_page_prints_dark_words_and_lines_on_white()
    {
        var page = (await Open()).Page;
        await page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = "dark" }]);
        await AssertContrast(page);
        await page.EvaluateExpressionAsync(Contrast + """
            ;window.inks = []; addEventListener('beforeprint', () => { for (const e of document.querySelectorAll('.main-svg text')) if (e.textContent.trim()) inks.push(luminance(getComputedStyle(e).fill));
              for (const p of document.querySelectorAll('.sweepbook-plot')) { const l = p._fullLayout; window.grids = (window.grids || []).concat([l.xaxis.gridcolor, l.xaxis.linecolor]); } }); 0
            """);
        await AssertPrints(page, 2, 8);
        var inks = await page.EvaluateExpressionAsync<double[]>("inks");
        Assert.True(inks.Length > 50, $"{inks.Length} words");
        // luminance from 0 to 1: on white, 4.5 to 1 (WCAG 2.2, 1.4.3) is at most 1.05 / 4.5 - 0.05
        Assert.All(inks, luminance => Assert.InRange(luminance, 0, 1.05 / 4.5 - 0.05));
        Assert.All(await page.EvaluateExpressionAsync<string[]>("grids"), colour => Assert.Equal("#cdcac2", colour));
        await AssertContrast(page);   // and the page is dark again afterwards
    }

    internal static async Task AssertPrints(IPage page, int fewest, int most)
    {
        var pdf = await page.PdfDataAsync(new() { PreferCSSPageSize = true, PrintBackground = true });
        var text = Encoding.Latin1.GetString(pdf);
        var boxes = Regex.Matches(text, @"/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]");
        Assert.InRange(boxes.Count, fewest, most);
        const double A4WidthPoints = 210 / 25.4 * 72, A4HeightPoints = 297 / 25.4 * 72, Rounding = 1;   // the browser rounds a sheet to pixels
        foreach (Match box in boxes)
        {
            Assert.Equal(A4WidthPoints, double.Parse(box.Groups[1].Value), Rounding);
            Assert.Equal(A4HeightPoints, double.Parse(box.Groups[2].Value), Rounding);
        }
        foreach (var share in await DarkShares(pdf)) Assert.True(share > 0.002, $"A printed page is empty ({share:P2} dark).");
    }

    /// <summary>Per page: the share of pixels that are not nearly white.</summary>
    private static async Task<List<double>> DarkShares(byte[] pdf)
    {
        Assert.SkipUnless(File.Exists("/usr/bin/pdftoppm"), "No pdftoppm here (Debian: poppler-utils).");
        using var folder = new TestFolder();
        await File.WriteAllBytesAsync(folder.File("page.pdf"), pdf);
        using (var process = Process.Start("pdftoppm", ["-r", "30", "-gray", folder.File("page.pdf"), folder.File("page")])) await process.WaitForExitAsync();
        var shares = new List<double>();
        foreach (var file in Directory.GetFiles(folder.Path, "page-*.pgm").Order())
        {
            var bytes = await File.ReadAllBytesAsync(file);
            var pixels = bytes.AsSpan(15);   // past "P5", two sizes and the depth
            var dark = 0;
            foreach (var pixel in pixels) if (pixel < 200) dark++;
            shares.Add((double)dark / pixels.Length);
        }
        Assert.NotEmpty(shares);
        return shares;
    }

    private async Task<TestPage> Open(int width = 1200)
    {
        TestBrowser.SkipWithout();
        return await synthetic.Browser.OpenAsync(synthetic.File, width);
    }
}
