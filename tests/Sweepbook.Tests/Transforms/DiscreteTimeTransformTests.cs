// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class DiscreteTimeTransformTests
{
    private const double Promise = 1e-12;   // of Σ|x|, as the method's own comment says

    /// <summary>Frequencies in 64ths of a hertz and origins in 64ths of a sample, so that the slow sum's angle is a whole-number remainder.</summary>
    [Theory]
    [InlineData(1, 0), InlineData(255, 64), InlineData(1024, 640), InlineData(5000, 64 * 480 + 17), InlineData(60_000, -64 * 123_456 - 1), InlineData(60_000, 64L * 2_000_000_000)]
    public void The_values_are_those_of_the_plain_sum(int count, long origin64ths)
    {
        const int SampleRateHz = 48000;
        long[] frequencies64ths = [0, 1, 64 * 20 + 3, 64 * 997, 64 * 12_000, 64 * 23_999 + 63, 64 * 24_000, 64 * 40_000 + 1, -64 * 100 - 7];
        var samples = Noise(count);
        var values = DiscreteTimeTransform.At(samples, origin64ths / 64.0, SampleRateHz, [.. frequencies64ths.Select(f => f / 64.0)]);
        Assert.Equal(frequencies64ths.Length, values.Length);
        var size = samples.Sum(Math.Abs);
        const long Circle = 64L * 64 * SampleRateHz;
        for (var k = 0; k < values.Length; k++)
        {
            var sum = Complex.Zero;
            for (var n = 0; n < count; n++)
                sum += samples[n] * Rotation((long)((Int128)frequencies64ths[k] * (64L * n - origin64ths) % Circle), Circle);
            Assert.InRange((values[k] - sum).Magnitude / size, 0, Promise);
        }
    }

    [Fact]
    public void At_the_bins_of_a_transform_the_values_are_its_bins()
    {
        const int Length = 6000, SampleRateHz = 44100;
        var samples = Noise(Length);
        var bins = FourierTransform.OfReal(samples, Length);
        double[] frequenciesHz = [.. Enumerable.Range(0, bins.Length).Select(k => (double)k * SampleRateHz / Length)];
        var values = DiscreteTimeTransform.At(samples, 0, SampleRateHz, frequenciesHz);
        var size = samples.Sum(Math.Abs);
        for (var k = 0; k < bins.Length; k++) Assert.InRange((values[k] - bins[k]).Magnitude / size, 0, Promise);
    }

    [Fact]
    public void An_impulse_at_the_origin_has_no_phase()
    {
        var samples = new double[3000];
        samples[2000] = 1;
        Assert.All(DiscreteTimeTransform.At(samples, 2000, 48000, [0, 0.37, 20, 440.123, 19999.9]),
            value => Assert.InRange((value - 1).Magnitude, 0, Promise));
    }

    [Fact]
    public void A_delay_makes_the_phase_fall()   // half a millisecond is 36° at 200 Hz
    {
        var samples = new double[100];
        samples[24] = 1;
        const double PromiseDegrees = Promise * 180 / Math.PI;   // one sample of size 1: the error of the value is that of its angle
        Assert.Equal(-36, DiscreteTimeTransform.At(samples, 0, 48000, [200])[0].Phase * 180 / Math.PI, PromiseDegrees);
    }

    [Fact]
    public void Nothing_in_gives_nothing_out()
    {
        Assert.Equal([Complex.Zero], DiscreteTimeTransform.At([], 0, 48000, [100]));
        Assert.Empty(DiscreteTimeTransform.At([1], 0, 48000, []));
    }

    [Fact]
    public void A_NaN_sample_makes_every_value_NaN()
    {
        var samples = Noise(2000);
        samples[500] = double.NaN;
        Assert.All(DiscreteTimeTransform.At(samples, 0, 48000, [0, 1000]), value => Assert.True(double.IsNaN(value.Real)));
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Assert.Equal("sampleRateHz", Assert.Throws<ArgumentOutOfRangeException>(() => DiscreteTimeTransform.At([1], 0, 0, [1])).ParamName);
        foreach (var origin in (double[])[double.NaN, (1L << 31) + 1, -(1L << 31) - 1])
            Assert.Equal("originSamples", Assert.Throws<ArgumentOutOfRangeException>(() => DiscreteTimeTransform.At([1], origin, 1, [1])).ParamName);
        Assert.Equal("frequenciesHz", Assert.Throws<ArgumentException>(() => DiscreteTimeTransform.At([1], 0, 1, [1, double.NaN])).ParamName);
    }
}
