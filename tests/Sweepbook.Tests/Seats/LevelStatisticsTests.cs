// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Seats;
using Xunit;

namespace Sweepbook.Tests.Seats;

public sealed class LevelStatisticsTests
{
    private const double RoundingDb = 1e-12;   // a few units in the last place of levels up to 100 dB

    [Fact]
    public void Many_levels_at_once_are_those_of_the_logarithm_one_by_one()
    {
        double[] powers = [0, 5e-324, 1e-300, 1e-12, 0.5, 1, 2, 10, 1e6, 1e300, double.PositiveInfinity, 0.1, 3];   // not a whole number of vectors
        var levels = new double[powers.Length];
        Decibels.FromPowers(powers, levels);
        for (var k = 0; k < powers.Length; k++)
            if (double.IsInfinity(Decibels.FromPower(powers[k]))) Assert.Equal(Decibels.FromPower(powers[k]), levels[k]);
            else Assert.InRange(levels[k] - Decibels.FromPower(powers[k]), -RoundingDb, RoundingDb);
    }

    [Theory]   // lengths below, at and above a block and a vector
    [InlineData(1)]
    [InlineData(8)]
    [InlineData(2047)]
    [InlineData(2048)]
    [InlineData(4099)]
    public void They_are_those_of_the_slow_sums_at_any_length(int bins)
    {
        double[] weights = [1, 0.5, 2, 1];
        double[][] powers = [.. Enumerable.Range(0, 4).Select(seat => Signals.Noise(bins, (ulong)seat + 1).Select(x => x * x + 1e-9).ToArray())];
        var found = LevelStatistics.Of(powers, weights);
        var spread = new double[bins];
        LevelStatistics.Spread(found.VarianceDb2, spread);
        Assert.Equal(found.VarianceDb2.Select(Math.Sqrt), spread);
        for (var k = 0; k < bins; k++)
        {
            var levels = powers.Select(power => 10 * Math.Log10(power[k])).ToArray();
            var mean = levels.Zip(weights, (level, weight) => level * weight).Sum() / 4.5;
            var variance = levels.Zip(weights, (level, weight) => weight * (level - mean) * (level - mean)).Sum() / 4.5;
            Assert.Equal(10 * Math.Log10(powers.Zip(weights, (power, weight) => power[k] * weight).Sum() / 4.5), found.PowerMeanDb[k], RoundingDb);
            Assert.Equal(mean, found.LevelMeanDb[k], RoundingDb);
            Assert.Equal(variance, found.VarianceDb2[k], 100 * RoundingDb);   // squares of up to 100 dB
            Assert.Equal((levels.Min(), levels.Max()), (found.LowestDb[k], found.HighestDb[k]), (a, b) => Math.Abs(a.Item1 - b.Item1) < RoundingDb && Math.Abs(a.Item2 - b.Item2) < RoundingDb);
        }
    }

    [Fact]
    public void Filling_again_leaves_nothing_of_what_was_there()
    {
        double[][] first = [Enumerable.Repeat(4.0, 300).ToArray(), Enumerable.Repeat(1.0, 300).ToArray()], second = [.. first.Select(power => power.Select(p => 7 * p).ToArray())];
        var (reused, fresh) = (LevelStatistics.Of(first, [1, 1]), LevelStatistics.Of(second, [1, 1]));
        reused.Fill(second, [1, 1]);
        Assert.Equal(fresh.PowerMeanDb, reused.PowerMeanDb);
        Assert.Equal(fresh.LevelMeanDb, reused.LevelMeanDb);
        Assert.Equal(fresh.VarianceDb2, reused.VarianceDb2);
    }

    [Fact]
    public void The_complex_mean_adds_weighted_values_with_their_phases()
    {
        var mean = new Complex[3];
        Array.Fill(mean, 99);   // what is in the caller's memory does not count
        LevelStatistics.ComplexMean([[1, Complex.ImaginaryOne, -2], [-1, 3, -2]], [3, 1], mean);
        Assert.Equal([new(0.5, 0), new(0.75, 0.75), new(-2, 0)], mean);
    }
}
