// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class ResamplingTests
{
    /// <summary>The promise: nothing that does not belong there above −140 dB of full scale.</summary>
    private const double StopBand = 1e-7;

    /// <summary>The promise, 0.001 dB, is 1.2e-4; a sine is held to the sum of ripple (5e-8) and images instead.</summary>
    private const double RippleDb = 0.001;

    /// <summary>Rates that a survey meets, and two whose ratio has no small whole numbers.</summary>
    public static TheoryData<int, int> Rates => new()
    {
        { 44100, 48000 }, { 48000, 44100 }, { 48000, 96000 }, { 192000, 48000 }, { 48000, 8000 }, { 8000, 48000 }, { 44100, 192000 },
        { 48000, 48001 }, { 44100, 44087 }, { 96000, 44101 }, { 192000, 8001 }, { 8001, 192000 },
    };

    [Theory, MemberData(nameof(Rates))]
    public void A_sine_of_the_pass_band_comes_out_at_its_exact_frequency_phase_and_level(int fromHz, int toHz)
    {
        var lowerHz = Math.Min(fromHz, toHz);
        foreach (var ratio in (double[])[0.001, 0.1, 0.3, 0.45])
        {
            double Sine(double seconds) => Math.Cos(2 * Math.PI * ratio * lowerHz * seconds + 0.3);
            var seconds = 1000.0 / lowerHz;
            double[] samples = [.. Enumerable.Range(0, (int)(seconds * fromHz)).Select(n => Sine(n / (double)fromHz))];
            var result = Resampling.ToRate(samples, fromHz, toHz);
            foreach (var k in Inside(result.Length, toHz, lowerHz)) Assert.Equal(Sine(k / (double)toHz), result[k], StopBand);
        }
    }

    [Theory, InlineData(48000, 44100), InlineData(192000, 48000), InlineData(48000, 8000), InlineData(96000, 44101)]
    public void A_sine_above_half_the_new_rate_is_gone(int fromHz, int toHz)
    {
        foreach (var ratio in (double[])[0.5, 0.51, 0.55, 0.61, 0.8, 0.99])
        {
            if (ratio * toHz > fromHz / 2.0) continue;
            double[] samples = [.. Enumerable.Range(0, 1000 * fromHz / toHz).Select(n => Math.Sin(2 * Math.PI * ratio * toHz * n / fromHz + 0.3))];
            var result = Resampling.ToRate(samples, fromHz, toHz);
            foreach (var k in Inside(result.Length, toHz, toHz)) Assert.InRange(Math.Abs(result[k]), 0, StopBand);
        }
    }

    /// <summary>An impulse raised to 64 times its rate is the filter itself; its spectrum is measured at 20 000 frequencies.</summary>
    [Fact]
    public void The_filter_keeps_its_pass_band_and_its_stop_band()
    {
        const int RateHz = 1000, Fine = 64;
        var impulse = new double[401];
        impulse[200] = 1;
        var filter = Resampling.ToRate(impulse, RateHz, RateHz * Fine);
        double[] frequenciesHz = [.. Enumerable.Range(0, 20_001).Select(k => k * 0.1)];   // to twice the rate: the first images
        var response = DiscreteTimeTransform.At(filter, 200 * Fine, RateHz * Fine, frequenciesHz);
        for (var k = 0; k < response.Length; k++)
        {
            var level = response[k].Magnitude / Fine;
            if (frequenciesHz[k] <= Resampling.PassBandRatio * RateHz) Assert.InRange(Math.Abs(20 * Math.Log10(level)), 0, RippleDb);
            if (frequenciesHz[k] >= Resampling.StopBandRatio * RateHz) Assert.InRange(level, 0, StopBand);
        }
    }

    [Theory, InlineData(44100, 48000), InlineData(48000, 44100), InlineData(48000, 96000), InlineData(96000, 44101)]
    public void There_and_back_gives_what_lies_in_the_pass_band(int fromHz, int toHz)
    {
        // Noise of the pass band that dies away towards both ends.
        var band = Bandlimited(4000, 0.9 * Resampling.PassBandRatio * Math.Min(1, toHz / (double)fromHz));
        var back = Resampling.ToRate(Resampling.ToRate(band, fromHz, toHz), toHz, fromHz);
        Assert.InRange(back.Length, band.Length, band.Length + 1);
        Assert.InRange(RelativeRms(band, back[..band.Length]), 0, 2 * StopBand);
    }

    [Theory, InlineData(44100, 48000), InlineData(48000, 44100), InlineData(48000, 96000), InlineData(48000, 48001)]
    public void There_is_no_delay(int fromHz, int toHz)   // a band-limited pulse that is even about one instant stays even about it
    {
        var samples = new double[1201];
        samples[600] = 1;
        var result = Resampling.ToRate(samples, fromHz, toHz);
        double[] frequenciesHz = [50, 1000, 7000, 19000];
        foreach (var value in DiscreteTimeTransform.At(result, 600.0 * toHz / fromHz, toHz, frequenciesHz))
            Assert.Equal(0, value.Phase, StopBand);
    }

    [Theory, InlineData(1, 44100, 48000, 2), InlineData(44100, 44100, 48000, 48000), InlineData(441, 44100, 48000, 480), InlineData(442, 44100, 48000, 482),
     InlineData(7, 48000, 8000, 2), InlineData(6, 48000, 8000, 1), InlineData(0, 48000, 8000, 0)]
    public void There_are_as_many_samples_as_begin_within_the_duration(int count, int fromHz, int toHz, int expected) =>
        Assert.Equal(expected, Resampling.ToRate(Noise(count), fromHz, toHz).Length);

    [Fact]
    public void Equal_rates_and_no_error_give_the_samples_themselves()
    {
        var samples = Noise(500);
        Assert.Equal(samples, Resampling.ToRate(samples, 48000, 48000));
        Assert.Equal(samples, Resampling.ByPpm(samples, 0));
    }

    [Theory, InlineData(0.02), InlineData(37), InlineData(-250), InlineData(10_000), InlineData(-10_000)]
    public void A_wrong_clock_is_set_right(double clockFastPpm)
    {
        foreach (var turnsPerSample in (double[])[0.001, 0.1, 0.3, 0.44])
        {
            double Right(double n) => Math.Cos(2 * Math.PI * turnsPerSample * n + 0.3);
            double[] wrong = [.. Enumerable.Range(0, 40_000).Select(n => Right(n / (1 + clockFastPpm * 1e-6)))];   // more samples per second when fast
            var result = Resampling.ByPpm(wrong, clockFastPpm);
            Assert.Equal((int)Math.Ceiling(40_000 / (1 + clockFastPpm * 1e-6)), result.Length);
            foreach (var k in Inside(result.Length, 1, 1)) Assert.Equal(Right(k), result[k], StopBand);
        }
    }

    /// <summary>A clock 1 % fast reached beyond half of the right rate: what lies there must not fold back.</summary>
    [Theory, InlineData(0.4951), InlineData(0.4975), InlineData(0.4999)]
    public void A_tone_above_half_the_right_rate_is_gone(double turnsPerSample)   // 0.5 / 1.01 is 0.49505
    {
        double[] samples = [.. Enumerable.Range(0, 5000).Select(n => Math.Cos(2 * Math.PI * turnsPerSample * n + 0.3))];
        var result = Resampling.ByPpm(samples, 10_000);
        foreach (var k in Inside(result.Length, 1, 1)) Assert.InRange(Math.Abs(result[k]), 0, StopBand);
    }

    [Fact]
    public void A_clock_error_there_and_back_gives_the_signal()
    {
        var band = Bandlimited(20_000, 0.4);
        var back = Resampling.ByPpm(Resampling.ByPpm(band, 80), 1e6 * (1 / (1 + 80e-6) - 1));
        Assert.InRange(RelativeRms(band, back[..band.Length]), 0, 2 * StopBand);
    }

    [Fact]
    public void A_NaN_stays_near()
    {
        var samples = Noise(1000);
        samples[500] = double.NaN;
        var result = Resampling.ToRate(samples, 44100, 48000);
        Assert.True(double.IsNaN(result[544]));
        Assert.All(result[..430], sample => Assert.True(double.IsFinite(sample)));
        Assert.All(result[660..], sample => Assert.True(double.IsFinite(sample)));
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Refused("fromHz", "[1, 16777216] Hz", () => Resampling.ToRate([1], 0, 48000));
        Refused("toHz", "[1, 16777216] Hz", () => Resampling.ToRate([1], 48000, -5));
        Refused("toHz", "[187.5, 12288000] Hz", () => Resampling.ToRate([1], 48000, 187));
        Refused("clockFastPpm", "ppm", () => Resampling.ByPpm([1], double.NaN));
        foreach (var ppm in (double[])[Math.BitIncrement(10_000.0), double.NegativeInfinity])
            Refused("clockFastPpm", "[−10000, 10000] ppm", () => Resampling.ByPpm([1], ppm));
        foreach (var attempt in (Action[])[() => Resampling.ToRate(LongSpan.Of(1 << 29), 48000, 48001), () => Resampling.ByPpm(LongSpan.Of(1 << 29), -1)])
        {
            var thrown = Assert.Throws<ArgumentException>(attempt);
            Assert.Equal("samples", thrown.ParamName);
            Assert.Contains("at most 536870912", thrown.Message);
        }
    }

    private static void Refused(string name, string interval, Action attempt)
    {
        var thrown = Assert.Throws<ArgumentOutOfRangeException>(attempt);
        Assert.Equal(name, thrown.ParamName);
        Assert.Contains(interval, thrown.Message);
        Assert.NotNull(thrown.ActualValue);
    }

    /// <summary>The places that no edge reaches: 110 samples of the lower rate from either end.</summary>
    private static IEnumerable<int> Inside(int count, int rateHz, int lowerHz)
    {
        var edge = (int)Math.Ceiling(110.0 * rateHz / lowerHz);
        Assert.True(count > 3 * edge);
        return Enumerable.Range(edge, count - 2 * edge);
    }

    private static double[] Bandlimited(int count, double turnsPerSample)
    {
        var middle = count / 2.0;
        var width = count / 12.0;
        double[] samples = [.. Noise(count).Select((x, n) => x * Math.Exp(-(n - middle) * (n - middle) / (2 * width * width)))];
        var bins = FourierTransform.OfReal(samples, FourierTransform.NextFastLength(count));
        for (var k = 0; k < bins.Length; k++)
        {
            var over = (double)k / FourierTransform.NextFastLength(count) / turnsPerSample;
            bins[k] *= Math.Exp(-Math.Pow(over * 1.4, 16));   // smooth, so that it does not ring, and −500 dB at the end of the band
        }
        return FourierTransform.ToReal(bins, FourierTransform.NextFastLength(count))[..count];
    }
}
