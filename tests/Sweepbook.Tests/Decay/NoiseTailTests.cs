// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class NoiseTailTests
{
    private const double FivePercent = 0.05;    // fact sheet 6.3
    private const double OnePercent = 0.01;     // fact sheet 6.5
    private const double HalfPercent = 0.005;   // the promise for deterministic envelopes

    [Theory]   // fact sheet 6.3: t = N · T / 60
    [InlineData(1.0, 40, 0.6667)]
    [InlineData(1.0, 50, 0.8333)]
    [InlineData(1.0, 60, 1.0000)]
    [InlineData(0.3, 50, 0.25)]
    public void The_decay_is_cut_where_its_line_meets_the_noise(double t60, double noiseBelowDb, double crossingSeconds)
    {
        for (ulong seed = 1; seed <= 5; seed++)
        {
            var response = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(t60, 2 * crossingSeconds, seed), noiseBelowDb, seed + 100));
            Assert.Equal(crossingSeconds, response.BroadbandDecay().Curve.EndSeconds, FivePercent * crossingSeconds);
        }
    }

    [Theory]   // fact sheet 6.4: what lies behind the cut is p²(ti) · T / 13.8155, exactly for an exponential
    [InlineData(0.9)]
    [InlineData(1.2)]
    [InlineData(2.0)]
    public void A_record_that_ends_in_its_decay_reads_as_if_it_went_on(double lengthOverT60)
    {
        var decay = Decaying.Response(Decaying.Exponential(0.5, lengthOverT60 * 0.5)).BroadbandDecay();
        Assert.Equal(0.5, decay.T30.Value, HalfPercent * 0.5);
        Assert.Equal(36.191, decay.Ts.Value, HalfPercent * 36.191);   // fact sheet 4.1
        Assert.Equal(0.5 * lengthOverT60, decay.Curve.EndSeconds, 0.001);
        const double LineDb = 0.05;   // of the late line at the very end, where nothing but the part behind the cut is left
        for (var n = 0; n < decay.Curve.Count; n += 100) Assert.Equal(-60 * decay.Curve.SecondsAt(n) / 0.5, decay.Curve[n], LineDb);
        Assert.Equal(-60 * decay.Curve.EndSeconds / 0.5, decay.Curve[decay.Curve.Count - 1], LineDb);
    }

    [Fact]
    public void The_energy_behind_the_cut_is_that_of_the_line()
    {
        var tail = new NoiseTail(0, 0, 100, 13.8155 / 0.5 / 48_000, 1);
        Assert.Equal(Math.Exp(-100 * 13.8155 / 0.5 / 48_000) * 0.5 * 48_000 / 13.8155, tail.EnergyBehind(100), 1e-6);
    }

    /// <summary>A tone under noise of the same power in every sample: the mean square of the noise is exact, so only the method is left to err.</summary>
    [Theory]
    [InlineData(0.5, 50)]
    [InlineData(1.0, 50)]
    [InlineData(2.0, 50)]
    public void Noise_50_dB_below_the_start_moves_T30_by_less_than_one_percent(double t60, double belowDb)
    {
        var decay = Decaying.Exponential(t60, 2 * t60);
        var power = Math.Pow(10, -belowDb / 10);
        var noisy = decay.Select(x => Math.Sqrt(x * x + power)).ToArray();   // powers add
        Assert.Equal(t60, Decaying.Response(noisy).BroadbandDecay().T30.Value, OnePercent * t60);   // fact sheet 6.5
    }

    [Fact]
    public void The_range_is_what_was_put_in()
    {
        const double Decibel = 1;   // the mean square of a few thousand noise samples, and the late slope
        for (var below = 30; below <= 60; below += 10)
        {
            var decay = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.5, 1.5, 7), below, 8)).BroadbandDecay();
            Assert.Equal(below, decay.T20.RangeDb, Decibel);
            Assert.Equal(below >= 45, decay.T30.IsValid);   // fact sheet 4.4
            Assert.Equal(below >= 35, decay.T20.IsValid);
            Assert.True(decay.Edt.IsValid);
        }
    }

    [Fact]
    public void Too_little_range_leaves_the_figure_out_and_says_by_how_much()
    {
        var decay = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.5, 1.5, 7), 40, 8)).BroadbandDecay();
        Assert.True(double.IsNaN(decay.T30.Value));
        Assert.Matches(@"^range (39|40|41)\.\d dB, 45 dB wanted: the noise is too close$", decay.T30.Reason);
        Assert.Contains("not given (range", decay.T30.ToString());
        Assert.True(decay.T20.IsValid);
        Assert.True(double.IsNaN(decay.T20.CurvaturePercent));   // a curvature is a T30 too
        var cut = Decaying.Response(Decaying.Exponential(0.5, 0.3)).BroadbandDecay();   // 36 dB and then nothing
        Assert.Contains("the record ends before the sound has decayed so far", cut.T30.Reason);
        Assert.False(cut.T30.IsValid);
    }

    [Fact]
    public void Noise_alone_has_no_figure()
    {
        for (ulong seed = 1; seed <= 20; seed++)
            Assert.All(Decaying.Response(Signals.Noise(24_000, seed)).BroadbandDecay().Values, value => Assert.False(value.IsValid));
    }

    /// <summary>A third octave at 25 Hz has one independent value of noise in a sixth of a second, so the last tenth of a record may be a lull: one response in forty read so.</summary>
    [Fact]
    public void A_lull_in_narrow_noise_is_not_taken_for_a_long_decay()
    {
        const int RateHz = 1000;
        var band = FrequencyBand.ThirdOctaves(25, 25);
        for (ulong seed = 1; seed <= 200; seed++)
        {
            var decay = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.8, 1.7, seed, RateHz), 48, seed + 700), RateHz).Decays(band)[0];
            foreach (var time in new[] { decay.T20, decay.T30, decay.Late })
                Assert.False(time.Value > 2.4, $"seed {seed}: {time.Quantity} {time} with a range of {time.RangeDb:0} dB");   // three times the decay
        }
    }

    [Fact]
    public void Zeros_behind_the_record_change_nothing()
    {
        var samples = Decaying.WithNoise(Decaying.NoiseLike(0.5, 1.0, 4), 60, 5);
        Assert.Equal(Decaying.Response(samples).BroadbandDecay().T30.Value, Decaying.Response([.. samples, .. new double[30_000]]).BroadbandDecay().T30.Value);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(5)]
    [InlineData(20)]
    public void A_record_of_a_few_samples_gives_reasons_and_no_figures(int count) =>
        Assert.All(Decaying.Response(Signals.Noise(count, 1)).BroadbandDecay().Values, value => Assert.True(value.IsValid || value.Reason!.Length > 0));
}
