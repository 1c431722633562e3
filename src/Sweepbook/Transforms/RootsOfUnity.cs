// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Transforms;

/// <summary>e^(−j2πk/n), right to the last bit or two: the angle is reduced with whole numbers, never by subtracting rounded ones.</summary>
internal static class RootsOfUnity
{
    /// <summary>e^(−j2π·<paramref name="k"/>/<paramref name="n"/>).</summary>
    /// <param name="k">Which root; any whole number from 0.</param>
    /// <param name="n">How many roots the circle has, 1 or more.</param>
    /// <returns>Exact for multiples of a quarter turn; otherwise each part within about one unit in the last place of 1.</returns>
    public static Complex At(long k, long n)
    {
        var quarters = Math.DivRem(4 * (k % n), n, out var rest);   // angle = quarters · 90° + 90° · rest / n
        var mirrored = 2 * rest > n;                                 // keep the angle within 45°, where sine and cosine are most exact
        var (sine, cosine) = double.SinCosPi((mirrored ? n - rest : rest) / (2.0 * n));
        var (c, s) = mirrored ? (sine, cosine) : (cosine, sine);
        return quarters switch
        {
            0 => new(c, -s),
            1 => new(-s, -c),
            2 => new(-c, s),
            _ => new(s, c),
        };
    }
}
