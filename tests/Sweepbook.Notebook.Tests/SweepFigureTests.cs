// SPDX-License-Identifier: MIT
using System.Text.Json;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class SweepFigureTests
{
    private const double Drawn = 1e-5;          // figures draw six significant digits, as a share
    private const double DrawnDb = 0.011;       // levels are drawn with two decimals: half a step for each of two curves

    private static string Demo => Path.Combine(TestFolder.Repository, "data-demo", "orchard-row");

    private static readonly SweepDesign Sweep = SweepDesign.Of(new() { StartHz = 10, EndHz = 22_000, SweepSeconds = 3 });

    [Fact]
    public void Harmonics_lie_before_the_sweep_by_their_lead_at_every_frequency()
    {
        var traces = Traces(Figures.Sweep(Sweep));
        var (seconds, hertz) = (Numbers(traces[0], "x"), Numbers(traces[0], "y"));
        Assert.Equal((0.0, 3.0, 10.0, 22_000.0), (seconds[0], seconds[^1], hertz[0], hertz[^1]));
        for (var order = 2; order <= 5; order++)
        {
            var (x, y) = (Numbers(traces[order - 1], "x"), Numbers(traces[order - 1], "y"));
            Assert.Equal(24_000, Math.Max(y[^1], 24_000), 24_000 * Drawn);   // none goes beyond half the sample rate
            for (var n = 0; n < x.Length; n += 20)
                if (y[n] <= 22_000) Assert.Equal(Sweep.HarmonicLeadSeconds(order), Sweep.SecondsAt(y[n]) - x[n], 3 * Drawn);
        }
    }

    [Fact]
    public void The_bar_is_as_long_as_the_lead_of_the_second_harmonic_and_is_said()
    {
        var figure = Figures.Sweep(Sweep);
        var bar = Traces(figure)[^1];
        Assert.Equal(3 * Math.Log(2) / Math.Log(2200), Numbers(bar, "x")[1] - Numbers(bar, "x")[0], 3 * Drawn);   // fact sheet 5.2
        Assert.Equal(500, Numbers(bar, "y")[0]);   // the labelled frequency next to the middle, √(10 · 22000) = 469
        Assert.Contains("at 500 Hz the second harmonic is 0.27 s ahead", figure.TextAlternative);
        Assert.StartsWith("Frequency over time, exponential sweep, 10 to 22000 Hz in 3 s", figure.TextAlternative);
        Assert.StartsWith("Frequency over time, linear sweep", Figures.Sweep(Sweep.As(SweepKind.Linear)).TextAlternative);
    }

    [Fact]
    public void Predictions_lie_above_what_was_measured_by_what_the_length_buys_and_doubt_stays_faint()
    {
        var result = Study.Of(Survey.Read(Demo), [Survey.Read(Demo).Takes[0]]).Responses[0];
        var figure = Figures.SignalOverNoise(result, Sweep, Sweep.Lasting(6), Sweep.Lasting(12));
        var strong = Traces(figure).Where(trace => trace.GetProperty("line").GetProperty("width").GetDouble() == 2).Select(trace => Numbers(trace, "y")).ToArray();
        Assert.Equal(3, strong.Length);
        foreach (var (place, gainDb) in new[] { (1, 3.0103), (2, 6.0206) })   // 10 lg 2 and 10 lg 4
            foreach (var (measured, predicted) in strong[0].Zip(strong[place]))
            {
                if (double.IsNaN(measured)) Assert.Equal(measured, predicted);   // a gap between two trusted parts
                else Assert.Equal(gainDb, predicted - measured, DrawnDb);
            }
        Assert.Equal(6, Traces(figure).Length);   // a faint part for each
        Assert.Equal("responses.csv", figure.FromFile);
        Assert.Matches(@"signal over noise, with 3 sweeps: 3 s, as measured, median \d+ dB; 6 s, as predicted, median \d+ dB; 12 s, as predicted, median \d+ dB\.$", figure.TextAlternative);
        Assert.Contains("linear sweep, 10 to 22000 Hz in 3 s, as predicted", Figures.SignalOverNoise(result, Sweep, Sweep.As(SweepKind.Linear)).TextAlternative);
        var middle = result.Response.Points().ToArray();
        var at = Array.FindIndex(middle, point => point.FrequencyHz > 60);
        var measuredDb = Decibels.FromPower(Decibels.ToPowerRatio(result.Response.SmoothedLevelsDb(3)[at]) / middle[at].NoisePowerRatio - 1);
        var trace0 = Traces(figure)[0];
        var drawnAt = Array.FindIndex(Numbers(trace0, "x"), hz => Math.Abs(hz / middle[at].FrequencyHz - 1) < Drawn);
        Assert.Equal(measuredDb, Numbers(trace0, "y")[drawnAt], DrawnDb);
    }

    [Fact]
    public void The_allowed_time_is_drawn_as_the_recommendation_lists_it()
    {
        var trace = Traces(Figures.AllowedExposure()).Single();
        var listed = Numbers(trace, "x").Zip(Numbers(trace, "y")).ToDictionary(point => point.First, point => point.Second);
        foreach (var (levelDb, minutes) in new[] { (85, 480.0), (88, 240), (94, 60), (100, 15), (112, 0.9375) }) Assert.Equal(1, Math.Pow(2, listed[levelDb]) / minutes, Drawn);   // fact sheet 13.1
    }

    private static JsonElement[] Traces(Figure figure) => [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];

    private static double[] Numbers(JsonElement trace, string axis) => [.. trace.GetProperty(axis).EnumerateArray().Select(number => number.ValueKind == JsonValueKind.Null ? double.NaN : number.GetDouble())];
}
