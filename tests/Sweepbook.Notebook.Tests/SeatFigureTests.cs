// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Text.Json;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class SeatFigureTests
{
    private static readonly LogGrid Grid = LogGrid.Between(12, 20, 200);
    private static readonly Lazy<Study> Demo = new(() =>
    {
        var survey = Survey.Read(Path.Combine(TestFolder.Repository, "data-demo", "orchard-row"));
        return Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName == "sub-front")]);
    });

    [Fact]
    public void Means_and_seats_are_drawn_only_where_every_seat_is_trusted()
    {
        var figure = SeatChart.Means(View(untrusted: k => k is 3 or > 30));
        var traces = Traces(figure);
        foreach (var name in new[] { "level mean", "power mean", "left", "right" })
        {
            var y = traces.Single(trace => trace.GetProperty("name").GetString() == name).GetProperty("y").EnumerateArray().ToArray();
            for (var k = 0; k < Grid.Count; k++) Assert.Equal(k is 3 or > 30, k >= y.Length || y[k].ValueKind == JsonValueKind.Null);
        }
        Assert.Equal(2, traces.Count(trace => trace.TryGetProperty("fill", out _)));   // the band is broken where the lines are
        Assert.Equal(-10, traces.Single(trace => trace.GetProperty("name").GetString() == "level mean").GetProperty("y")[0].GetDouble(), 0.01);
        Assert.Equal(-2.97, traces.Single(trace => trace.GetProperty("name").GetString() == "power mean").GetProperty("y")[0].GetDouble(), 0.01);
        Assert.Equal("seats.csv", figure.FromFile);
        Assert.Contains("the seats differ by 10.0 dB", figure.TextAlternative, StringComparison.Ordinal);
        Assert.Contains("20 dB from right to left", figure.TextAlternative, StringComparison.Ordinal);
    }

    [Fact]
    public void A_seat_keeps_its_colour_and_a_mean_has_none_of_them()
    {
        var traces = Traces(SeatChart.Means(View()));
        string ColourOf(string name) => traces.Single(trace => trace.GetProperty("name").GetString() == name).GetProperty("line").GetProperty("color").GetString()!;
        Assert.Equal((Palette.Colour(4), Palette.Colour(2)), (ColourOf("left"), ColourOf("right")));
        Assert.DoesNotContain(ColourOf("level mean"), Enumerable.Range(0, 7).Select(Palette.Colour));
    }

    [Fact]
    public void Lower_bounds_are_marked_and_said_and_absent_where_there_are_none()
    {
        var marked = SeatChart.Spread(View(censored: k => k == 10));
        var marks = Traces(marked).Single(trace => trace.GetProperty("mode").GetString() == "markers");
        Assert.Equal(Grid[10], marks.GetProperty("x")[0].GetDouble(), 0.001);
        Assert.Contains("at least", marks.GetProperty("hovertemplate").GetString(), StringComparison.Ordinal);
        Assert.Contains("differ by at least", marked.TextAlternative, StringComparison.Ordinal);
        Assert.Contains("Triangles", marked.Note, StringComparison.Ordinal);
        var plain = SeatChart.Spread(View());
        Assert.DoesNotContain(Traces(plain), trace => trace.GetProperty("mode").GetString() == "markers");
        Assert.DoesNotContain("at least", plain.TextAlternative, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_nothing_is_trusted_the_figure_says_so()
    {
        foreach (var figure in new[] { SeatChart.Means(View(untrusted: _ => true)), SeatChart.Spread(View(untrusted: _ => true)) })
            Assert.Contains("so nothing is drawn", figure.TextAlternative, StringComparison.Ordinal);
    }

    [Fact]
    public void Stems_are_as_long_as_the_place_meets_the_mode_and_nodes_have_a_circle()
    {
        var modes = PlacedModes.Of(new RectangularRoom(6, 4, 2.5), [new("corner", PlaceKind.Seat, new(0, 0, 0)), new("far", PlaceKind.Seat, new(6, 0, 0)), new("middle", PlaceKind.Source, new(3, 0, 0))], 30);
        var traces = Traces(ModeChart.Draw(modes, ["#000001", "#000002", ModeChart.Neutral], "Said."));
        double[] Stem(string name) => [.. traces.First(trace => trace.GetProperty("name", "") == name && trace.GetProperty("mode").GetString() == "lines").GetProperty("y").EnumerateArray().Take(2).Select(y => y.GetDouble())];
        Assert.Equal([1, 0.58], Stem("corner"));    // the whole half row upwards, on an axis that falls
        Assert.Equal([2, 2.42], Stem("far"));       // and in opposite phase downwards
        Assert.Equal([3, 3], Stem("middle"));
        var node = traces.Single(trace => trace.GetProperty("mode").GetString() == "markers");
        Assert.Equal(("middle", 3, "in a node of 1,0,0"), (node.GetProperty("name").GetString(), node.GetProperty("y")[0].GetInt32(), node.GetProperty("text")[0].GetString()));
    }

    [Fact]
    public void A_room_without_positions_shows_its_modes_and_says_why_there_are_no_places()
    {
        var figure = ModeChart.Draw(PlacedModes.Of(new RectangularRoom(6, 4, 2.5), [], 120), [], "Said.");
        Assert.Contains("No positions are stated", figure.Note, StringComparison.Ordinal);
        Assert.Equal("Predicted modes. Said.", figure.TextAlternative);
    }

    [Fact]
    public void The_figures_of_a_study_are_those_of_its_table_and_refuse_what_it_does_not_know()
    {
        SkipWithoutDemo();
        var figure = Figures.Seats(Demo.Value, "sub-front");
        Assert.Equal(Figures.Seats(Demo.Value).Single().TextAlternative, figure.TextAlternative);
        Assert.Equal(Demo.Value.SeatsOf("sub-front").LevelMeanDb().First(double.IsFinite),
            Traces(figure).Single(trace => trace.GetProperty("name").GetString() == "level mean").GetProperty("y").EnumerateArray().First(y => y.ValueKind == JsonValueKind.Number).GetDouble(), 0.01);
        Assert.Equal(Figures.SeatSpread(Demo.Value).Single().TextAlternative, Figures.SeatSpread(Demo.Value, "sub-front").TextAlternative);
        Assert.Contains("it has them for: sub-front", Assert.Throws<ArgumentException>("source", () => Figures.Seats(Demo.Value, "sub-frnt")).Message, StringComparison.Ordinal);
        Assert.Contains("sofa-centre sits in a node of the predicted axial mode 0,1,0 at 39.9 Hz", Figures.PredictedModes(Demo.Value).Single().TextAlternative, StringComparison.Ordinal);
    }

    [Fact]
    public async Task They_keep_their_proportions_and_their_words_in_a_browser()
    {
        TestBrowser.SkipWithout();
        SkipWithoutDemo();
        using var folder = new TestFolder();
        var figures = string.Concat(new[] { Figures.Seats(Demo.Value, "sub-front"), Figures.SeatSpread(Demo.Value, "sub-front"), Figures.PredictedModes(Demo.Value)[0] }.Select(figure => figure.ToHtml()));
        await File.WriteAllTextAsync(folder.File("page.html"), $"<!doctype html><meta charset=\"utf-8\"><style>figure {{ margin: 0 }}</style><body>{figures}<script>{ChartScript.Library}</script><script>{ChartScript.Drawing}</script>", TestContext.Current.CancellationToken);
        await using var browser = await TestBrowser.StartAsync();
        foreach (var width in new[] { 1200, 400 })
        {
            var page = await browser.OpenAsync(folder.File("page.html"), width);
            Assert.Empty(page.Errors);
            await ReportPageInBrowserTests.AssertProportions(page.Page, 1);
            await ReportPageInBrowserTests.AssertAxes(page.Page);
            Assert.Empty(await page.Page.EvaluateExpressionAsync<string[]>("""
                (() => { const bad = [], boxes = [...document.querySelectorAll('.textpoint text')].map(e => ({ t: e.textContent, b: e.getBoundingClientRect() }));
                  boxes.forEach((a, n) => { for (const c of boxes.slice(n + 1)) if (a.b.left < c.b.right && c.b.left < a.b.right && a.b.top < c.b.bottom && c.b.top < a.b.bottom) bad.push(a.t + ' to ' + Math.round(a.b.right) + ' on ' + c.t + ' from ' + Math.round(c.b.left)); }); return bad; })()
                """));
        }
    }

    private static void SkipWithoutDemo() =>
        Assert.SkipUnless(File.Exists(Path.Combine(TestFolder.Repository, "data-demo", "orchard-row", Survey.FileName)), "The demo survey is not there; compute it from its plan with `sweepbook simulate`.");

    private static SeatView View(Func<int, bool>? untrusted = null, Func<int, bool>? censored = null)
    {
        SeatResponse Seat(string name, double gain, Func<int, bool>? isOff)
        {
            var mask = new TrustMask(Grid.ToArray(), [.. Enumerable.Range(0, Grid.Count).Select(k => isOff?.Invoke(k) == true ? new Reason(Doubt.Noise, "too noisy") : default)]);
            return new(name, new(Grid, [.. Enumerable.Repeat((Complex)gain, Grid.Count)], [.. Enumerable.Repeat(gain * gain, Grid.Count)], new double[Grid.Count],
                [.. Enumerable.Range(0, Grid.Count).Select(k => gain < 1 && censored?.Invoke(k) == true)], mask, mask, new("loopback"), LevelReference.Loopback));
        }
        return new("sub", SeatSet.Of([Seat("left", 1, null), Seat("right", 0.1, untrusted)]), new(20, 200), [4, 2], "Not smoothed.");
    }

    private static JsonElement[] Traces(Figure figure) => [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];
}
