// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>A result judged again through another window, beside what a study of its own finds.</summary>
public sealed class WindowedResultTests
{
    private const int FirstMs = 10;
    private const double PhaseTolerance = 3;   // degrees up to a quarter of the band's upper end, where the sweep fades out within 1/12 octave: its level there is a slope that goes on (measured below 1.4)
    private static readonly (int, double)[] s_reflected = [(480, 0.25), (480 + 48 * FirstMs, 0.1)];   // a reflection 10 ms after the sound

    private static ResponseResult Result(string keys = "", double noise = 1e-5, (int, double)[]? response = null)
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", response ?? s_reflected, noise: noise, keys: keys);
        return Assert.Single(Study.Of(folder.Read()).Responses);
    }

    [Fact]
    public void Through_its_own_window_a_result_is_itself()
    {
        var result = Result();
        var again = result.Windowed(result.Window);
        Assert.Equal(result.Response.LevelsDb(), again.Response.LevelsDb());
        for (var k = 0; k < result.Response.Count; k++) Assert.Equal(result.Response[k], again.Response[k]);
        Assert.Equal(result.LevelBand, again.LevelBand);
        Assert.Equal(result.ImpulseResponse.ToArray(), again.ImpulseResponse.ToArray());
        Assert.Equal(result.Harmonics!.Total, again.Harmonics!.Total);   // harmonics know no window
        Assert.Equal(result.Harmonics.Total, result.Windowed(leftMs: 50, rightMs: 80).Harmonics!.Total);
    }

    [Fact]
    public void A_shorter_window_leaves_the_reflection_out_and_says_from_where_it_may_be_believed()
    {
        var result = Result();
        var early = result.Windowed(leftMs: 50, rightMs: 8);
        Assert.Equal((0.05, 0.008), (early.Window.LeftSeconds, early.Window.RightSeconds));
        Assert.True(RippleDb(result) > 6);    // 0.4 of the direct sound: 20·lg(1.4/0.6) = 7.4 dB
        Assert.True(RippleDb(early) < 0.1);
        Assert.Equal("the time window of 8 ms resolves nothing below 125 Hz", early.Response.ReasonAt(100).Sentence);
        Assert.Equal("only indicative below 250 Hz, where the time window of 8 ms still shapes the curve", early.Response.ReasonAt(200).Sentence);
        Assert.Equal(Doubt.None, early.Response.ReasonAt(260).Doubt);
        Assert.InRange(early.LevelBand.FromHz, 250, 252);
        Assert.InRange(early.PhaseBand.FromHz, 250, 252);
        Assert.Equal(result.LevelBand.ToHz, early.LevelBand.ToHz);   // the other limits stay
        Assert.Equal(result.LevelBand.HighReason, early.LevelBand.HighReason);

        static double RippleDb(ResponseResult of)
        {
            var levels = of.Response.Points().Where(point => point.FrequencyHz is > 500 and < 2000).Select(point => point.LevelDb).ToArray();
            return levels.Max() - levels.Min();
        }
    }

    [Fact]
    public void The_noise_falls_by_the_energy_of_the_window()
    {
        var result = Result(noise: 1e-3);
        var early = result.Windowed(50, 80);
        // Σw²: a rising half Hann holds 3/8 of its length, the flat part all, the falling quarter 3/8
        static double Energy(ImpulseWindow window) => 3 / 8.0 * window.LeftSeconds + (0.75 + 0.25 * 3 / 8) * window.RightSeconds;
        var expected = Decibels.FromPower(Energy(early.Window) / Energy(result.Window));
        for (var k = 0; k < result.Response.Count; k++)
            Assert.Equal(expected, Decibels.FromPower(early.Response[k].NoisePowerRatio / result.Response[k].NoisePowerRatio), 0.01);   // both are cut to whole samples
    }

    [Fact]
    public void A_short_left_part_is_doubted_below_two_periods_and_a_longer_one_than_recorded_helps_nothing()
    {
        var result = Result();
        Assert.Equal("the 4 ms kept before the arrival hold less than two periods below 500 Hz", result.Windowed(4, 500).Response.ReasonAt(450).Sentence);
        Assert.Equal("the 1 ms kept before the arrival hold less than two periods below 2 kHz", result.Windowed(ImpulseWindow.AfterArrival(500)).Response.ReasonAt(1900).Sentence);
        Assert.Equal(result.LevelBand.FromHz, result.Windowed(10_000, 1000 * result.Window.RightSeconds).LevelBand.FromHz);
    }

    [Fact]
    public void A_window_of_a_window_is_cut_from_the_whole_again()
    {
        var result = Result();
        var (once, twice) = (result.Windowed(50, 300), result.Windowed(2, 5).Windowed(50, 300));
        Assert.Equal(once.Response.LevelsDb(), twice.Response.LevelsDb());
        Assert.Equal(once.LevelBand, twice.LevelBand);
    }

    [Fact]
    public void What_a_chosen_window_leaves_out_is_a_remark_and_no_doubt()
    {
        var decay = Enumerable.Range(0, 200).Select(n => (480 + 240 * n, 0.25 * Math.Pow(-0.9, n))).ToArray();   // every 5 ms, 60 dB in a third of a second
        var early = Result(response: decay, noise: 1e-6).Windowed(50, 80);
        Assert.Equal(Doubt.None, early.Response.ReasonAt(1050).Doubt);
        Assert.Contains("only the part of the sound inside the chosen window: more than 1 % of the energy comes later", early.Response.ReasonAt(1050).Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void In_the_free_field_a_window_that_reaches_the_reflection_is_doubted_everywhere()
    {
        using var folder = new SmallSurvey(top: "[room]\nlength_m = 12.0\nwidth_m = 10.0\nheight_m = 6.0\ntemperature_c = 20.0\n", source: "position_m = [5.0, 5.0, 2.0]", seat: "position_m = [6.0, 5.0, 2.0]");
        folder.Add("a.wav", s_reflected, keys: "field = \"free\"");
        var result = Assert.Single(Study.Of(folder.Read()).Responses);
        var (shorter, longer) = (result.Windowed(50, 5), result.Windowed(50, 100));
        Assert.Equal((Doubt.Window, "only indicative below 400 Hz, where the time window of 5 ms still shapes the curve"), (shorter.Response.ReasonAt(350).Doubt, shorter.Response.ReasonAt(350).Sentence));
        Assert.True(longer.LevelBand.IsEmpty);
        Assert.Matches(@"^the time window of 0\.1 s holds the first reflection \(floor\), 8\.\d+ ms after the sound$", longer.LevelBand.LowReason.Sentence);
    }

    [Fact]
    public void Through_a_table_each_frequency_is_judged_by_its_own_window()
    {
        var result = Result();
        var response = result.Through(WindowLengths.OfTable([(100, 150), (200, 8)], "own choice, for a test"));
        Assert.Equal("only indicative below 250 Hz, where the time window of 8 ms still shapes the curve", response.ReasonAt(220).Sentence);
        Assert.Equal((Doubt.None, Doubt.None), (response.ReasonAt(50).Doubt, response.ReasonAt(300).Doubt));
        Assert.Equal(Doubt.Window, response.ReasonAt(12).Doubt);   // two periods of 12 Hz are longer than 150 ms
        // one length everywhere: the same values as the one window; its left part holds 2.5 periods and the signal has nothing there
        var (table, window) = (result.Through(WindowLengths.OfTable([(100, 300)], "own choice, for a test")), result.Windowed(100, 300).Response);
        var k = table.Points().TakeWhile(point => point.FrequencyHz < 1000).Count();
        Assert.Equal(window[k].LevelDb, table[k].LevelDb, 0.01);
        Assert.Equal(0, (table[k].Value / window[k].Value).Phase, 0.001);
        // ten periods: noise follows the energy of 2.5 periods rising and ten falling, 3/8·2.5 + (0.75 + 0.25·3/8)·10 periods
        var ten = result.Through(WindowLengths.Periods(10));
        double Energy(double frequencyHz) => (3 / 8.0 * 2.5 + (0.75 + 0.25 * 3 / 8) * 10) / frequencyHz;
        var own = 3 / 8.0 * result.Window.LeftSeconds + (0.75 + 0.25 * 3 / 8) * result.Window.RightSeconds;
        Assert.Equal(Decibels.FromPower(Energy(ten[k].FrequencyHz) / own), Decibels.FromPower(ten[k].NoisePowerRatio / result.Response[k].NoisePowerRatio), 0.02);
    }

    [Fact]
    public void Hum_through_another_window_is_what_a_study_with_that_window_would_find()
    {
        using var folder = new SmallSurvey();
        var hum = Enumerable.Range(0, SmallSurvey.Design.Length).Select(n => 2e-3 * Math.Sin(2 * Math.PI * 50 * n / SmallSurvey.Rate)).ToArray();
        var clean = Signals.Convolved(SmallSurvey.Design.ToArray(), [.. new double[1257], 0.25], SmallSurvey.Design.Length);
        var noise = Signals.Noise(clean.Length, 9);
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [[.. clean.Select((sample, n) => sample + hum[n] + 1e-5 * noise[n])],
            [.. Enumerable.Range(0, clean.Length).Select(n => n < 777 ? 0 : 0.5 * SmallSurvey.Design[n - 777])]]));
        var result = Assert.Single(Study.Of(folder.Read()).Responses);
        var early = result.Windowed(100, 200);
        // at the line itself its power follows the squared sum of the weights: (½·left + (0.75 + 0.25·½)·right)²
        static double Sum(ImpulseWindow window) => 0.5 * window.LeftSeconds + (0.75 + 0.25 * 0.5) * window.RightSeconds;
        var k = result.Response.Points().TakeWhile(point => point.FrequencyHz < 49.95).Count();
        Assert.Equal(2 * Decibels.FromPower(Sum(early.Window) / Sum(result.Window)), Decibels.FromPower(early.Response[k].NoisePowerRatio / result.Response[k].NoisePowerRatio), 0.3);   // the cell's centre lies 0.1 Hz beside the line
    }

    [Fact]
    public void A_result_tells_its_phase_apart_within_the_band_that_is_trusted_and_refuses_without_a_time_zero()
    {
        var timed = Result(response: [(480, 0.25)]);
        var parts = timed.PhaseParts()!;
        Assert.InRange(parts.Grid[0], timed.PhaseBand.FromHz / 1.001, timed.PhaseBand.FromHz * 1.02);
        Assert.Equal(0.01, parts.CommonDelaySeconds, 1e-6);   // 480 samples after the loopback
        var inside = Enumerable.Range(0, parts.Grid.Count).Where(k => parts.Grid[k] is > 100 and < 5000).ToArray();
        Assert.All(inside, k => Assert.Equal(0, parts.ExcessPhasesWithoutDelayDegrees()[k], PhaseTolerance));
        var unknown = Result(keys: "time_zero = \"unknown\"");
        Assert.Contains("loopback", Assert.Throws<ArgumentException>(() => unknown.PhaseParts()).Message, StringComparison.Ordinal);
    }
}
