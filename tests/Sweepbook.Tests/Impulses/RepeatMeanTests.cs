// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class RepeatMeanTests
{
    private const int Rate = 48_000;
    private static readonly (double, double, double) Pulse = (2000, 1000.0 / Rate, 20.0 / Rate);

    [Fact]
    public void Independent_noise_falls_by_three_decibels_per_doubling()
    {
        const double TwoStandardDeviationsDb = 0.15;   // 8 000 independent samples: 4.34 · √(2/8000) = 0.07 dB of scatter
        var repeats = Enumerable.Range(0, 4).Select(n => Timed(Signals.Noise(8000, (ulong)n + 10), "g")).ToList();
        var mean = RepeatMean.Of(repeats).ToArray();
        Assert.Equal(10 * Math.Log10(4), -10 * Math.Log10(mean.Sum(x => x * x) / mean.Length), TwoStandardDeviationsDb);   // ISO 18233:2006; fact sheet 4.16
    }

    [Fact]
    public void Repeats_with_a_common_time_zero_are_not_moved()
    {
        var (a, b) = (new double[4000], new double[4000]);
        (a[1000], b[1010]) = (1, 1);
        var mean = RepeatMean.Of([Timed(a, "g"), Timed(b, "g")]);
        Assert.Equal((0.5, 0.5), (mean[1000], mean[1010]));
    }

    [Fact]
    public void Repeats_without_a_common_time_zero_are_moved_onto_the_first()
    {
        const double OnePercent = 0.01;   // a lag off by a fiftieth of a sample at 2 kHz leaves 0.5 %
        var first = Signals.BandLimited(4000, Rate, Pulse);
        var late = Signals.BandLimited(4000, Rate, (2000, (1000.0 + 123.4) / Rate, 20.0 / Rate));
        var mean = RepeatMean.Of([Untimed(first), Untimed(late)]).ToArray();
        for (var n = 0; n < first.Length; n++) Assert.Equal(first[n], mean[n], OnePercent);
    }

    /// <summary>Behind the end of one repeat the mean would hold the noise of the others only, and a decay would seem to fall there.</summary>
    [Fact]
    public void The_common_part_ends_where_the_first_of_the_repeats_does()
    {
        var noise = Signals.Noise(4000, 3);
        Assert.Equal(3000, RepeatMean.OfCommonPart([Timed(noise, "g"), Timed(noise[..3000], "g")]).Length);
        Assert.Equal(3000, RepeatMean.OfCommonPart([Timed(noise[..3000], "g"), Timed(noise, "g")]).Length);
        Assert.Equal(4000, RepeatMean.OfCommonPart([Timed(noise, "g")]).Length);
    }

    [Fact]
    public void A_repeat_that_came_late_ends_early_on_the_time_axis_of_the_first()
    {
        var noise = Signals.Noise(5000, 4);
        var common = RepeatMean.OfCommonPart([Untimed(noise[500..4500]), Untimed(noise[..4000])]);
        Assert.InRange(common.Length, 3499, 3501);   // the second one's sound is 500 samples later in its record
        Assert.Equal(noise[600], common[100], 1e-6);
    }

    [Fact]
    public void Nothing_and_unequal_rates_are_refused()
    {
        Assert.Equal("repeats", Assert.Throws<ArgumentException>(() => RepeatMean.Of([])).ParamName);
        var other = new ImpulseResponse([1], 44_100, 0, TimeZero.Loopback, new("g"), "test");
        Assert.Contains("48000 Hz and 44100 Hz", Assert.Throws<ArgumentException>(() => RepeatMean.Of([Timed([1], "g"), other])).Message, StringComparison.Ordinal);
    }

    private static ImpulseResponse Timed(double[] samples, string group) => new(samples, Rate, 0, TimeZero.Loopback, new(group), "test");

    private static ImpulseResponse Untimed(double[] samples) => new(samples, Rate, 0, TimeZero.Unknown, TimeGroup.None, "test");
}
