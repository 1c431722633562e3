// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Xunit;

namespace Sweepbook.Tests.Seats;

public sealed class CensoredSeatsTests
{
    private const double RoundingDb2 = 1e-12;
    private static readonly double[] Alike = [1, 1, 1];

    [Fact]   // readings 0, 0 and at most −6: any lower truth spreads more
    public void A_dip_counts_as_it_reads() =>
        Assert.Equal(8, CensoredSeats.LeastVarianceDb2([0, 0, -6], [false, false, true], Alike), RoundingDb2);

    [Fact]   // readings −3, 3 and at most 12: the truth of the third may be 0, the mean of the others
    public void A_noisy_seat_that_reads_loud_may_be_like_the_others() =>
        Assert.Equal((9 + 9) / 3.0, CensoredSeats.LeastVarianceDb2([-3, 3, 12], [false, false, true], Alike), RoundingDb2);

    [Fact]
    public void Where_every_seat_is_noisy_nothing_is_known() =>
        Assert.Equal((0, 0), (CensoredSeats.LeastVarianceDb2([1, 2, 3], [true, true, true], Alike), CensoredSeats.LeastRangeDb([1, 2, 3], [true, true, true])));

    [Theory]
    [InlineData(2.0, -5.0, 0.0, false, true, false, 7)]    // the dip is the lowest
    [InlineData(2.0, 5.0, 0.0, false, true, false, 2)]     // the noisy one reads highest
    [InlineData(2.0, 1.0, 0.0, false, true, false, 2)]
    [InlineData(2.0, -5.0, -7.0, false, true, true, 9)]
    public void The_range_is_that_of_the_nearest_levels_possible(double a, double b, double c, bool isA, bool isB, bool isC, double rangeDb) =>
        Assert.Equal(rangeDb, CensoredSeats.LeastRangeDb([a, b, c], [isA, isB, isC]), RoundingDb2);

    [Fact]
    public void No_levels_that_fit_the_readings_spread_less()
    {
        double[] readings = [0, 4, -2, 5, -9], weights = [1, 0.5, 1, 2, 1];
        bool[] censored = [false, true, false, true, true];
        var least = CensoredSeats.LeastVarianceDb2(readings, censored, weights);
        var nearest = double.PositiveInfinity;
        for (var trial = 0UL; trial < 20_000; trial++)
        {
            var down = Signals.Noise(5, trial);
            double[] levels = [.. readings.Select((level, n) => censored[n] ? level - (trial % 3 == 0 ? 0 : Math.Abs(down[n]) * 6) : level)];
            var mean = levels.Zip(weights, (level, weight) => level * weight).Sum() / 5.5;
            var variance = levels.Zip(weights, (level, weight) => weight * (level - mean) * (level - mean)).Sum() / 5.5;
            Assert.True(variance >= least - RoundingDb2, $"{variance} < {least}");
            nearest = Math.Min(nearest, variance);
        }
        const double NearEnough = 1.05;   // twenty thousand draws in three dimensions come that close
        Assert.True(nearest <= NearEnough * least, $"{nearest} is the nearest to {least}");
    }
}
