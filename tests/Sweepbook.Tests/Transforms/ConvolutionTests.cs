// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class ConvolutionTests
{
    /// <summary>Three transforms of at most 2^14, each 1e-15 · log2 N of the rms, and the slow sum's own rounding.</summary>
    private const double ThreeTransforms = 5e-14;

    [Theory]
    [InlineData(1, 1), InlineData(1, 50), InlineData(33, 33), InlineData(34, 100), InlineData(100, 34), InlineData(777, 1025), InlineData(5000, 40)]
    public void The_fast_way_gives_the_plain_sum(int first, int second)
    {
        double[] a = Noise(first), b = Noise(second, 5);
        Assert.InRange(RelativeRms(Convolution.Direct(a, b), Convolution.Linear(a, b)), 0, ThreeTransforms);
    }

    /// <summary>Just below and above the length from which it goes block by block, a last block of one sample, and the two the other way round.</summary>
    [Theory, InlineData(32767, 40), InlineData(32768, 40), InlineData(4 * 8153 + 1, 40), InlineData(60_000, 1300), InlineData(40, 50_000)]
    public void A_short_sequence_on_a_long_one_gives_the_plain_sum(int first, int second)
    {
        double[] a = Noise(first), b = Noise(second, 5);
        Assert.InRange(RelativeRms(Convolution.Direct(a, b), Convolution.Linear(a, b)), 0, ThreeTransforms);
    }

    [Fact]
    public void Block_by_block_a_silent_stretch_stays_silent()   // 100 000 samples after a click, and a kernel of 40
    {
        var click = new double[100_000];
        click[3] = 1;
        var result = Convolution.Linear(click, Noise(40));
        Assert.All(result[20_000..], sample => Assert.Equal(0, sample));
    }

    [Fact]
    public void The_plain_sum_is_the_product_of_polynomials()   // (1 + 2x + 3x²)(4 + 5x) = 4 + 13x + 22x² + 15x³
        => Assert.Equal([4.0, 13, 22, 15], Convolution.Direct([1, 2, 3], [4, 5]));

    [Fact]
    public void An_impulse_moves_the_other_sequence()
    {
        var samples = Noise(300);
        var impulse = new double[50];
        impulse[41] = 1;
        var moved = Convolution.Linear(samples, impulse);
        Assert.Equal(349, moved.Length);
        Assert.InRange(RelativeRms([.. new double[41], .. samples, .. new double[8]], moved), 0, ThreeTransforms);
    }

    [Fact]
    public void An_empty_sequence_gives_an_empty_result() => Assert.Empty(Convolution.Linear([], Noise(40)));

    [Fact]
    public void A_correlation_is_the_plain_sum_at_every_lag()
    {
        double[] a = Noise(90), b = Noise(70, 5);
        var correlation = Correlation.Of(a, b);
        Assert.Equal((-69, 89), (correlation.FirstLag, correlation.LastLag));
        for (var lag = correlation.FirstLag; lag <= correlation.LastLag; lag++)
        {
            double sum = 0;
            for (var n = 0; n < b.Length; n++)
                if (n + lag >= 0 && n + lag < a.Length) sum += a[n + lag] * b[n];
            const double SeventyProducts = 70 * ThreeTransforms;
            Assert.Equal(sum, correlation[lag], SeventyProducts);
        }
        Assert.Equal(correlation[-69], correlation.ToArray()[0]);
    }

    [Theory, InlineData(0), InlineData(37), InlineData(-12)]
    public void The_strongest_lag_is_how_much_later_the_first_is(int delay)
    {
        var b = Noise(400);
        var a = FractionalDelay.Shift(b, delay).Select(x => -x).ToArray();   // inverted: strongest whichever the sign
        Assert.Equal(delay, Correlation.Of(a, b).StrongestLag);
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Assert.Equal("a", Assert.Throws<ArgumentException>(() => Correlation.Of([], [1])).ParamName);
        Assert.Equal("b", Assert.Throws<ArgumentException>(() => Correlation.Of([1], [])).ParamName);
        Assert.Equal("lag", Assert.Throws<ArgumentOutOfRangeException>(() => Correlation.Of([1], [1])[1]).ParamName);
        Assert.Equal("lag", Assert.Throws<ArgumentOutOfRangeException>(() => Correlation.Of([1], [1])[-1]).ParamName);
    }

    [Fact]
    public void Of_two_equal_peaks_the_earlier_is_the_strongest_lag() => Assert.Equal(0, Correlation.Of([1, 0, -1], [1]).StrongestLag);

    [Fact]
    public void A_result_longer_than_a_transform_is_refused_before_a_sample_is_read()
    {
        foreach (var fast in (bool[])[false, true])
        {
            var thrown = Assert.Throws<ArgumentException>(() => fast ? Convolution.Linear(LongSpan.Of(1 << 28), LongSpan.Of((1 << 28) + 2)) : Convolution.Direct(LongSpan.Of(1 << 29), LongSpan.Of(2)));
            Assert.Equal("b", thrown.ParamName);
            Assert.Contains("536870913 values; at most 536870912", thrown.Message);
        }
    }
}
