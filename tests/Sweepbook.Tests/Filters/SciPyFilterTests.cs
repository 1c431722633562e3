// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Text.Json;
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Sweepbook.Tests.HouseRules;
using Xunit;

namespace Sweepbook.Tests.Filters;

/// <summary>Numbers made by SciPy; tests/reference/ORIGIN-filters.md says how.</summary>
public sealed class SciPyFilterTests
{
    /// <summary>Sections of SciPy come from polynomials, whose roots near z = 1 lose digits: 1e-16 over the square of the corner's angle, 0.01 at 80 Hz.</summary>
    private const double Polynomials = 1e-9;

    /// <summary>The lowest band, 25 Hz: angle 0.003, three pairs close together.</summary>
    private const double LowestBand = 1e-7;

    private static readonly JsonElement Golden = JsonDocument.Parse(File.ReadAllText(Path.Combine(Repository.Root, "tests", "reference", "filters.json"))).RootElement;

    public static TheoryData<string, FilterCascade> Cascades => new()
    {
        { "butterworth_low_5_1000", FilterCascade.ButterworthLowPass(1000, 5, 48000) },
        { "butterworth_high_4_80", FilterCascade.ButterworthHighPass(80, 4, 48000) },
        { "butterworth_band_3_800_1250", FilterCascade.ButterworthBandPass(800, 1250, 3, 48000) },
        { "butterworth_low_16_20000", FilterCascade.ButterworthLowPass(20000, 16, 48000) },
        { "butterworth_high_9_15000", FilterCascade.ButterworthHighPass(15000, 9, 48000) },
        { "butterworth_band_8_16000_21500", FilterCascade.ButterworthBandPass(16000, 21500, 8, 48000) },
    };

    [Theory, MemberData(nameof(Cascades))]
    public void Butterworth_filters_agree(string name, FilterCascade cascade)
    {
        var table = Golden.GetProperty(name);
        var response = table.GetProperty("response");
        double[] hz = Numbers(response, "hz"), re = Numbers(response, "re"), im = Numbers(response, "im");
        Assert.Equal(8, hz.Length);
        for (var k = 0; k < hz.Length; k++) Assert.InRange((cascade.ResponseAt(hz[k]) - new Complex(re[k], im[k])).Magnitude, 0, Polynomials);
        Close(Numbers(table, "causal"), cascade.Causal(Pattern()), Polynomials);
        Close(Numbers(table, "zero_phase"), cascade.ZeroPhase(Pattern()), Polynomials);
    }

    [Theory, InlineData(-16), InlineData(-10), InlineData(0), InlineData(10)]
    public void Third_octave_bands_agree_in_every_use(int index)
    {
        var table = Golden.GetProperty("third_octaves").GetProperty($"{index}");
        var band = BandFilter.Of(new FrequencyBand(index, 3), 48000);
        var tolerance = index < -12 ? LowestBand : Polynomials;
        Close(Numbers(table, "causal"), band.Causal(Pattern()), tolerance);
        Close(Numbers(table, "time_reversed"), band.TimeReversed(Pattern()), tolerance);
        Close(Numbers(table, "zero_phase"), band.ZeroPhase(Pattern()), tolerance);
    }

    /// <summary>Close to half the rate the limits ask for fourth order in one pass and third in two; the attenuations are taken to 1e-9 dB of up to 75 dB.</summary>
    [Theory, InlineData(0), InlineData(1), InlineData(2), InlineData(3), InlineData(4), InlineData(5)]
    public void Bands_near_half_the_rate_agree_in_every_use(int row)
    {
        var table = Golden.GetProperty("near_half_the_rate")[row];
        int Number(string key) => table.GetProperty(key).GetInt32();
        var band = BandFilter.Of(new FrequencyBand(Number("index"), Number("bands_per_octave")), Number("rate_hz"));
        Assert.Equal(4, band.ToCascade().Sections.Count);
        double[] hz = Numbers(table, "hz"), onceDb = Numbers(table, "once_db"), twiceDb = Numbers(table, "twice_db");
        for (var k = 0; k < hz.Length; k++)
        {
            Assert.Equal(onceDb[k], band.AttenuationDb(hz[k], FilterUse.Causal), Polynomials);
            Assert.Equal(onceDb[k], band.AttenuationDb(hz[k], FilterUse.TimeReversed), Polynomials);
            Assert.Equal(twiceDb[k], band.AttenuationDb(hz[k], FilterUse.ZeroPhase), Polynomials);
        }
        Close(Numbers(table, "causal"), band.Causal(Pattern()), Polynomials);
        Close(Numbers(table, "time_reversed"), band.TimeReversed(Pattern()), Polynomials);
        Close(Numbers(table, "zero_phase"), band.ZeroPhase(Pattern()), Polynomials);
    }

    private static double[] Pattern() => [.. Enumerable.Range(0, 4000).Select(n => (long)n * n * 3 % 257 / 256.0 - 0.5)];

    private static double[] Numbers(JsonElement table, string key) => [.. table.GetProperty(key).EnumerateArray().Select(number => number.GetDouble())];

    private static void Close(double[] expected, double[] actual, double tolerance)
    {
        Assert.Equal(4000, actual.Length);
        Assert.Equal(80, expected.Length);
        for (var k = 0; k < 80; k++) Assert.Equal(expected[k], actual[50 * k], tolerance);
    }
}
