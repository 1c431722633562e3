// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class DistortionFigureTests
{
    private static Harmonics Made(double a2)
    {
        var stimulus = Stimulus.From(new StimulusDescription { SampleRateHz = 4000, StartHz = 10, EndHz = 200, SweepSeconds = 8, LeadInSeconds = 1, TailSeconds = 2, LevelDbfs = -6 });
        return Harmonics.Of(stimulus, [.. stimulus.ToArray().Select((x, n) => x + a2 * x * x + 1e-5 * Math.Sin(n * (double)n))]);   // the last term stands for noise
    }

    [Fact]
    public void What_stands_clear_is_drawn_strong_and_bounds_and_floor_faint()
    {
        var harmonics = Made(0.2);
        var figure = Figures.Distortion(harmonics, "sub: harmonics");
        var traces = FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray().ToList();
        var second = traces.Where(trace => trace.GetProperty("legendgroup").GetString() == "harmonic 2").ToList();
        Assert.Contains(second, trace => !trace.TryGetProperty("opacity", out _));
        foreach (var group in new[] { "harmonic 4", "floor" })
            Assert.All(traces.Where(trace => trace.GetProperty("legendgroup").GetString() == group && trace.GetProperty("x").GetArrayLength() > 4), trace => Assert.True(trace.TryGetProperty("opacity", out _), group));
        var point = harmonics.OfOrder(2).First(point => point.FundamentalHz > 50);
        var strong = second.First(trace => !trace.TryGetProperty("opacity", out _));
        var at = strong.GetProperty("x").EnumerateArray().Select(x => x.GetDouble()).ToList().FindIndex(x => Math.Abs(x / point.FundamentalHz - 1) < 0.001);
        Assert.Equal(point.LevelDb, strong.GetProperty("y")[at].GetDouble(), 0.006);   // printed to a hundredth
        Assert.Contains("of sub over the fundamental; together they are highest at", figure.TextAlternative);
        Assert.Equal("none, the numbers were computed in this notebook", figure.FromFile);
    }

    [Fact]
    public void Where_nothing_stands_clear_the_words_say_so() =>
        Assert.Contains("no harmonic stands clear of its floor", Figures.Distortion(Made(0)).TextAlternative);
}
