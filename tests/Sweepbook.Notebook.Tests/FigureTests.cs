// SPDX-License-Identifier: MIT
using System.Text.Json;
using Plotly.NET;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class FigureTests
{
    [Fact]
    public void A_frequency_axis_runs_from_a_round_frequency_to_a_round_frequency_in_steps_of_1_2_and_5()
    {
        var axis = LogAxis.Around(11.3, 187);
        Assert.Equal((10, 200), (axis.FromHz, axis.ToHz));
        Assert.Equal([10, 20, 50, 100, 200], axis.TicksHz);
        Assert.Equal((20, 20000), (LogAxis.Around(20, 20000).FromHz, LogAxis.Around(20, 20000).ToHz));
        var part = JsonOf(Synthetic.Curves(20, 20000)).GetProperty("layout").GetProperty("xaxis");
        Assert.Equal("log", part.GetProperty("type").GetString());
        Assert.Equal("20 50 100 200 500 1000 2000 5000 10000 20000", string.Join(' ', part.GetProperty("ticktext").EnumerateArray().Select(text => text.GetString())));
        Assert.Equal("Frequency (Hz)", part.GetProperty("title").GetProperty("text").GetString());
    }

    [Theory]
    [InlineData(-37, 3, -40, 10)]
    [InlineData(-1, 1, -30, 10)]      // 40 dB at least
    [InlineData(-300, -4, -70, 0)]    // 70 dB at most
    [InlineData(double.NaN, double.NaN, -50, 10)]
    public void A_level_axis_holds_its_curves_in_whole_tens(double lowest, double highest, double bottom, double top)
    {
        var scale = LevelScale.Around(lowest, highest, new(20, 20000));
        Assert.Equal((bottom, top), (scale.BottomDb, scale.TopDb));
        Assert.Contains(scale.DecadeDb, new[] { 25.0, 50.0 });
    }

    [Fact]
    public void Frequencies_and_levels_are_drawn_as_they_are_and_gaps_stay_gaps()
    {
        double[] frequencies = [100, 200, 400, 800, 1600];
        double[] levels = [-1, double.NaN, -3, -4, -5];
        string[] doubts = ["", "", "", "noise too close", "noise too close"];
        var figure = CurveChart.Draw([new() { Name = "a", Colour = "#000000", FrequenciesHz = frequencies, LevelsDb = levels, Doubts = doubts }], "Level (dB)", "a", "responses.csv", "");
        var traces = JsonOf(figure).GetProperty("data").EnumerateArray().ToArray();
        Assert.Equal(2, traces.Length);
        Assert.Equal("[100.0,200.0,400.0]|[-1.0,null,-3.0]", Points(traces[0]));
        Assert.Equal("[400.0,800.0,1600.0]|[-3.0,-4.0,-5.0]", Points(traces[1]));   // one point of overlap joins the two
        Assert.True(traces[1].GetProperty("opacity").GetDouble() < 0.5);
        Assert.Equal("Trusted", traces[1].GetProperty("text")[0].GetString());
        Assert.Equal("noise too close", traces[1].GetProperty("text")[1].GetString());
        Assert.Equal(traces[0].GetProperty("line").GetProperty("color").GetString(), traces[1].GetProperty("line").GetProperty("color").GetString());

        static string Points(JsonElement trace)
        {
            var x = trace.GetProperty("x").GetRawText();
            var y = trace.GetProperty("y").GetRawText();
            return x.TrimEnd().Replace(",null]", "]") + "|" + y.Replace(",null]", "]");
        }
    }

    [Fact]
    public void A_stretch_that_is_not_trusted_parts_the_strong_line()
    {
        double[] frequencies = [100, 200, 400, 800, 1600, 3200];
        string[] doubts = ["", "", "noise too close", "", "", ""];
        var figure = CurveChart.Draw([new() { Name = "a", Colour = "#000000", FrequenciesHz = frequencies, LevelsDb = [-1, -2, -3, -4, -5, -6], Doubts = doubts }], "Level (dB)", "a", "responses.csv", "");
        var traces = JsonOf(figure).GetProperty("data").EnumerateArray().ToArray();
        Assert.Equal("[-1.0,-2.0,null,-4.0,-5.0,-6.0]", traces[0].GetProperty("y").GetRawText());
        Assert.Equal("[-2.0,-3.0,-4.0]", traces[1].GetProperty("y").GetRawText().Replace(",null]", "]"));
    }

    [Fact]
    public void The_first_picture_has_a_bar_per_source_and_seat_with_the_reason_at_each_end()
    {
        var figure = Synthetic.Bands();
        var traces = JsonOf(figure).GetProperty("data").EnumerateArray().ToArray();
        var bars = traces.Where(trace => trace.GetProperty("type").GetString() == "bar").ToArray();
        Assert.Equal(14, bars.Length);   // 3 sources at 5 seats, one of which trusts nothing
        Assert.Equal((11, 159), (bars[0].GetProperty("base")[0].GetDouble(), bars[0].GetProperty("x")[0].GetDouble()));
        Assert.Contains("noise 9 dB below the signal (15 dB wanted)", bars[0].GetProperty("hovertext").GetString());
        var words = traces.Where(trace => trace.GetProperty("mode", "") == "text").Select(trace => trace.GetProperty("text")[0].GetString()!.Trim()).ToArray();
        Assert.Contains("11 Hz, noise", words);
        Assert.Contains("sweep end, 170 Hz", words);
        Assert.Contains("nothing trusted: noise", words);
        Assert.Contains("sub-right: 14 to 170 Hz at 4 of 5 seats", figure.TextAlternative);
    }

    [Fact]
    public void Without_a_usable_take_the_first_picture_says_so()
    {
        var figure = BandChart.Draw([], "responses.csv");
        Assert.Contains("no take could be used", JsonOf(figure).GetProperty("data")[0].GetProperty("text")[0].GetString());
        Assert.Equal("No take could be used, so there is no bar.", figure.TextAlternative);
    }

    [Fact]
    public void Every_kind_of_doubt_has_its_word()
    {
        var words = Enum.GetValues<Doubt>().Select(doubt => BandChart.Short(new(doubt, ""))).ToArray();
        Assert.Equal(words.Length, words.Distinct().Count());
        Assert.All(words, word => Assert.InRange(word.Length, 4, 16));
    }

    [Fact]
    public void Seven_seats_have_seven_colours_and_the_eighth_another_pattern()
    {
        Assert.Equal(7, Enumerable.Range(0, 7).Select(Palette.Colour).Distinct().Count());
        Assert.Equal(35, Enumerable.Range(0, 35).Select(place => (Palette.Colour(place), Palette.Dash(place))).Distinct().Count());
    }

    [Fact]
    public void Nothing_in_the_data_of_a_figure_can_close_its_script()
    {
        var html = Synthetic.Hostile(SyntheticPage.HostileTitle).ToHtml();
        Assert.Equal(html.IndexOf("</script>", StringComparison.Ordinal), html.LastIndexOf("</script>", StringComparison.Ordinal));
        Assert.DoesNotContain("<img", html);
    }

    [Theory]
    [InlineData(0.5, "0.5")]
    [InlineData(13.85, "13.9")]
    [InlineData(99.96, "100")]
    [InlineData(125.4, "125")]
    [InlineData(17818, "17818")]
    public void A_frequency_is_written_with_three_digits(double frequencyHz, string text) => Assert.Equal(text, PlotText.Hertz(frequencyHz));

    internal static JsonElement JsonOf(Figure figure) => JsonDocument.Parse(GenericChart.toFigureJson(figure.Chart)).RootElement;
}

internal static class JsonElements
{
    public static string GetProperty(this JsonElement element, string name, string otherwise) =>
        element.TryGetProperty(name, out var value) ? value.GetString()! : otherwise;
}
