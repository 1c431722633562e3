// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;
using Xunit;

namespace Sweepbook.Tests.Spectra;

public sealed class StudentFactorTests
{
    [Theory]   // JCGM 100:2008 (GUM), table G.2, column 95 % (from memory; also in every table of Student's distribution)
    [InlineData(1, 12.71)]
    [InlineData(2, 4.30)]
    [InlineData(3, 3.18)]
    [InlineData(4, 2.78)]
    [InlineData(5, 2.57)]
    [InlineData(7, 2.36)]
    [InlineData(10, 2.23)]
    [InlineData(20, 2.09)]
    [InlineData(50, 2.01)]
    [InlineData(double.PositiveInfinity, 1.960)]
    public void The_factor_agrees_with_the_published_table(double freedom, double factor)
    {
        const double HalfLastPrintedDigit = 0.005;
        Assert.Equal(factor, StudentFactor.TwoSided(freedom), HalfLastPrintedDigit);
    }

    [Theory]   // the one-sided 95 % column of the same distribution
    [InlineData(1, 6.314)]
    [InlineData(2, 2.920)]
    [InlineData(10, 1.812)]
    [InlineData(double.PositiveInfinity, 1.645)]
    public void The_one_sided_factor_agrees_with_the_published_table(double freedom, double factor)
    {
        const double HalfLastPrintedDigit = 0.0005;
        Assert.Equal(factor, StudentFactor.OneSided(freedom), HalfLastPrintedDigit);
    }

    [Fact]
    public void Between_its_entries_the_table_is_within_a_thousandth()
    {
        const double Thousandth = 1e-3;
        for (var freedom = 1.0; freedom < 1000; freedom *= 1.013)
        {
            var exact = MathNet.Numerics.Distributions.StudentT.InvCDF(0, 1, freedom, 0.975);
            Assert.InRange(StudentFactor.TwoSided(freedom) / exact, 1 - Thousandth, 1 + Thousandth);
        }
    }

    [Fact]
    public void The_factor_never_falls_below_that_of_one_degree_of_freedom_for_fewer() =>
        Assert.Equal(StudentFactor.TwoSided(1), StudentFactor.TwoSided(0.2));

    [Fact]
    public void Degrees_of_freedom_agree_with_the_example_of_the_guide()
    {
        // GUM, G.4.1: 0.25 %, 0.57 % and 0.82 % from 10, 5 and 15 readings: 19.0 (from memory; follows from equation G.2b).
        const double HalfLastPrintedDigit = 0.05;
        var (one, two, three) = (0.25 * 0.25, 0.57 * 0.57, 0.82 * 0.82);
        var both = StudentFactor.Freedom(one, 9, two, 4);
        Assert.Equal(19.0, StudentFactor.Freedom(one + two, both, three, 14), HalfLastPrintedDigit);
    }

    [Fact]
    public void A_part_that_is_zero_costs_no_degrees_of_freedom()
    {
        Assert.Equal(7, StudentFactor.Freedom(2, 7, 0, 0));
        Assert.Equal(double.PositiveInfinity, StudentFactor.Freedom(0, 1, 0, 0));
    }
}
