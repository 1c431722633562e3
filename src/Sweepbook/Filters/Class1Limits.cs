// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>The class 1 limits of IEC 61260-1:2014 on the attenuation of a band filter.</summary>
/// <remarks>
/// Source: IEC 61260-1:2014, Table 1 (octaves) and the mapping to 1/b octaves of 5.10; straight lines over lg Ω between breakpoints
/// (fact sheet 1.4–1.6). The edition of 1995 had other numbers.
/// </remarks>
public static class Class1Limits
{
    private const double AtTheEdge = 1e-12;

    private static readonly double[] Steps = [0, 0.125, 0.25, 0.375, 0.5, 1, 2, 3, 4];
    private static readonly double[] Most = [0.4, 0.5, 0.7, 1.4, 5.3];
    private static readonly double[] Least = [1.2, 16.6, 40.5, 60, 70];

    /// <summary>The nine breakpoints on the upper side, as frequency over centre: 1 … the edge (fifth) … 4 steps away. The lower side has 1 over them.</summary>
    /// <param name="bandsPerOctave">Bands per octave, above zero.</param>
    /// <returns>Nine ratios, rising, owned by the caller.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Zero or negative.</exception>
    /// <remarks>Source: IEC 61260-1:2014, formulae of 5.10 (fact sheet 1.4).</remarks>
    public static double[] BreakpointRatios(int bandsPerOctave)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(bandsPerOctave, 1);
        var octave = FrequencyBand.OctaveRatio;
        var scale = (Math.Pow(octave, 0.5 / bandsPerOctave) - 1) / (Math.Sqrt(octave) - 1);
        return [.. Steps.Select(step => 1 + scale * (Math.Pow(octave, step) - 1))];
    }

    /// <summary>The least attenuation that class 1 allows at a frequency.</summary>
    /// <param name="band">The band.</param>
    /// <param name="frequencyHz">Frequency in hertz, in (0, ∞).</param>
    /// <returns>Decibels: −0.4 inside the band, from 1.2 at its edge to 70 far outside.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is outside its interval, or the band is no band.</exception>
    /// <remarks>At the edge itself the stricter side counts. Source: as for the class.</remarks>
    public static double LeastDb(FrequencyBand band, double frequencyHz) => LeastDb(RatiosOf(band), Ratio(band, frequencyHz));

    /// <summary>The most attenuation that class 1 allows at a frequency.</summary>
    /// <param name="band">The band.</param>
    /// <param name="frequencyHz">Frequency in hertz, in (0, ∞).</param>
    /// <returns>Decibels: from 0.4 at the centre to 5.3 at the edge, +∞ outside the band.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The frequency is outside its interval, or the band is no band.</exception>
    /// <remarks>At the edge itself the stricter side counts. Source: as for the class.</remarks>
    public static double MostDb(FrequencyBand band, double frequencyHz) => MostDb(RatiosOf(band), Ratio(band, frequencyHz));

    internal static double LeastDb(ReadOnlySpan<double> ratios, double ratio) => ratio < ratios[4] * (1 - AtTheEdge) ? -0.4 : Between(ratios[4..], Least, ratio);

    internal static double MostDb(ReadOnlySpan<double> ratios, double ratio) =>
        ratio > ratios[4] * (1 + AtTheEdge) ? double.PositiveInfinity : Between(ratios[..5], Most, ratio);

    private static double[] RatiosOf(FrequencyBand band) => band.BandsPerOctave >= 1
        ? BreakpointRatios(band.BandsPerOctave)
        : throw new ArgumentOutOfRangeException(nameof(band), band, $"It has {band.BandsPerOctave} bands per octave; must be in [1, ∞).");

    private static double Ratio(FrequencyBand band, double frequencyHz) => frequencyHz > 0 && double.IsFinite(frequencyHz)
        ? Math.Max(frequencyHz / band.CentreHz, band.CentreHz / frequencyHz)
        : throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, "Must be in (0, ∞) Hz.");

    private static double Between(ReadOnlySpan<double> ratios, double[] levels, double ratio)
    {
        var k = 1;
        while (k < ratios.Length && ratios[k] < ratio) k++;
        if (k == ratios.Length) return levels[^1];
        var place = Math.Clamp(Math.Log(ratio / ratios[k - 1]) / Math.Log(ratios[k] / ratios[k - 1]), 0, 1);
        return levels[k - 1] + place * (levels[k] - levels[k - 1]);
    }
}
