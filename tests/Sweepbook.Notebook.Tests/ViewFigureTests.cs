// SPDX-License-Identifier: MIT
using System.Text.Json;
using Sweepbook.Impulses;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Figures of step, energy, delay, phase and window, of the demo survey and of a take without a time zero.</summary>
public sealed class ViewFigureTests(ViewStudies studies) : IClassFixture<ViewStudies>
{
    private const double Drawn = 1e-3;   // six significant digits of what lies within ± 1000

    private Study Timed => studies.Timed;

    private static readonly (string Source, string Seat) Full = ("main-left", "sofa-centre"), Low = ("sub-front", "sofa-centre");

    [Fact]
    public void The_energy_time_curve_is_highest_at_zero_decibels_at_the_moment_of_the_largest_sample()
    {
        var (x, y) = Line(Figures.EnergyTimeCurve(Timed, Full.Source, Full.Seat), "energy-time curve");
        var result = Timed.Response(Full.Source, Full.Seat);
        var curve = result.ImpulseResponse.EnergyTimeCurve(result.LevelBand.FromHz, result.LevelBand.ToHz);
        Assert.Equal(0, y.Max(), Drawn);
        for (var k = 0; k < x.Length; k += 97) Assert.Equal(Math.Max(curve.At(x[k] / 1000), -120), y[k], 0.5);   // x is drawn to the microsecond, between two samples the curve is steep
    }

    [Fact]
    public void Of_a_subwoofer_the_energy_falls_below_what_the_noise_of_the_other_frequencies_holds()
    {
        // the whole band levels out 28 dB below the peak, in the hiss above the subwoofer's band (seen in the demo); in its own band it goes on falling
        var (x, y) = Line(Figures.EnergyTimeCurve(Timed, Low.Source, Low.Seat), "energy-time curve");
        Assert.True(y.Where((_, k) => x[k] is > 500 and < 700).Max() < -35);
        Assert.True(y.Where((_, k) => x[k] is > 500 and < 700).Max() < Timed.Response(Low.Source, Low.Seat).ImpulseResponse.EnergyTimeCurve().At(0.6) - 5);
    }

    [Fact]
    public void The_step_is_drawn_relative_to_its_largest_and_says_that_nothing_below_the_band_is_known()
    {
        var figure = Figures.StepResponse(Timed, Low.Source, Low.Seat);
        var (x, y) = Line(figure, "step response");
        Assert.Equal(1, y.Max(Math.Abs), Drawn);
        Assert.True(x[^1] - x[0] > 200);   // twenty periods of a subwoofer's band are a third of a second
        Assert.Contains("so the step falls back to zero", figure.ToHtml(), StringComparison.Ordinal);
        Assert.Contains("Time after the stimulus left (ms)", figure.ToHtml(), StringComparison.Ordinal);
    }

    [Fact]
    public void Phase_and_delay_draw_the_parts_of_the_response_and_keep_the_rest_faint()
    {
        var result = Timed.Response(Low.Source, Low.Seat);
        var parts = result.PhaseParts()!;
        var figure = Figures.GroupDelay(Timed, Low.Source, Low.Seat);
        var strong = Traces(figure).First(trace => Name(trace) == "group delay" && trace.GetProperty("opacity").GetDouble() == 1);
        var trusted = Numbers(strong, "x").Zip(Numbers(strong, "y")).Where(pair => !double.IsNaN(pair.Second)).ToArray();
        Assert.InRange(trusted[0].First, result.PhaseBand.FromHz * 0.999, result.PhaseBand.FromHz * 1.001);
        var (delays, middle) = (parts.GroupDelaysMs(), parts.Grid.Count / 2);
        Assert.Equal(delays[middle], trusted.MinBy(pair => Math.Abs(pair.First - parts.Grid[middle])).Second, Drawn);
        Assert.Contains("Faint: not to be believed", figure.ToHtml(), StringComparison.Ordinal);
        Assert.Contains($"{parts.CommonDelaySeconds * 1000:0.00} ms", Figures.Phase(Timed, Low.Source, Low.Seat).TextAlternative, StringComparison.Ordinal);
        Assert.All(Numbers(Traces(Figures.Phase(Timed, Low.Source, Low.Seat)).First(trace => Name(trace) == "excess phase"), "y").Where(double.IsFinite), value => Assert.InRange(value, -180, 180));
    }

    [Fact]
    public void A_window_says_what_it_cuts_and_from_where_on_the_level_may_be_believed()
    {
        var window = ImpulseWindow.OfMilliseconds(5, 20);
        var figure = Figures.Windowed(Timed, Full.Source, Full.Seat, window);
        var band = Timed.Response(Full.Source, Full.Seat).Windowed(window).LevelBand;
        Assert.Contains($"Level may then be believed from {band.Words}", figure.TextAlternative, StringComparison.Ordinal);
        Assert.InRange(band.FromHz, 400, 403);   // two periods within 5 ms before the arrival
        var (x, y) = Line(figure, "window");
        Assert.Equal(1, y.Max(), Drawn);
        Assert.InRange(x[^1] - x[0], 24.9, 25);
        Assert.Matches(@"cuts \d+(\.\d)? % of the energy", figure.TextAlternative);
    }

    [Fact]
    public void Without_a_time_zero_phase_and_delay_refuse_with_advice_and_the_others_count_from_the_arrival()
    {
        var unknown = studies.Unknown.Response(Full.Source, Full.Seat);
        foreach (var draw in new Func<ResponseResult, Figure>[] { Figures.Phase, Figures.GroupDelay })
            Assert.Contains("Record the loopback", Assert.Throws<ArgumentException>(() => draw(unknown)).Message, StringComparison.Ordinal);
        foreach (var figure in new[] { Figures.StepResponse(unknown), Figures.EnergyTimeCurve(unknown), Figures.Windowed(unknown, ImpulseWindow.AfterArrival(20)) })
            Assert.Contains("Time after the arrival (ms)", figure.ToHtml(), StringComparison.Ordinal);
        var (x, y) = Line(Figures.EnergyTimeCurve(unknown), "energy-time curve");
        Assert.Equal(0, x[Array.IndexOf(y, y.Max())], 0.05);
    }

    private static (double[] X, double[] Y) Line(Figure figure, string name)
    {
        var trace = Traces(figure).First(trace => Name(trace) == name);
        return (Numbers(trace, "x"), Numbers(trace, "y"));
    }

    private static JsonElement[] Traces(Figure figure) =>
        [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];

    private static string Name(JsonElement trace) => trace.TryGetProperty("name", out var name) ? name.GetString() ?? "" : "";

    private static double[] Numbers(JsonElement trace, string axis) =>
        [.. trace.GetProperty(axis).EnumerateArray().Select(value => value.ValueKind == JsonValueKind.Null ? double.NaN : value.GetDouble())];
}
