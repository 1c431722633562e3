// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;
using Xunit;

namespace Sweepbook.Tests.Spectra;

public sealed class WindowLengthsTests
{
    private const double Rounding = 1e-12;

    [Theory]
    [InlineData(10, 20, 0.5)]
    [InlineData(10, 1000, 0.01)]
    [InlineData(2, 50, 0.04)]
    [InlineData(1000, 20, 10)]   // 50 s would be: ten are the most
    public void Periods_are_a_length_that_falls_with_frequency(int count, double frequencyHz, double seconds) =>
        Assert.Equal(seconds, WindowLengths.Periods(count).SecondsAt(frequencyHz), Rounding);

    [Fact]
    public void Between_two_rows_the_length_is_a_power_law_and_beyond_them_it_is_held()
    {
        var lengths = WindowLengths.OfTable([(100, 400), (1600, 100)], "own choice");
        Assert.Equal(0.4, lengths.SecondsAt(10), Rounding);
        Assert.Equal(0.4, lengths.SecondsAt(100), Rounding);
        Assert.Equal(0.2, lengths.SecondsAt(400), Rounding);   // the geometric middle of both
        Assert.Equal(0.1, lengths.SecondsAt(1600), Rounding);
        Assert.Equal(0.1, lengths.SecondsAt(20_000), Rounding);
        Assert.Equal([(100, 400), (1600, 100)], lengths.Rows);
    }

    // B. R. Glasberg, B. C. J. Moore, Hearing Research 47 (1990), eq. 3: E(1 kHz) = 24.7 · 5.37 = 132.64 Hz, E(10 kHz) = 24.7 · 44.7 = 1104.1 Hz
    [Theory]
    [InlineData(1000, 1 / 132.639)]
    [InlineData(10_000, 1 / 1104.09)]
    public void The_table_of_hearing_is_one_over_the_equivalent_rectangular_bandwidth(double frequencyHz, double seconds)
    {
        Assert.Equal(seconds, WindowLengths.BandsOfHearing.SecondsAt(frequencyHz), 1e-9);
        Assert.Contains("Glasberg", WindowLengths.BandsOfHearing.Source, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_out_of_range_is_refused_with_its_place()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => WindowLengths.Periods(1));
        Assert.Throws<ArgumentOutOfRangeException>(() => WindowLengths.Periods(2000));
        Assert.Throws<ArgumentException>(() => WindowLengths.OfTable([], "own choice"));
        Assert.Throws<ArgumentException>(() => WindowLengths.OfTable([(100, 10)], " "));
        Assert.Contains("row 1", Assert.Throws<ArgumentException>(() => WindowLengths.OfTable([(100, 10), (90, 10)], "own choice")).Message, StringComparison.Ordinal);
        Assert.Contains("row 0", Assert.Throws<ArgumentException>(() => WindowLengths.OfTable([(100, 0)], "own choice")).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => WindowLengths.BandsOfHearing.SecondsAt(0));
    }
}
