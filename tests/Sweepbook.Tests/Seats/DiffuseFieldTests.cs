// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Seats;
using Xunit;

namespace Sweepbook.Tests.Seats;

/// <summary>Fact sheet 15.1 to 15.3: the mean square of a diffuse field is distributed exponentially, that of the mean of N places like a gamma variable of order N.</summary>
public sealed class DiffuseFieldTests
{
    private const int Bins = 100_000;
    private const double HalfLastPrintedDigitDb = 0.0006;   // three decimals are printed, and the sheet rounds
    private const double Sigmas = 4;                        // one seeded draw; 1 in 16 000 draws would miss
    private static readonly double PerNeper = 10 / Math.Log(10);

    [Theory]   // 15.1 and 15.3
    [InlineData(1, 5.570, -2.507)]
    [InlineData(2, 3.488, -1.174)]
    [InlineData(4, 2.314, -0.565)]
    [InlineData(8, 1.585, -0.277)]
    [InlineData(16, 1.103, -0.137)]
    public void The_power_mean_of_independent_places_scatters_and_is_biased_as_published(int places, double scatterDb, double biasDb)
    {
        var scatter = PerNeper * Math.Sqrt(Trigamma(places));
        var bias = PerNeper * (Digamma(places) - Math.Log(places));
        Assert.InRange(scatter - scatterDb, -HalfLastPrintedDigitDb, HalfLastPrintedDigitDb);
        Assert.InRange(bias - biasDb, -HalfLastPrintedDigitDb, HalfLastPrintedDigitDb);

        var found = LevelStatistics.Of(Field(places), Enumerable.Repeat(1.0, places).ToArray());
        var mean = found.PowerMeanDb.Average();
        var deviation = Math.Sqrt(found.PowerMeanDb.Average(level => (level - mean) * (level - mean)));
        Assert.Equal(bias, mean, Sigmas * scatter / Math.Sqrt(Bins));
        Assert.Equal(scatter, deviation, Sigmas * scatter * Math.Sqrt(1.1 / Bins));   // the level's kurtosis is 5.4 for one place and nearer 3 for more: σ(s)/s ≤ √((5.4 − 1)/4N)
    }

    [Theory]   // 15.1: the level mean lies 2.507 dB below, and the variance over N places divided by N is (N − 1)/N of 5.570²
    [InlineData(2)]
    [InlineData(9)]
    public void The_level_mean_and_the_variance_over_places_are_those_of_one_place(int places)
    {
        var found = LevelStatistics.Of(Field(places), Enumerable.Repeat(1.0, places).ToArray());
        Assert.Equal(PerNeper * Digamma(1), found.LevelMeanDb.Average(), Sigmas * 5.570 / Math.Sqrt((double)Bins * places));
        var expected = PerNeper * PerNeper * Trigamma(1) * (places - 1) / places;
        Assert.Equal(1, found.VarianceDb2.Average() / expected, Sigmas * 2.1 / Math.Sqrt((double)Bins * (places - 1)));   // √(5.4 − 1) = 2.1 for the variance of one place
    }

    [Theory]   // 15.2: levels re the mean square below which a share of the places lies
    [InlineData(0.05, -12.90)]
    [InlineData(0.10, -9.77)]
    [InlineData(0.50, -1.59)]
    [InlineData(0.95, 4.77)]
    public void Percentiles_of_the_level_agree_with_the_fact_sheet(double share, double levelDb)
    {
        const double HalfLastPrintedDigit = 0.005;
        Assert.InRange(Decibels.FromPower(-Math.Log(1 - share)) - levelDb, -HalfLastPrintedDigit, HalfLastPrintedDigit);
        var sorted = LevelStatistics.Of(Field(1), [1]).HighestDb.Order().ToArray();
        var density = (1 - share) * -Math.Log(1 - share) / PerNeper;   // of the level, per decibel
        Assert.Equal(levelDb, sorted[(int)(share * Bins)], HalfLastPrintedDigit + Sigmas * Math.Sqrt(share * (1 - share) / Bins) / density);
    }

    /// <summary>Mean squares of unit mean: half the sum of two squared Gaussian values, which is exponential.</summary>
    private static double[][] Field(int places) => [.. Enumerable.Range(0, places).Select(place =>
    {
        var (real, imaginary) = (Signals.Noise(Bins, 1000 + (ulong)place), Signals.Noise(Bins, 2000 + (ulong)place));
        return real.Zip(imaginary, (a, b) => (a * a + b * b) / 2).ToArray();
    })];

    private static double Digamma(int n) => -0.57721566490153286 + Enumerable.Range(1, n - 1).Sum(k => 1.0 / k);

    private static double Trigamma(int n) => Math.PI * Math.PI / 6 - Enumerable.Range(1, n - 1).Sum(k => 1.0 / ((double)k * k));
}
