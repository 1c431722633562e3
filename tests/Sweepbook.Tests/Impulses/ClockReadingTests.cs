// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Impulses;

/// <summary>The clock error from the sweep alone; the recordings are closed forms read at the recorder's own moments (<see cref="MarkerScene"/>).</summary>
public sealed class ClockReadingTests
{
    private const double WithoutLoudspeakerPpm = 1.5;   // nothing but paths: what is left comes from the edges of the window round the direct sound

    [Theory]
    [InlineData(SweepKind.Exponential, -200)]
    [InlineData(SweepKind.Exponential, 41.7)]
    [InlineData(SweepKind.Exponential, 950)]
    [InlineData(SweepKind.Synchronised, -900)]
    [InlineData(SweepKind.Linear, 37)]
    public void A_drifting_sweep_through_plain_paths_tells_the_clock_error(SweepKind kind, double ppm)
    {
        var scene = new MarkerScene(20_000, 6, kind) { Ppm = ppm, Noise = 1e-3 };
        var reading = ClockReading.OnSweep(scene.Stimulus, scene.Recording());
        Assert.True(reading.IsKnown, reading.Method);
        Assert.Equal(ppm, reading.Ppm, WithoutLoudspeakerPpm);
    }

    /// <summary>
    /// A crossover of fourth order is an all-pass of second order with Q = 1/√2 in the sum (S. H. Linkwitz, J. Audio Eng. Soc. 24 (1976) 2–8); its delay looks like drift.
    /// The bilinear biquads here are written out anew.
    /// </summary>
    [Fact]
    public void The_stated_uncertainty_covers_what_the_crossovers_of_loudspeakers_do()
    {
        const double Ppm = 63;
        const double MostDeviations = 2.5;   // of a single one
        const double RootMeanSquare = 1.0;   // of all, in stated deviations
        var sum = 0.0;
        double[] crossovers = [1_500, 2_000, 2_500, 3_000, 3_500];
        foreach (var crossoverHz in crossovers)
        {
            var scene = new MarkerScene(20_000, 8) { Ppm = Ppm, Noise = 1e-4, SweepPaths = [(0.01, 0.4), (0.0125, 0.2), (0.0151, -0.15), (0.019, 0.1)] };
            var reading = ClockReading.OnSweep(scene.Stimulus, TwoWay(scene.Recording(), crossoverHz));
            Assert.True(reading.IsKnown, reading.Method);
            var deviations = (reading.Ppm - Ppm) / reading.UncertaintyPpm;
            Assert.InRange(deviations, -MostDeviations, MostDeviations);
            sum += deviations * deviations / crossovers.Length;
        }
        Assert.InRange(Math.Sqrt(sum), 0, RootMeanSquare);
    }

    [Fact]
    public void A_subwoofer_says_why_its_clock_error_is_not_known()
    {
        var scene = new MarkerScene(500) { Ppm = 50, Noise = 1e-4 };
        var reading = ClockReading.OnSweep(scene.Stimulus, scene.Recording());
        Assert.False(reading.IsKnown);
        Assert.Equal("the sweep plays less than an octave above 2 kHz, and below that the room's own delay hides the drift", reading.Method);
    }

    [Fact]
    public void A_short_sweep_and_a_sweep_under_noise_are_not_read()
    {
        var brief = new MarkerScene(20_000, 1) { Ppm = 50, Noise = 1e-4 };
        Assert.StartsWith("the sweep is too short", ClockReading.OnSweep(brief.Stimulus, brief.Recording()).Method);
        var faint = new MarkerScene(20_000, 6) { Ppm = 50, Noise = 3, SweepPaths = [(0.01, 0.01)] };
        Assert.Equal("the direct sound of the sweep does not stand out of noise and room", ClockReading.OnSweep(faint.Stimulus, faint.Recording()).Method);
    }

    [Fact]
    public void A_clock_that_nobody_read_is_not_known() => Assert.False(default(ClockReading).IsKnown);

    [Fact]
    public void Two_readings_are_never_combined_into_a_worse_one()
    {
        var (one, other) = (new ClockReading(40, 3, "a"), new ClockReading(44, 4, "b"));
        var both = one.With(other);
        Assert.Equal(40 + 4 * 9 / 25.0, both.Ppm, 12);           // inverse variances 1/9 and 1/16
        Assert.Equal(12 / 5.0, both.UncertaintyPpm, 12);         // 3 · 4 / √(9 + 16)
        Assert.Equal(both.Ppm, other.With(one).Ppm, 12);
        Assert.Equal(one, one.With(new ClockReading(90, 4, "b")));   // ten deviations apart: one of them is wrong, the surer one stays
        Assert.Equal(one, ClockReading.Unknown("why").With(one));
        Assert.Equal(one, one.With(ClockReading.Unknown("why")));
    }

    private static double[] TwoWay(double[] samples, double crossoverHz)
    {
        var (sine, cosine) = Math.SinCos(2 * Math.PI * crossoverHz / MarkerScene.Rate);
        var alpha = sine / Math.Sqrt(2);
        var result = new double[samples.Length];
        var (before, older) = (0.0, 0.0);
        for (var n = 0; n < samples.Length; n++)
        {
            result[n] = ((1 - alpha) * samples[n] + before) / (1 + alpha);
            (before, older) = (-2 * cosine * samples[n] + 2 * cosine * result[n] + older, (1 + alpha) * samples[n] - (1 - alpha) * result[n]);
        }
        return result;
    }
}
