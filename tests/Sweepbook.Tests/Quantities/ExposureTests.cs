// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class ExposureTests
{
    private const double Exact = 1e-9;
    private const double HalfLastPrintedDigit = 0.05;   // fact sheet 13.3 prints one decimal of a decibel

    [Theory]   // fact sheet 13.1
    [InlineData(85, 480)]
    [InlineData(88, 240)]
    [InlineData(91, 120)]
    [InlineData(94, 60)]
    [InlineData(97, 30)]
    [InlineData(100, 15)]
    [InlineData(103, 7.5)]
    [InlineData(106, 3.75)]
    public void The_table_of_the_recommendation_is_met(double levelDb, double minutes) => Assert.Equal(minutes, Exposure.AllowedMinutes(levelDb), Exact);

    [Fact]
    public void Shares_of_a_day_add_up_as_published() =>   // fact sheet 13.2
        Assert.Equal(100, Exposure.DosePercent(94, 30 * 60) + Exposure.DosePercent(88, 2 * 3600), Exact);

    [Fact]
    public void Nothing_is_allowed_above_the_ceiling_and_silence_costs_nothing()
    {
        Assert.Equal(0, Exposure.AllowedMinutes(115.1));
        Assert.Equal(480 / Math.Pow(2, 10), Exposure.AllowedMinutes(115), Exact);
        Assert.Equal(double.PositiveInfinity, Exposure.DosePercent(120, 1));
        Assert.Equal(0, Exposure.DosePercent(120, 0));
        Assert.Equal(0, Exposure.DosePercent(double.NegativeInfinity, 3600));
    }

    [Theory]   // fact sheet 13.3: the bass all but disappears from the level that the limit is for
    [InlineData(20, 59.5)]
    [InlineData(31.5, 70.6)]
    [InlineData(63, 83.8)]
    public void Bass_of_110_decibels_hides_in_the_weighting(double nominalHz, double weighted) =>
        Assert.Equal(weighted, 110 + Weighting.A.LevelDb(FrequencyBand.ThirdOctaveAt(nominalHz).CentreHz), HalfLastPrintedDigit + 0.01);

    [Fact]
    public void Wrong_arguments_are_named()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Exposure.AllowedMinutes(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exposure.DosePercent(90, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exposure.DosePercent(90, double.PositiveInfinity));
    }
}
