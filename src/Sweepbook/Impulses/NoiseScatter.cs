// SPDX-License-Identifier: MIT
namespace Sweepbook.Impulses;

/// <summary>How far noise power over a third of an octave, or another width, may stand above its expectation by chance.</summary>
/// <remarks>
/// Distributed like χ² over ν = 2 · bandwidth · duration, at least 2. The upper point that one look in a thousand exceeds, after E. B. Wilson and
/// M. M. Hilferty, "The Distribution of Chi-Square", Proc. Natl. Acad. Sci. 17 (1931) 684–688 (from memory; for ν = 2 it is ln 1000 within 3 %).
/// </remarks>
internal static class NoiseScatter
{
    private const double OneInThousand = 3.0902;   // of the normal distribution

    /// <param name="frequencyHz">Centre of the band.</param>
    /// <param name="seconds">How long the noise was looked at.</param>
    /// <param name="octaves">Width of the band.</param>
    internal static double HighestRatio(double frequencyHz, double seconds, double octaves = 1 / 3.0)
    {
        var freedom = Math.Max(2, 2 * (Math.Pow(2, octaves / 2) - Math.Pow(2, -octaves / 2)) * frequencyHz * seconds);
        return Math.Pow(1 - 2 / (9 * freedom) + OneInThousand * Math.Sqrt(2 / (9 * freedom)), 3);
    }
}
