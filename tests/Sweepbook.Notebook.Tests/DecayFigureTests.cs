// SPDX-License-Identifier: MIT
using System.Text.Json;
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class DecayFigureTests
{
    private const int RateHz = 16000;
    private const double T60Seconds = 0.5;
    private const double Drawn = 2e-3;   // moments and levels are drawn with six significant digits, of a curve that has a point each few milliseconds

    private const double Thinned = 0.05;   // decibels: every few points of the curve are drawn, and the mean over those is not that over all

    /// <summary>An exponential noise above a steady one; the seed is fixed.</summary>
    internal static ImpulseResponse Response(double noiseDb, int seed = 3)
    {
        var random = new Random(seed);
        double Gauss() => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
        return new([.. Enumerable.Range(0, 2 * RateHz).Select(n => Gauss() * Math.Pow(10, -3 * n / (T60Seconds * RateHz)) + Gauss() * Decibels.ToAmplitudeRatio(noiseDb))],
            RateHz, 0, TimeZero.Stated, TimeGroup.None, "synthetic");
    }

    private static BandDecay At1k(double noiseDb) => Response(noiseDb).Decays(FrequencyBand.Octaves(1000, 1000))[0];

    [Fact]
    public void The_lines_of_a_decay_curve_run_over_their_stretches_with_the_slopes_of_the_figures()
    {
        var decay = At1k(-65);
        var traces = Traces(Figures.DecayCurve(decay));
        foreach (var (value, upperDb, lowerDb) in new[] { (decay.Edt, 0.0, -10.0), (decay.T20, -5, -25), (decay.T30, -5, -35) })
        {
            var thick = traces.Single(trace => Name(trace).StartsWith(DecayCurveChart.Name(value.Quantity)) && trace.GetProperty("line").GetProperty("width").GetDouble() == 4);
            var (x, y) = (Numbers(thick, "x"), Numbers(thick, "y"));
            Assert.Equal([upperDb, lowerDb], y);
            Assert.Equal(value.Value, (x[1] - x[0]) / 1000 * 60 / (upperDb - lowerDb), Drawn);
        }
        var (moments, curve) = (Numbers(traces[0], "x"), Numbers(traces[0], "y"));
        Assert.InRange(curve.Length, 100, 600);
        foreach (var thick in traces.Where(trace => trace.GetProperty("line").GetProperty("width").GetDouble() == 4))   // a line of least squares has no offset from its curve
        {
            var (x, y) = (Numbers(thick, "x"), Numbers(thick, "y"));
            var inside = Enumerable.Range(0, curve.Length).Where(n => curve[n] <= y[0] && curve[n] >= y[1]);
            Assert.Equal(0, inside.Average(n => curve[n] - (y[0] + (y[1] - y[0]) * (moments[n] - x[0]) / (x[1] - x[0]))), Thinned);
        }
        Assert.InRange(curve[0], -1, 0);
    }

    [Fact]
    public void The_noise_and_the_end_of_the_decay_are_drawn_where_they_are()
    {
        var decay = At1k(-50);
        var figure = Figures.DecayCurve(decay);
        var traces = Traces(figure);
        Assert.All(Numbers(traces.Single(trace => Name(trace) == "noise"), "y"), level => Assert.Equal(-decay.T30.RangeDb, level, Drawn));
        Assert.All(Numbers(traces.Single(trace => Name(trace) == "end of the decay"), "x"), ms => Assert.Equal(decay.Curve.EndSeconds * 1000, ms, Drawn));
        Assert.Contains($"takes over after {decay.Curve.EndSeconds * 1000:0} ms", figure.TextAlternative);
        Assert.Equal("decay.csv", figure.FromFile);
    }

    [Fact]
    public void A_figure_that_is_not_given_has_no_line_and_its_reason_stands_below()
    {
        var decay = At1k(-40);
        Assert.False(decay.T30.IsValid);
        var figure = Figures.DecayCurve(decay);
        Assert.DoesNotContain(Traces(figure), trace => Name(trace).StartsWith("T30"));
        Assert.Contains("T30 is not given (range ", figure.TextAlternative);
        Assert.Contains("T30 is not given (range ", figure.ToHtml());
    }

    [Fact]
    public void Without_a_curve_the_figure_says_so()
    {
        var mean = BandDecays.ArithmeticMean([Response(-65).Decays(FrequencyBand.Octaves(1000, 1000))]);
        Assert.Equal("There is no decay curve of 1 kHz octave band.", Figures.DecayCurve(mean[0]).TextAlternative);
    }

    [Fact]
    public void Decay_times_stand_at_their_bands_with_their_uncertainty()
    {
        var decays = Response(-65).Decays(FrequencyBand.Octaves(125, 4000));
        var traces = Traces(Figures.DecayTimes(decays));
        Assert.Equal(["EDT (open diamonds)", "T20 (circles)", "T30 (squares)"], traces.Select(Name));
        Assert.Equal(decays.Select(decay => decay.T20.Value), Numbers(traces[1], "y"), (drawn, wanted) => Math.Abs(drawn - wanted) < Drawn);
        Assert.Equal(decays.Select(decay => decay.T20.Uncertainty), [.. traces[1].GetProperty("error_y").GetProperty("array").EnumerateArray().Select(number => number.GetDouble())],
            (drawn, wanted) => Math.Abs(drawn - wanted) < Drawn);
        Assert.Equal(decays.Select(decay => (double)decay.Band.Index), Numbers(traces[1], "x"));   // the middle one of three is not shifted
        Assert.Equal("lines+markers", traces[2].GetProperty("mode").GetString());
    }

    [Fact]
    public void A_band_without_T20_and_T30_is_shaded_and_says_why_in_a_word()
    {
        var decays = Response(-30).Decays(FrequencyBand.Octaves(500, 2000));
        Assert.All(decays, decay => Assert.False(decay.T20.IsValid));
        var figure = Figures.DecayTimes(decays);
        var layout = FigureTests.JsonOf(figure).GetProperty("layout");
        Assert.Equal(3, layout.GetProperty("shapes").GetArrayLength());
        Assert.All(layout.GetProperty("annotations").EnumerateArray(), words => Assert.Equal("range", words.GetProperty("text").GetString()));
        Assert.Contains("No decay time can be given in any of 3 bands: range", figure.TextAlternative);
        Assert.Contains("Shaded:", figure.ToHtml());
        Assert.DoesNotContain("Shaded:", Figures.DecayTimes(Response(-65).Decays(FrequencyBand.Octaves(500, 2000))).ToHtml());
        Assert.Throws<ArgumentException>(() => Figures.DecayTimes([]));
    }

    [Fact]
    public void What_a_figure_of_decay_times_says_names_the_longest_and_the_shortest()
    {
        var decays = Response(-65).Decays(FrequencyBand.Octaves(125, 4000));
        var (longest, shortest) = (decays.MaxBy(decay => decay.T30.Value)!, decays.MinBy(decay => decay.T30.Value)!);
        Assert.StartsWith(FormattableString.Invariant(
            $"Decay times run from {shortest.T30.Value:0.00} s at {PlotText.WithUnit(shortest.Band.NominalHz)} to {longest.T30.Value:0.00} s at {PlotText.WithUnit(longest.Band.NominalHz)}."), Figures.DecayTimes(decays).TextAlternative);
    }

    private static JsonElement[] Traces(Figure figure) => [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];

    private static string Name(JsonElement trace) => trace.GetProperty("name").GetString()!;

    private static double[] Numbers(JsonElement trace, string axis) => [.. trace.GetProperty(axis).EnumerateArray().Select(number => number.GetDouble())];
}
