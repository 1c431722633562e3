// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Xunit;

namespace Sweepbook.Tests.Microphones;

public sealed class CoverageTests
{
    private const double Exact = 1e-9;

    [Fact]
    public void A_normal_error_is_covered_by_two_standard_deviations() => Assert.Equal(1.4, Coverage.HalfWidth(0.7, 0), Exact);

    [Fact]
    public void Limits_alone_are_covered_by_95_in_100_of_them_and_never_by_more_than_themselves()
    {
        Assert.Equal(0.9545 * 3, Coverage.HalfWidth(0, 3), 0.001);   // four digits of the probability
        const double FactorFor95 = 1.65, HalfLastDigit = 0.005;   // GUM, G.6.5: 1.65 standard uncertainties, which are limits over √3, for 95 %
        Assert.Equal(FactorFor95, Coverage.HalfWidth(0, 3) / (3 / Math.Sqrt(3)) * 0.95 / Coverage.Probability, HalfLastDigit);
    }

    [Theory]
    [InlineData(0.1, 2)]
    [InlineData(1, 1)]
    [InlineData(2, 0.3)]
    [InlineData(1e-5, 1)]
    public void Both_together_are_covered_as_a_sum_over_the_limits_says(double standard, double limits)
    {
        var half = Coverage.HalfWidth(standard, limits);
        const int Steps = 20_000;
        var inside = 0.0;   // the mean over all places between the limits of what a normal error round each leaves inside
        for (var n = 0; n < Steps; n++)
        {
            var centre = limits * (2 * (n + 0.5) / Steps - 1);
            inside += (Below((half - centre) / standard) - Below((-half - centre) / standard)) / Steps;
        }
        const double OfTheSum = 1e-5;   // its steps, where the normal part is hardly wider than one
        Assert.Equal(Coverage.Probability, inside, OfTheSum);

        static double Below(double z) => MathNet.Numerics.Distributions.Normal.CDF(0, 1, z);
    }

    [Fact]
    public void What_is_not_known_stays_so() => Assert.True(double.IsNaN(Coverage.HalfWidth(double.NaN, 1)));
}
