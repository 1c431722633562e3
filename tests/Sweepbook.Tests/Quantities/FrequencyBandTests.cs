// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class FrequencyBandTests
{
    private const double HalfFourthDecimal = 5e-5;   // the expected frequencies are given to four decimals

    /// <summary>Relative: two powers and two products on either side, each rounded once.</summary>
    private const double FewRoundings = 8e-15;

    // ISO 266:1997, series R10, as printed in the table of GOST 17187-2010 (fact sheet 3). Index counts from 1 kHz.
    public static TheoryData<int, double, string> Iso266 => new()
    {
        { -20, 10, "10" }, { -19, 12.5, "12.5" }, { -18, 16, "16" }, { -17, 20, "20" }, { -16, 25, "25" }, { -15, 31.5, "31.5" },
        { -14, 40, "40" }, { -13, 50, "50" }, { -12, 63, "63" }, { -11, 80, "80" }, { -10, 100, "100" }, { -9, 125, "125" },
        { -8, 160, "160" }, { -7, 200, "200" }, { -6, 250, "250" }, { -5, 315, "315" }, { -4, 400, "400" }, { -3, 500, "500" },
        { -2, 630, "630" }, { -1, 800, "800" }, { 0, 1000, "1000" }, { 1, 1250, "1250" }, { 2, 1600, "1600" }, { 3, 2000, "2000" },
        { 4, 2500, "2500" }, { 5, 3150, "3150" }, { 6, 4000, "4000" }, { 7, 5000, "5000" }, { 8, 6300, "6300" }, { 9, 8000, "8000" },
        { 10, 10000, "10000" }, { 11, 12500, "12500" }, { 12, 16000, "16000" }, { 13, 20000, "20000" },
    };

    [Theory, MemberData(nameof(Iso266))]
    public void Third_octaves_bear_the_labels_of_ISO_266(int index, double nominalHz, string label)
    {
        var band = new FrequencyBand(index, 3);
        Assert.Equal((nominalHz, label), (band.NominalHz, band.Label));
        Assert.Equal(band, FrequencyBand.ThirdOctaveAt(nominalHz));
        const double RenardRounding = 0.013;   // the series R10 rounds 10^(n/10): at most 1.26 % off, at 12.5 … 1.25 (exactly 1.2589)
        Assert.Equal(1, band.CentreHz / nominalHz, RenardRounding);
    }

    [Fact]
    public void All_34_third_octaves_from_10_Hz_to_20_kHz_are_found_in_order() =>
        Assert.Equal(Iso266.Select(row => row.Data.Item3), FrequencyBand.ThirdOctaves(10, 20000).Select(band => band.Label));

    [Fact]
    public void Octaves_are_every_third_label() =>   // ISO 266; fact sheet 3
        Assert.Equal(["16", "31.5", "63", "125", "250", "500", "1000", "2000", "4000", "8000", "16000"],
            FrequencyBand.Octaves(16, 16000).Select(band => band.Label));

    // IEC 61260-1:2014, 5.4: mid-band frequencies 1000 · G^(x/b) with G = 10^(3/10) (fact sheet 1.2).
    [Theory, InlineData(-4, 1, 63.0957), InlineData(-12, 3, 63.0957), InlineData(-17, 3, 19.9526)]
    public void Centres_are_the_exact_base_ten_frequencies(int index, int bandsPerOctave, double centreHz) =>
        Assert.Equal(centreHz, new FrequencyBand(index, bandsPerOctave).CentreHz, HalfFourthDecimal);

    [Fact]
    public void The_centre_above_one_kilohertz_is_a_tenth_of_a_decade_higher() =>
        Assert.Equal(1258.925, new FrequencyBand(1, 3).CentreHz, 5e-4);   // given to three decimals (fact sheet 1.2)

    // Edges f · G^(±1/(2b)) (fact sheet 1.3).
    [Theory, InlineData(-4, 1, 44.6684, 89.1251), InlineData(0, 1, 707.9458, 1412.5375), InlineData(0, 3, 891.2509, 1122.0185)]
    public void Edges_lie_half_a_band_from_the_centre(int index, int bandsPerOctave, double lowerHz, double upperHz)
    {
        var band = new FrequencyBand(index, bandsPerOctave);
        Assert.Equal(lowerHz, band.LowerHz, HalfFourthDecimal);
        Assert.Equal(upperHz, band.UpperHz, HalfFourthDecimal);
    }

    [Fact]
    public void The_octave_ratio_is_ten_to_three_tenths() =>
        Assert.Equal(1.995262315, FrequencyBand.OctaveRatio, 5e-10);   // IEC 61260-1:2014, 5.2, nine decimals (fact sheet 1.1)

    [Fact]
    public void Neighbours_share_an_edge()
    {
        var bands = FrequencyBand.ThirdOctaves(10, 20000);
        for (var k = 1; k < bands.Count; k++) Assert.Equal(1, bands[k].LowerHz / bands[k - 1].UpperHz, FewRoundings);
    }

    [Fact]
    public void Three_third_octaves_make_an_octave()
    {
        var octave = new FrequencyBand(-4, 1);
        Assert.Equal(1, new FrequencyBand(-13, 3).LowerHz / octave.LowerHz, FewRoundings);
        Assert.Equal(1, new FrequencyBand(-11, 3).UpperHz / octave.UpperHz, FewRoundings);
    }

    [Theory, InlineData(890.9, -1), InlineData(891.3, 0), InlineData(1122, 0), InlineData(1122.1, 1), InlineData(20, -17), InlineData(0.5, -33)]
    public void Any_frequency_has_its_third_octave(double frequencyHz, int index) =>
        Assert.Equal(new FrequencyBand(index, 3), FrequencyBand.ThirdOctaveAt(frequencyHz));

    [Fact]
    public void Limits_between_two_labels_give_no_band() => Assert.Empty(FrequencyBand.ThirdOctaves(1010, 1240));

    [Theory, InlineData(0), InlineData(-20), InlineData(double.NaN), InlineData(double.PositiveInfinity)]
    public void A_frequency_that_is_none_is_refused(double wrongHz)
    {
        Assert.Equal("fromHz", Assert.Throws<ArgumentOutOfRangeException>(() => FrequencyBand.Octaves(wrongHz, 1000)).ParamName);
        Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => FrequencyBand.ThirdOctaveAt(wrongHz)).ParamName);
    }

    [Theory, InlineData(99), InlineData(double.NaN), InlineData(double.PositiveInfinity)]
    public void Limits_in_the_wrong_order_are_refused(double toHz) =>
        Assert.Equal("toHz", Assert.Throws<ArgumentOutOfRangeException>(() => FrequencyBand.ThirdOctaves(100, toHz)).ParamName);

    // IEC 61260-1:2014, Annex E.3.4, as quoted in fact sheet 1.9: 24 bands per octave.
    [Theory, InlineData(-111, 41.567, "41.6"), InlineData(75, 8785.2, "8800")]
    public void Finer_bands_are_named_by_their_rounded_centre(int index, double centreHz, string label)
    {
        var band = new FrequencyBand(index, 24);
        const double FivePrintedFigures = 1e-5;
        Assert.Equal(1, band.CentreHz / centreHz, FivePrintedFigures);
        Assert.Equal(label, band.Label);
    }

    [Fact]
    public void An_even_number_of_bands_shares_its_edges_with_the_octave()   // IEC 61260-1:2014, 5.4: the centres avoid 1 kHz
    {
        Assert.Equal(1, new FrequencyBand(0, 2).LowerHz / 1000, FewRoundings);
        Assert.Equal(1, new FrequencyBand(1, 2).UpperHz / (1000 * FrequencyBand.OctaveRatio), FewRoundings);
    }

    [Fact]
    public void The_default_band_is_visibly_empty() =>
        Assert.Equal(("", double.NaN), (default(FrequencyBand).Label, default(FrequencyBand).NominalHz));
}
