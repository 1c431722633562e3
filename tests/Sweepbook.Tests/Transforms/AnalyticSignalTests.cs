// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class AnalyticSignalTests
{
    /// <summary>Three transforms of 2^14; the kernel's values fall from 0.6, so the sum stays near the size of the samples.</summary>
    private const double Rounding = 1e-13;

    /// <summary>An angle of up to 4700 radians is rounded to 9e-13 at worst, on the side of the test.</summary>
    private const double WithLargeAngles = 1e-12;

    /// <summary>What a Gaussian outline of 60 samples has at 0 Hz and half the rate beside a tone at 0.1: e^(−½(2π·0.1·60)²), nothing; the rest is rounding.</summary>
    [Theory, InlineData(0.1, 0.0), InlineData(0.2, 0.7), InlineData(0.37, 2.1)]
    public void A_modulated_tone_has_its_own_outline_and_quadrature(double turnsPerSample, double phaseRadians)
    {
        const int Count = 2001;
        double Outline(int n) => 0.8 * Math.Exp(-Math.Pow((n - 1000) / 60.0, 2) / 2);
        double Angle(int n) => 2 * Math.PI * turnsPerSample * n + phaseRadians;
        double[] samples = [.. Enumerable.Range(0, Count).Select(n => Outline(n) * Math.Cos(Angle(n)))];
        var signal = AnalyticSignal.Of(samples);
        var envelope = AnalyticSignal.EnvelopeOf(samples);
        Assert.Equal((Count, Count), (signal.Length, envelope.Length));
        for (var n = 0; n < Count; n++)
        {
            Assert.Equal(samples[n], signal[n].Real);
            Assert.Equal(Outline(n) * Math.Sin(Angle(n)), signal[n].Imaginary, WithLargeAngles);
            Assert.Equal(Outline(n), envelope[n], WithLargeAngles);
        }
    }

    /// <summary>Beyond the block the tone is missing; the sum of its alternating tail is at most its first term, 2 / (π · distance), halved by either side.</summary>
    [Fact]
    public void A_steady_tone_has_a_steady_envelope_away_from_the_ends()
    {
        double[] samples = [.. Enumerable.Range(0, 8000).Select(n => Math.Cos(2 * Math.PI * 0.25 * n))];
        var envelope = AnalyticSignal.EnvelopeOf(samples);
        for (var n = 100; n < 7900; n++) Assert.Equal(1, envelope[n], 4 / (Math.PI * Math.Min(n, 8000 - n)));
    }

    [Theory, InlineData(1), InlineData(2), InlineData(3), InlineData(101), InlineData(1009)]
    public void The_imaginary_part_is_the_plain_sum(int count)
    {
        var samples = Noise(count);
        var signal = AnalyticSignal.Of(samples);
        for (var n = 0; n < count; n++)
        {
            double sum = 0;
            for (var m = 0; m < count; m++)
                if ((n - m) % 2 != 0) sum += samples[m] * 2 / (Math.PI * (n - m));
            Assert.Equal(sum, signal[n].Imaginary, Rounding);
        }
    }

    [Fact]
    public void More_samples_than_a_transform_holds_are_refused()
    {
        var thrown = Assert.Throws<ArgumentException>(() => AnalyticSignal.EnvelopeOf(LongSpan.Of((1 << 27) + 1)));
        Assert.Equal("samples", thrown.ParamName);
        Assert.Contains("[0, 134217728]", thrown.Message);
    }

    [Fact]
    public void Nothing_gives_nothing_and_a_NaN_is_seen()
    {
        Assert.Empty(AnalyticSignal.Of([]));
        Assert.Empty(AnalyticSignal.EnvelopeOf([]));
        var samples = Noise(200);
        samples[50] = double.NaN;
        Assert.All(AnalyticSignal.EnvelopeOf(samples), value => Assert.True(double.IsNaN(value)));
    }
}
