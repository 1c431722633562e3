// SPDX-License-Identifier: MIT
namespace Sweepbook.Impulses;

/// <summary>How much lower than the truth a noise estimate from a short silent block may well be, in decibels.</summary>
/// <remarks>
/// The estimate at a frequency averages ν / 2 independent bins of the block inside a third of an octave and is distributed like χ² over ν. Its lower
/// ten-percent point after E. B. Wilson and M. M. Hilferty, "The Distribution of Chi-Square", Proc. Natl. Acad. Sci. 17 (1931) 684–688 (from memory;
/// the test compares it with simulated blocks). Half a second of silence costs 10 dB at 10 Hz and 1.6 dB at 250 Hz: a longer lead-in buys bass.
/// </remarks>
internal static class NoiseMargin
{
    private const double TenPercentPoint = 1.2816;     // of the normal distribution
    private const double HannBandwidthBins = 1.5;      // F. J. Harris, Proc. IEEE 66 (1978), Table I
    private static readonly double ThirdOctaveRatio = Math.Pow(2, 1 / 6.0) - Math.Pow(2, -1 / 6.0);

    /// <param name="frequencyHz">Frequency in hertz.</param>
    /// <param name="silenceSeconds">Length of the silent block, of all repeats together.</param>
    internal static double DecibelsAt(double frequencyHz, double silenceSeconds)
    {
        var freedom = FreedomAt(frequencyHz, silenceSeconds);
        return -30 * Math.Log10(1 - 2 / (9 * freedom) - TenPercentPoint * Math.Sqrt(2 / (9 * freedom)));
    }

    /// <summary>ν: two for each independent bin of the block inside a third of an octave.</summary>
    internal static double FreedomAt(double frequencyHz, double silenceSeconds) =>
        Math.Max(2, 2 * ThirdOctaveRatio * frequencyHz * silenceSeconds / HannBandwidthBins);
}
