// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class FractionalDelayTests
{
    private const int Count = 2048;

    /// <summary>Two convolutions of 2^12 through transforms: 1e-15 · 12 each for three transforms, of signals up to 1.</summary>
    private const double Rounding = 1e-13;

    public static TheoryData<double> Delays => [0.5, -0.5, 0.25, 1.0 / 3, -7.75, 100.001, -63.999, 1e-9];

    /// <summary>A tone under a Gaussian of 100 samples: at both ends, and at half the sample rate, below 1e-17.</summary>
    private static double[] Tone(double delaySamples, double cyclesPerSample = 0.1) => [.. Enumerable.Range(0, Count).Select(n =>
    {
        var t = n - Count / 2 - delaySamples;
        return Math.Exp(-t * t / (2 * 100 * 100)) * Math.Sin(2 * Math.PI * cyclesPerSample * t + 0.3);
    })];

    [Theory, MemberData(nameof(Delays))]
    public void A_tone_burst_is_delayed_as_its_formula_says(double delaySamples)
    {
        var (expected, actual) = (Tone(delaySamples), FractionalDelay.Shift(Tone(0), delaySamples));
        Assert.Equal(Count, actual.Length);
        for (var n = 0; n < Count; n++) Assert.Equal(expected[n], actual[n], Rounding);
    }

    [Theory, MemberData(nameof(Delays))]
    public void There_and_back_gives_the_signal(double delaySamples)
    {
        var (signal, back) = (Tone(0), FractionalDelay.Shift(FractionalDelay.Shift(Tone(0), delaySamples), -delaySamples));
        for (var n = 0; n < Count; n++) Assert.Equal(signal[n], back[n], Rounding);
    }

    [Theory, InlineData(0), InlineData(3), InlineData(-3), InlineData(99), InlineData(-100), InlineData(101), InlineData(1e9)]
    public void Whole_samples_are_moved_to_the_last_bit(double delaySamples)
    {
        if (delaySamples > 1 << 29) delaySamples = 1 << 29;
        var samples = Noise(100);
        var shifted = FractionalDelay.Shift(samples, delaySamples);
        for (var n = 0; n < 100; n++)
            Assert.Equal(n - (long)delaySamples is >= 0 and < 100 and var m ? samples[m] : 0, shifted[n]);
    }

    [Theory, InlineData(0.3), InlineData(-41.5), InlineData(250.75)]
    public void Any_signal_is_the_sum_of_sincs(double delaySamples)
    {
        var samples = Noise(120);
        var shifted = FractionalDelay.Shift(samples, delaySamples);
        for (var n = 0; n < 120; n++)
        {
            var sum = Enumerable.Range(0, 120).Sum(m => samples[m] * Sinc(n - m - delaySamples));
            const double SumOfSincs = 1e-12;   // the sines of the slow version have arguments up to 1200 radians: 1200 · 1.1e-16, over 120 terms
            Assert.Equal(sum, shifted[n], SumOfSincs);
        }
    }

    [Theory, InlineData(double.NaN), InlineData(double.PositiveInfinity), InlineData(1e10)]
    public void A_delay_that_is_none_is_refused(double delaySamples) => Assert.Equal("delaySamples",
        Assert.Throws<ArgumentOutOfRangeException>(() => FractionalDelay.Shift([1], delaySamples)).ParamName);

    [Fact]
    public void More_samples_than_a_transform_holds_are_refused()
    {
        var thrown = Assert.Throws<ArgumentException>(() => FractionalDelay.Shift(LongSpan.Of((1 << 27) + 1), 0.5));
        Assert.Equal("samples", thrown.ParamName);
        Assert.Contains("[0, 134217728]", thrown.Message);
    }

    [Fact]
    public void No_samples_give_none() => Assert.Empty(FractionalDelay.Shift([], 0.5));

    private static double Sinc(double x) => x == 0 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x);
}
