// SPDX-License-Identifier: MIT
using System.Text.Json;
using PuppeteerSharp;
using PuppeteerSharp.Media;
using Sweepbook.Decay;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class WaterfallFigureTests
{
    private const double LateOverNoiseDb = 8.4;   // ln 1000 = 6.9 times the mean power: one slice of noise in a thousand

    [Fact]
    public void The_colours_are_the_levels_of_the_map_below_its_loudest_and_blank_where_noise_may_reach()
    {
        var map = SyntheticDecay.Map(DecayMapKind.Cumulative);
        var heat = FigureTests.JsonOf(Figures.Waterfall(map)).GetProperty("data")[0];
        Assert.Equal("heatmap", heat.GetProperty("type").GetString());
        double[] x = Numbers(heat.GetProperty("x")), y = Numbers(heat.GetProperty("y"));
        var z = heat.GetProperty("z").EnumerateArray().Select(row => row.EnumerateArray().ToArray()).ToArray();
        Assert.Equal((y.Length - 1, x.Length - 1), (z.Length, z[0].Length));
        var loudest = Enumerable.Range(0, map.SliceSeconds.Count).Max(i => Enumerable.Range(0, map.FrequenciesHz.Count).Max(k => map.LevelDb(i, k)));
        var (drawn, blank) = (0, 0);
        for (var row = 0; row < z.Length; row++)
            for (var column = 0; column < z[row].Length; column++)
            {
                var slice = Enumerable.Range(0, map.SliceSeconds.Count).MinBy(i => Math.Abs(map.SliceSeconds[i] * 1000 - (y[row] + y[row + 1]) / 2));
                var inside = Enumerable.Range(0, map.FrequenciesHz.Count).Where(k => (int)Math.Floor(32 * Math.Log2(map.FrequenciesHz[k])) == (int)Math.Floor(32 * Math.Log2(Math.Sqrt(x[column] * x[column + 1])))).ToArray();
                if (inside.Length == 0) continue;
                var level = inside.Max(k => map.LevelDb(slice, k));
                if (z[row][column].ValueKind == JsonValueKind.Null)
                {
                    Assert.True(level <= inside.Max(map.NoiseDb) + LateOverNoiseDb || level < loudest - 50);
                    blank++;
                }
                else
                {
                    Assert.True(level > inside.Max(map.NoiseDb));
                    Assert.Equal(level - loudest, z[row][column].GetDouble(), 0.051);   // printed to a tenth
                    drawn++;
                }
            }
        Assert.True(drawn > 1000 && blank > 1000, $"{drawn} drawn, {blank} blank");
    }

    /// <summary>Noise goes up and down: of its slices a tenth stand 2.3 times above the mean, and would be drawn as if sound came back.</summary>
    [Fact]
    public void Noise_behind_a_decay_is_not_drawn_as_sound()
    {
        var heat = FigureTests.JsonOf(Figures.Waterfall(DecayMap.Cumulative(SyntheticDecay.Response(noiseRatio: 0.1), fromHz: 20, toHz: 500))).GetProperty("data")[0];
        var z = heat.GetProperty("z").EnumerateArray().Select(row => row.EnumerateArray().ToArray()).ToArray();
        var (late, again) = (0, 0);
        for (var column = 0; column < z[0].Length; column++)
        {
            var blank = Array.FindIndex(z, row => row[column].ValueKind == JsonValueKind.Null);
            if (blank < 0) continue;
            late += z.Length - blank;
            again += z[blank..].Count(row => row[column].ValueKind != JsonValueKind.Null);
        }
        Assert.True(late > 3000, $"only {late} cells behind a decay");
        Assert.InRange(again, 0, late / 40);   // 1 in 1000 draws; but a column shows the strongest of a few, over a mean known from a handful of slices
    }

    [Fact]
    public void The_label_of_a_peak_near_the_right_end_stands_to_its_left()
    {
        var figure = Figures.Waterfall(DecayMap.Cumulative(SyntheticDecay.Response(), fromHz: 20, toHz: 220));
        var marks = FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray().Where(trace => trace.TryGetProperty("textposition", out _)).ToArray();
        foreach (var mark in marks)
            Assert.Equal(Numbers(mark.GetProperty("x"))[0] > 150 ? "bottom left" : "bottom right", mark.GetProperty("textposition").GetString());
        Assert.Contains(marks, mark => Numbers(mark.GetProperty("x"))[0] > 150);
    }

    [Theory]
    [InlineData(DecayMapKind.Cumulative)]
    [InlineData(DecayMapKind.Spectrogram)]
    [InlineData(DecayMapKind.ConstantRelative)]
    public void The_finest_detail_is_drawn_to_scale_at_every_labelled_frequency(DecayMapKind kind)
    {
        var map = SyntheticDecay.Map(kind);
        var boxes = FigureTests.JsonOf(Figures.Waterfall(map)).GetProperty("data").EnumerateArray().Where(trace => trace.TryGetProperty("fill", out _)).ToArray();
        Assert.Equal(kind == DecayMapKind.ConstantRelative ? 4 : 5, boxes.Length);   // 20 or above it, 50, 100, 200 and 500 Hz; its grid ends below 500
        foreach (var box in boxes)
        {
            double[] x = Numbers(box.GetProperty("x")), y = Numbers(box.GetProperty("y"));
            var centre = (x.Min() + x.Max()) / 2;
            var resolution = map.ResolutionAt(Enumerable.Range(0, map.FrequenciesHz.Count).MinBy(k => Math.Abs(map.FrequenciesHz[k] - centre)));
            Assert.Equal(resolution.FrequencyHz, x.Max() - x.Min(), 0.01);
            Assert.Equal(resolution.TimeSeconds * 1000, y.Max() - y.Min(), 0.1);
            Assert.True(y.Min() > map.SliceSeconds[^1] * 1000);   // above the map, so that nothing is hidden
        }
    }

    [Fact]
    public void It_says_the_slowest_frequency_and_what_the_window_does()
    {
        var figure = Figures.Waterfall(SyntheticDecay.Map(DecayMapKind.Cumulative), "an invented room");
        Assert.StartsWith("an invented room, 20 Hz to 500 Hz over 1 s. The slowest: 29.3 Hz takes 0.9", figure.TextAlternative);
        Assert.Contains("through a window of 0.5 s", figure.Note);
        Assert.Contains("2.2 Hz wide and 25 ms high everywhere", figure.Note);
        Assert.Contains("no 60 dB can seem to take less than 0.040 s", figure.Note);
        Assert.Contains("Grey: lower still, or no more than noise may reach.", figure.Note);
        var marks = FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray().Where(trace => trace.GetProperty("mode", "") == "lines+text").Select(trace => trace.GetProperty("text")[2].GetString()!).ToArray();
        Assert.Equal(3, marks.Length);
        Assert.Matches("29.3 Hz<br>.*0.9", marks[0]);
    }

    [Fact]
    public void A_map_without_peaks_or_with_unknown_noise_says_so()
    {
        var part = SyntheticDecay.Response().Between(0, 0.8);
        var figure = Figures.Waterfall(DecayMap.Cumulative(part, 20, 500));
        Assert.EndsWith("No frequency stands out as slow.", figure.TextAlternative);
        Assert.Contains("the record is too short to tell the noise", figure.Note);
    }

    [Fact]
    public void Of_a_study_each_source_has_one_figure_at_the_seat_with_its_slowest_peak()
    {
        var folder = Path.Combine(TestFolder.Repository, "data-demo", "orchard-row");
        Assert.SkipUnless(File.Exists(Path.Combine(folder, Survey.FileName)), "The demo survey is not there; compute it from its plan with `sweepbook simulate`.");
        var survey = Survey.Read(folder);
        var study = Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName == "sub-front")]);   // five seats, so that the slowest is a choice
        var told = study.Findings.Where(finding => finding.Id == "slow-peak").ToArray();
        var figures = Figures.Waterfalls(study);
        Assert.Equal(told.Length, figures.Count);
        Assert.Single(told);
        foreach (var (finding, figure) in told.Zip(figures))
        {
            Assert.StartsWith(finding.Subject.Split(" at ")[0], figure.TextAlternative);
            Assert.Contains($"{finding.Value:0.00} s", figure.TextAlternative);
            Assert.Equal("slow-peaks.csv", figure.FromFile);
            Assert.Contains("Dotted: slow peaks", figure.Note, StringComparison.Ordinal);
        }
        Assert.Contains(figures, figure => figure.Note.Contains("slow peaks up to 200 Hz", StringComparison.Ordinal));   // a map that goes on above
        foreach (var response in study.Responses)
            Assert.Equal(response.BassDecay() is null ? 0 : 1, Figures.Waterfalls(study, response.Source, response.Seat).Count);
        Assert.Throws<ArgumentException>(() => Figures.Waterfalls(study, "nobody", "near"));
    }

    private static double[] Numbers(JsonElement array) => [.. array.EnumerateArray().Select(number => number.GetDouble())];
}

