// SPDX-License-Identifier: MIT
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class RandomNumbersTests
{
    private const int Draws = 200_000;
    private const double FourStandardErrors = 4;   // one false alarm in 16 000, and the seed is fixed anyway

    [Fact]   // outputs of the public reference code for seed 1234567, as printed by Rosetta Code, "Pseudo-random numbers/Splitmix64"
    public void The_first_numbers_are_the_published_ones_of_splitmix64()
    {
        var random = new RandomNumbers(1234567);
        ulong[] published = [6457827717110365317, 3203168211198807973, 9817491932198370423, 4593380528125082431, 16408922859458223821];
        foreach (var bits in published) Assert.Equal(bits, random.NextBits());
    }

    [Fact]   // the same for seed 0
    public void Seed_zero_gives_the_published_numbers_too()
    {
        var random = new RandomNumbers(0);
        foreach (var bits in new[] { 0xE220A8397B1DCDAFUL, 0x6E789E6AA1B965F4UL, 0x06C45D188009454FUL }) Assert.Equal(bits, random.NextBits());
    }

    [Fact]   // moments of the normal distribution: 0, 1, 0, 3; their standard errors from its higher moments
    public void Gaussian_numbers_have_the_moments_of_the_normal_distribution()
    {
        var random = new RandomNumbers(7);
        var sums = new double[5];
        for (var n = 0; n < Draws; n++)
        {
            var (value, power) = (random.NextGaussian(), 1.0);
            for (var k = 1; k <= 4; k++) sums[k] += power *= value;
        }
        var (moments, variances) = (new double[] { 0, 0, 1, 0, 3 }, new double[] { 0, 1, 2, 15, 96 });
        for (var k = 1; k <= 4; k++)
            Assert.InRange(sums[k] / Draws - moments[k], -FourStandardErrors * Math.Sqrt(variances[k] / Draws), FourStandardErrors * Math.Sqrt(variances[k] / Draws));
    }

    [Fact]
    public void Neighbouring_gaussian_numbers_are_uncorrelated()
    {
        var random = new RandomNumbers(8);
        var (sum, before) = (0.0, random.NextGaussian());
        for (var n = 0; n < Draws; n++)
        {
            var now = random.NextGaussian();
            sum += before * now;
            before = now;
        }
        Assert.InRange(sum / Draws, -FourStandardErrors / Math.Sqrt(Draws), FourStandardErrors / Math.Sqrt(Draws));
    }

    [Fact]
    public void Whole_numbers_reach_both_ends_and_never_pass_them()
    {
        var random = new RandomNumbers(9);
        var drawn = Enumerable.Range(0, 1000).Select(_ => random.NextWhole(3, 6)).ToHashSet();
        Assert.Equal([3, 4, 5, 6], drawn.Order());
    }

    [Fact]
    public void Each_name_has_numbers_of_its_own_and_keeps_them()
    {
        Assert.Equal(RandomNumbers.For(5, "a").NextBits(), RandomNumbers.For(5, "a").NextBits());
        Assert.NotEqual(RandomNumbers.For(5, "a").NextBits(), RandomNumbers.For(5, "b").NextBits());
        Assert.NotEqual(RandomNumbers.For(5, "a").NextBits(), RandomNumbers.For(6, "a").NextBits());
    }
}
