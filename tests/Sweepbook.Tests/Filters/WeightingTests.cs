// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Filters;

public sealed class WeightingTests
{
    private const double HalfLastPrintedDigit = 0.05;   // the table prints one decimal

    private const double HalfThirdDecimal = 0.0005;     // the spot values are given to three decimals

    // IEC 61672-1:2002, Table 2, as adopted and printed by GOST 17187-2010 (https://ajdocs.ru/gsp/30214/14); the same numbers
    // stand in IEC 61672-1:2013, Table 3. Nominal frequency in Hz, A in dB, C in dB.
    public static TheoryData<double, double, double> Iec61672Table => new()
    {
        { 10, -70.4, -14.3 },
        { 12.5, -63.4, -11.2 },
        { 16, -56.7, -8.5 },
        { 20, -50.5, -6.2 },
        { 25, -44.7, -4.4 },
        { 31.5, -39.4, -3 },
        { 40, -34.6, -2 },
        { 50, -30.2, -1.3 },
        { 63, -26.2, -0.8 },
        { 80, -22.5, -0.5 },
        { 100, -19.1, -0.3 },
        { 125, -16.1, -0.2 },
        { 160, -13.4, -0.1 },
        { 200, -10.9, 0 },
        { 250, -8.6, 0 },
        { 315, -6.6, 0 },
        { 400, -4.8, 0 },
        { 500, -3.2, 0 },
        { 630, -1.9, 0 },
        { 800, -0.8, 0 },
        { 1000, 0, 0 },
        { 1250, 0.6, 0 },
        { 1600, 1, -0.1 },
        { 2000, 1.2, -0.2 },
        { 2500, 1.3, -0.3 },
        { 3150, 1.2, -0.5 },
        { 4000, 1, -0.8 },
        { 5000, 0.5, -1.3 },
        { 6300, -0.1, -2 },
        { 8000, -1.1, -3 },
        { 10000, -2.5, -4.4 },
        { 12500, -4.3, -6.2 },
        { 16000, -6.6, -8.5 },
        { 20000, -9.3, -11.2 },
    };

    [Theory, MemberData(nameof(Iec61672Table))]
    public void Every_printed_value_is_met_at_the_exact_frequency(double nominalHz, double aDb, double cDb)
    {
        var band = Assert.Single(FrequencyBand.ThirdOctaves(nominalHz, nominalHz));
        Assert.Equal(aDb, Weighting.A.LevelDb(band.CentreHz), HalfLastPrintedDigit);
        Assert.Equal(cDb, Weighting.C.LevelDb(band.CentreHz), HalfLastPrintedDigit);
        Assert.Equal(0, Weighting.Z.LevelDb(band.CentreHz));
    }

    [Fact]
    public void The_table_has_all_34_rows() => Assert.Equal(34, Iec61672Table.Count());

    // The pole formula worked out independently at exact frequencies (fact sheet 2.3).
    [Theory]
    [InlineData("A", 31.6228, -39.440), InlineData("A", 63.0957, -26.194), InlineData("A", 125.893, -16.098)]
    [InlineData("A", 1995.26, 1.200), InlineData("A", 2511.89, 1.271), InlineData("C", 31.6228, -3.010), InlineData("C", 7943.28, -3.010)]
    public void Spot_values_agree_to_their_printed_digits(string name, double frequencyHz, double expectedDb) =>
        Assert.Equal(expectedDb, Named(name).LevelDb(frequencyHz), HalfThirdDecimal);

    [Fact]
    public void The_nominal_frequency_is_not_the_exact_one()   // fact sheet, trap 2: −56.42 at 16 Hz, −56.69 at 15.849 Hz
    {
        const double HalfSecondDecimal = 0.005;
        Assert.Equal(-56.42, Weighting.A.LevelDb(16), HalfSecondDecimal);
    }

    [Theory, InlineData("A"), InlineData("C"), InlineData("Z")]
    public void One_kilohertz_is_the_reference(string name) => Assert.Equal(0, Named(name).LevelDb(1000));

    [Fact]
    public void A_rises_by_24_dB_per_octave_far_below_its_poles_and_C_by_12()
    {
        // Four zeros at 0 Hz for A, two for C: 40 dB per zero pair and decade. The poles are 200 times higher, (1/200)² off.
        const double PolesStillFelt = 0.01;
        Assert.Equal(80, Weighting.A.LevelDb(0.1) - Weighting.A.LevelDb(0.01), PolesStillFelt);
        Assert.Equal(40, Weighting.C.LevelDb(0.1) - Weighting.C.LevelDb(0.01), PolesStillFelt);
    }

    [Fact]
    public void Zero_hertz_is_infinitely_far_down() =>
        Assert.Equal((double.NegativeInfinity, double.NegativeInfinity, 0), (Weighting.A.LevelDb(0), Weighting.C.LevelDb(0), Weighting.Z.LevelDb(0)));

    [Theory, InlineData(-1), InlineData(double.NaN), InlineData(double.PositiveInfinity)]
    public void A_frequency_that_is_none_is_refused(double frequencyHz) =>
        Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => Weighting.Z.LevelDb(frequencyHz)).ParamName);

    private static Weighting Named(string name) => new[] { Weighting.A, Weighting.C, Weighting.Z }.Single(weighting => weighting.Name == name);
}