public sealed class WaterfallInBrowserTests(WaterfallPage shared) : IClassFixture<WaterfallPage>
{
    [Fact]
    public async Task Every_kind_is_drawn_without_a_network_and_without_complaint()
    {
        var page = await Open();
        Assert.Empty(page.Errors);
        Assert.Equal(3, await page.Page.EvaluateExpressionAsync<int>("[...document.querySelectorAll('.heatmaplayer image')].filter(i => i.getAttribute('href') || i.getAttribute('xlink:href')).length"));
        Assert.Equal(0, await page.Page.EvaluateExpressionAsync<int>("document.querySelectorAll('.gl-canvas, .gl-container canvas').length"));
        await ReportPageInBrowserTests.AssertAccessible(page.Page);
        await Keep(page.Page, "light");
    }

    [Theory]
    [InlineData(1200)]
    [InlineData(400)]
    [InlineData(340)]
    public async Task The_words_at_the_axes_and_at_the_colours_are_whole_and_apart(int width)
    {
        var page = (await Open(width)).Page;
        await ReportPageInBrowserTests.AssertAxes(page);
        Assert.Empty(await page.EvaluateExpressionAsync<string[]>("""
            (() => { const bad = [], box = e => e.getBoundingClientRect();
              for (const figure of document.querySelectorAll('.sweepbook-figure')) { const frame = box(figure.querySelector('.main-svg')), plot = box(figure.querySelector('.bglayer, .plot'));
                const words = [...figure.querySelectorAll('.colorbar text, .textpoint text')].filter(e => e.textContent.trim());
                for (const e of words) if (box(e).left < frame.left || box(e).right > frame.right + 1 || box(e).top < frame.top - 1) bad.push('outside: ' + e.textContent);
                words.forEach((e, k) => words.slice(k + 1).forEach(o => { if (box(e).left < box(o).right - 2 && box(o).left < box(e).right - 2 && box(e).top < box(o).bottom - 2 && box(o).top < box(e).bottom - 2) bad.push(e.textContent + ' on ' + o.textContent); })); }
              return bad; })()
            """));
        await Keep(page, $"width-{width}");
    }

