// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class DecayRulesTests
{
    private const double OnePercent = 0.01;        // fact sheet 4.6
    private const double TenthPercent = 0.001;     // fact sheet 4.10

    [Theory]   // fact sheet 4.5 and 4.6
    [InlineData(31.5, 1, 0.721, 0.180)]
    [InlineData(63, 1, 0.360, 0.090)]
    [InlineData(125, 1, 0.182, 0.045)]
    [InlineData(250, 1, 0.091, 0.023)]
    [InlineData(31.5, 3, 2.201, 0.550)]
    [InlineData(63, 3, 1.101, 0.275)]
    [InlineData(125, 3, 0.555, 0.139)]
    public void A_band_shows_decays_down_to_the_published_limit(double labelHz, int bandsPerOctave, double forwards, double backwards)
    {
        const double HalfLastDigit = 0.0005;
        var band = (bandsPerOctave == 1 ? FrequencyBand.Octaves(labelHz, labelHz) : FrequencyBand.ThirdOctaves(labelHz, labelHz))[0];
        var width = band.UpperHz - band.LowerHz;
        Assert.Equal(forwards, DecayRules.ShortestSeconds(width, FilterUse.Causal), OnePercent * forwards + HalfLastDigit);
        Assert.Equal(backwards, DecayRules.ShortestSeconds(width, FilterUse.TimeReversed), OnePercent * backwards + HalfLastDigit);
        Assert.StartsWith("narrow", DecayRules.TooNarrow(0.97 * backwards, width));
        Assert.Null(DecayRules.TooNarrow(1.03 * backwards, width));
    }

    [Theory]   // fact sheet 4.10: interrupted noise, n = 3 averages
    [InlineData(0.5, 0.71 * 125, 6, 0.03446, 0.02069)]
    [InlineData(1.0, 0.23 * 63, 12, 0.08529, 0.05120)]
    public void The_scatter_is_that_of_the_published_formula(double t60, double bandwidthHz, int places, double sigma20, double sigma30)
    {
        Assert.Equal(sigma20, DecayRules.ScatterSeconds(DecayQuantity.T20, t60, bandwidthHz, 3, places), TenthPercent * sigma20);
        Assert.Equal(sigma30, DecayRules.ScatterSeconds(DecayQuantity.T30, t60, bandwidthHz, 3, places), TenthPercent * sigma30);
    }

    [Fact]
    public void One_integrated_response_counts_as_ten_averages()
    {
        const double Width = 0.71 * 500;   // fact sheet 4.9: T = 0.4 s in the 500 Hz octave scatters by 9.5 % of T30 over T20, both counted as independent
        var ratio = Math.Sqrt(Math.Pow(DecayRules.ScatterSeconds(DecayQuantity.T20, 0.4, Width), 2) + Math.Pow(DecayRules.ScatterSeconds(DecayQuantity.T30, 0.4, Width), 2)) / 0.4;
        Assert.Equal(0.095, ratio, 0.001);
    }

    [Theory]   // fact sheet 4.3
    [InlineData(9.9, 9.9, null)]
    [InlineData(10.1, 0, "curved: T30 is 10 % longer")]
    [InlineData(-12.0, 0, "curved: T30 is 12 % shorter")]
    [InlineData(0.0, 10.6, "curved: the decay is 10.6 ‰ away from a straight line (10 ‰ is doubtful)")]
    [InlineData(double.NaN, double.NaN, null)]
    public void A_decay_is_called_curved_above_ten_percent_or_ten_permille(double percent, double permille, string? beginning)
    {
        foreach (var quantity in new[] { DecayQuantity.T20, DecayQuantity.T30 })
        {
            if (beginning is null) Assert.Null(DecayRules.Curved(quantity, percent, permille, double.PositiveInfinity));
            else Assert.StartsWith(beginning, DecayRules.Curved(quantity, percent, permille, double.PositiveInfinity));
        }
        Assert.Null(DecayRules.Curved(DecayQuantity.Edt, percent, permille, double.PositiveInfinity));    // the standard has no limit for them
        Assert.Null(DecayRules.Curved(DecayQuantity.Late, percent, permille, double.PositiveInfinity));
    }

    [Theory]
    [InlineData(39.96, 45, 1, "range 40.0 dB, 45 dB wanted: the noise is too close")]
    [InlineData(21.04, 21.3, 1, "range 21.0 dB, 21.3 dB wanted: the noise is too close")]
    [InlineData(-12, 20, 1, "range 0 dB, 20 dB wanted: the noise covers the whole decay")]
    [InlineData(36, 45, 0, "range 36.0 dB, 45 dB wanted: the record ends before the sound has decayed so far")]
    [InlineData(3, 20, 0, "range 3.0 dB, 20 dB wanted: the noise is too close, or the record ends too early")]
    [InlineData(45, 45, 1, null)]
    public void Too_little_range_says_what_is_missing_and_why(double rangeDb, double wantedDb, double noisePower, string? reason) =>
        Assert.Equal(reason, DecayRules.TooLittle(rangeDb, wantedDb, new(noisePower, 1, 100, 1, 1)));

    [Theory]   // B · T = 25: 65 % / √25 is one standard deviation
    [InlineData(DecayQuantity.T30, 25, 0, null)]
    [InlineData(DecayQuantity.T30, -27, 0, "curved: T30 is 27 % shorter")]
    [InlineData(DecayQuantity.T30, 0, 67, null)]
    [InlineData(DecayQuantity.T30, 0, 69, "curved: the decay is 69 ‰ away from a straight line (68 ‰ is doubtful in so narrow a band)")]
    [InlineData(DecayQuantity.T20, 0, 119, null)]
    [InlineData(DecayQuantity.T20, 0, 121, "curved: the decay is 121 ‰")]
    public void In_a_narrow_band_a_decay_is_called_curved_only_beyond_what_chance_does(DecayQuantity quantity, double percent, double permille, string? beginning)
    {
        const double Independent = 25;
        if (beginning is null) Assert.Null(DecayRules.Curved(quantity, percent, permille, Independent));
        else Assert.StartsWith(beginning, DecayRules.Curved(quantity, percent, permille, Independent));
    }
}
