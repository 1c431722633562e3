// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Spectra;

public sealed class SmoothingTests
{
    /// <summary>Sums of up to 20 000 positive numbers: each addition loses at most 1.1e-16 of the sum so far.</summary>
    private const double SumOfPositives = 2e-12;

    public static TheoryData<double> Widths => [1 / 48.0, 1 / 24.0, 1 / 12.0, 1 / 6.0, 1 / 3.0, 1, 2];

    [Theory, MemberData(nameof(Widths))]
    public void The_means_are_those_of_the_plain_sum(double widthOctaves)
    {
        double[] power = [.. Noise(20_001).Select(x => x * x)], centresHz = Centres(20_000 * 0.73);
        AgreeWithPlainSum(power, 0.73, centresHz, widthOctaves);
    }

    [Theory, MemberData(nameof(Widths))]
    public void Faint_bins_after_strong_ones_keep_their_accuracy(double widthOctaves)   // 200 dB between first and last
    {
        double[] power = [.. Noise(20_001).Select((x, k) => (1 + x / 2) * Math.Pow(10, -k / 1000.0))];
        AgreeWithPlainSum(power, 0.73, Centres(20_000 * 0.73), widthOctaves);
        double[] cliff = [.. Noise(20_001).Select((x, k) => (1 + x / 2) * (k < 100 ? 1 : 1e-20))];
        AgreeWithPlainSum(cliff, 0.73, Centres(20_000 * 0.73), widthOctaves);
    }

    [Theory, MemberData(nameof(Widths))]
    public void A_constant_stays_that_constant(double widthOctaves)
    {
        var power = Enumerable.Repeat(0.7, 5001).ToArray();
        Assert.All(Smoothing.PowerMean(power, 2, Centres(10_000), widthOctaves), mean => Assert.Equal(1, mean / 0.7, SumOfPositives));
    }

    [Theory, MemberData(nameof(Widths))]
    public void Every_bin_may_be_a_centre(double widthOctaves)
    {
        double[] power = [.. Noise(3001).Select(x => x * x)];
        AgreeWithPlainSum(power, 1, [.. Enumerable.Range(0, 3001).Select(k => (double)k)], widthOctaves);
    }

    [Fact]
    public void A_flat_spectrum_keeps_its_energy_when_a_line_stands_out()
    {
        // One bin of power 100 over a floor of 1, seen through bands that tile the axis: band means times band widths add up to the whole.
        var power = Enumerable.Repeat(1.0, 4001).ToArray();
        power[1234] = 100;
        double total = 0, widthOctaves = 1 / 3.0, from = 100;
        while (from < 3000)
        {
            var to = from * Math.Pow(2, widthOctaves);
            total += Smoothing.PowerMean(power, 1, [Math.Sqrt(from * to)], widthOctaves)[0] * (to - from);
            from = to;
        }
        Assert.Equal(1, total / (from - 100 + 99), SumOfPositives);
    }

    [Fact]
    public void Fractions_of_bins_count_at_both_edges()
    {
        // One octave round 4: 2.828 … 5.657, so 0.672 of bin 3, the whole of 4 and 5, 0.157 of bin 6.
        double[] power = [9, 9, 9, 1, 10, 100, 1000, 9];
        double low = 4 / Math.Sqrt(2), high = 4 * Math.Sqrt(2);
        var expected = ((3.5 - low) * 1 + 10 + 100 + (high - 5.5) * 1000) / (high - low);
        Assert.Equal(expected, Smoothing.PowerMean(power, 1, [4], 1)[0], SumOfPositives * 1000);
    }

    [Fact]
    public void Below_one_bin_the_value_is_interpolated()
    {
        double[] power = [4, 8, 2, 6, 6];
        double[] means = Smoothing.PowerMean(power, 10, [0, 2.5, 10, 15, 22], 1 / 48.0);
        double[] expected = [4, 5, 8, 5, 2.8];
        for (var k = 0; k < expected.Length; k++) Assert.Equal(expected[k], means[k], SumOfPositives);
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Assert.Equal("power", Assert.Throws<ArgumentException>(() => Smoothing.PowerMean([], 1, [1], 1)).ParamName);
        Assert.Equal("power", Assert.Throws<ArgumentException>(() => Smoothing.PowerMean([1, double.NaN], 1, [1], 1)).ParamName);
        Assert.Equal("power", Assert.Throws<ArgumentException>(() => Smoothing.PowerMean([1, -1], 1, [1], 1)).ParamName);
        Assert.Equal("binWidthHz", Assert.Throws<ArgumentOutOfRangeException>(() => Smoothing.PowerMean([1], 0, [0], 1)).ParamName);
        Assert.Equal("widthOctaves", Assert.Throws<ArgumentOutOfRangeException>(() => Smoothing.PowerMean([1], 1, [0], 0)).ParamName);
        Assert.Equal("centresHz", Assert.Throws<ArgumentException>(() => Smoothing.PowerMean([1, 1], 1, [0.5, 1.5], 1)).ParamName);
        Assert.Equal("centresHz", Assert.Throws<ArgumentException>(() => Smoothing.PowerMean([1, 1], 1, [double.NaN], 1)).ParamName);
        Assert.Equal("centresHz", Assert.Throws<ArgumentException>(() => Smoothing.PowerMean([1, 1], 1, [1.00001], 1)).ParamName);
        Assert.Equal([1.0], Smoothing.PowerMean([1, 1], 1, [Math.BitIncrement(1.0)], 1));   // the last bin, but for a rounding
    }

    private static void AgreeWithPlainSum(double[] power, double binWidthHz, double[] centresHz, double widthOctaves)
    {
        var means = Smoothing.PowerMean(power, binWidthHz, centresHz, widthOctaves);
        Assert.Equal(centresHz.Length, means.Length);
        for (var k = 0; k < means.Length; k++)
            Assert.Equal(1, means[k] / PlainMean(power, centresHz[k] / binWidthHz, widthOctaves), SumOfPositives);
    }

    /// <summary>The definition: each bin's share of the interval, one bin after the other.</summary>
    private static double PlainMean(double[] power, double centre, double widthOctaves)
    {
        double from = centre * Math.Pow(2, -widthOctaves / 2), to = centre * Math.Pow(2, widthOctaves / 2);
        if (to - from < 1) (from, to) = (centre - 0.5, centre + 0.5);
        double sum = 0, covered = 0;
        for (var k = Math.Max(0, (int)from - 1); k < power.Length && k < to + 1; k++)
        {
            var share = Math.Max(0, Math.Min(k + 0.5, to) - Math.Max(k - 0.5, from));
            (sum, covered) = (sum + share * power[k], covered + share);
        }
        return sum / covered;
    }

    private static double[] Centres(double highestHz) => [0, .. Enumerable.Range(0, 400).Select(k => highestHz * Math.Pow(2, -k / 30.0))];
}