    [Fact]
    public async Task Words_stand_out_in_light_and_dark_and_on_paper()
    {
        var page = (await Open()).Page;
        await ReportPageInBrowserTests.AssertContrast(page);
        await page.EmulateMediaFeaturesAsync([new() { MediaFeature = MediaFeature.PrefersColorScheme, Value = "dark" }]);
        await ReportPageInBrowserTests.AssertContrast(page);
        await Keep(page, "dark");
        var pdf = await page.PdfDataAsync(new() { Format = PaperFormat.A4, PrintBackground = true });
        Assert.True(pdf.Length > 20_000);
        if (Environment.GetEnvironmentVariable(KeepIn) is { Length: > 0 } folder) await File.WriteAllBytesAsync(Path.Combine(folder, "print.pdf"), pdf, TestContext.Current.CancellationToken);
    }

    [Fact]
    public async Task Pointing_at_the_map_tells_frequency_time_and_level()
    {
        var page = (await Open()).Page;
        await page.EvaluateExpressionAsync("document.querySelector('.sweepbook-plot').scrollIntoView()");
        var place = await page.EvaluateExpressionAsync<double[]>("(() => { const b = document.querySelector('.sweepbook-plot .nsewdrag').getBoundingClientRect(); return [b.x + b.width * 0.11, b.bottom - 12]; })()");
        await page.Mouse.MoveAsync((decimal)place[0] - 3, (decimal)place[1]);
        await page.Mouse.MoveAsync((decimal)place[0], (decimal)place[1]);
        await page.WaitForSelectorAsync(".hoverlayer text");
        Assert.Matches(@"^\d+(\.\d+)? Hz, \d+ ms: .?\d+\.\d dB", await page.EvaluateExpressionAsync<string>("document.querySelector('.hoverlayer text').textContent"));
    }

    private const string KeepIn = "SWEEPBOOK_PICTURES";   // a folder, to look at what the tests looked at

    private static async Task Keep(IPage page, string name)
    {
        if (Environment.GetEnvironmentVariable(KeepIn) is { Length: > 0 } folder) await page.ScreenshotAsync(Path.Combine(folder, name + ".png"), new() { FullPage = true });
    }

    private async Task<TestPage> Open(int width = 1200)
    {
        TestBrowser.SkipWithout();
        return await shared.Browser.OpenAsync(shared.File, width);
    }
}
