// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Filters;

public sealed class Class1LimitsTests
{
    private const double HalfFifthDecimal = 5e-6;

    private static readonly FrequencyBand Third = new(0, 3);

    [Fact]
    public void Breakpoints_of_third_octaves_are_those_of_the_table()   // IEC 61260-1:2014, Table F.1 (fact sheet 1.5)
    {
        double[] printed = [1, 1.02667, 1.05575, 1.08746, 1.12202, 1.29437, 1.88173, 3.05365, 5.39195], ratios = Class1Limits.BreakpointRatios(3);
        Assert.Equal(printed.Length, ratios.Length);
        for (var k = 0; k < printed.Length; k++) Assert.Equal(printed[k], ratios[k], HalfFifthDecimal);
        Assert.Equal(0.97402, 1 / ratios[1], HalfFifthDecimal);
    }

    // IEC 61260-1:2014, Table 1 (fact sheet 1.6): step, least, most.
    [Theory, InlineData(0, -0.4, 0.4), InlineData(1, -0.4, 0.5), InlineData(2, -0.4, 0.7), InlineData(3, -0.4, 1.4), InlineData(4, 1.2, 5.3)]
    [InlineData(5, 16.6, double.PositiveInfinity), InlineData(6, 40.5, double.PositiveInfinity), InlineData(7, 60, double.PositiveInfinity), InlineData(8, 70, double.PositiveInfinity)]
    public void Limits_are_those_of_the_table_on_both_sides(int step, double leastDb, double mostDb)
    {
        var ratio = Class1Limits.BreakpointRatios(3)[step];
        foreach (var hz in (double[])[1000 * ratio, 1000 / ratio])
        {
            Assert.Equal(leastDb, Class1Limits.LeastDb(Third, hz), 1e-9);
            Assert.Equal(mostDb, Class1Limits.MostDb(Third, hz), 1e-9);
        }
    }

    [Fact]
    public void Between_breakpoints_the_limits_are_straight_over_the_logarithm()   // fact sheet, below 1.6
    {
        var ratios = Class1Limits.BreakpointRatios(3);
        Assert.Equal((16.6 + 40.5) / 2, Class1Limits.LeastDb(Third, 1000 * Math.Sqrt(ratios[5] * ratios[6])), 1e-9);
        Assert.Equal((0.7 + 1.4) / 2, Class1Limits.MostDb(Third, 1000 / Math.Sqrt(ratios[2] * ratios[3])), 1e-9);
        Assert.Equal(70, Class1Limits.LeastDb(Third, 20));
        Assert.Equal(-0.4, Class1Limits.LeastDb(Third, 1121));
        FilterCascadeTests.Refused("bandsPerOctave", () => Class1Limits.BreakpointRatios(0));
        FilterCascadeTests.Refused("frequencyHz", () => Class1Limits.LeastDb(Third, double.NaN));
        FilterCascadeTests.Refused("band", () => Class1Limits.LeastDb(default(FrequencyBand), 100));
        FilterCascadeTests.Refused("band", () => Class1Limits.MostDb(default(FrequencyBand), 100));
    }
}
