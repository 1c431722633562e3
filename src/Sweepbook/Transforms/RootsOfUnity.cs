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

    /// <summary>The roots 0 … n/4 (rounded down) of <paramref name="n"/>, to the last bit those of <see cref="At"/>; of a multiple of 8 half are mirrored.</summary>
    public static Complex[] FirstQuarter(int n)
    {
        var roots = new Complex[n / 4 + 1];
        var computed = n % 8 == 0 ? n / 8 : n / 4;
        for (var k = 0; k <= computed; k++) roots[k] = At(k, n);
        for (var k = computed + 1; k < roots.Length; k++) roots[k] = new(-roots[n / 4 - k].Imaginary, -roots[n / 4 - k].Real);
        return roots;
    }

    /// <summary>All <paramref name="n"/> roots, to the last bit those of <see cref="At"/>; of a multiple of 4 three quarters are turned copies.</summary>
    public static Complex[] All(int n)
    {
        var roots = new Complex[n];
        if (n % 4 != 0)
        {
            for (var k = 0; k < n; k++) roots[k] = At(k, n);
            return roots;
        }
        var (first, quarter) = (FirstQuarter(n), n / 4);
        for (var k = 0; k < quarter; k++)
        {
            var (re, im) = (first[k].Real, first[k].Imaginary);
            (roots[k], roots[k + quarter], roots[k + 2 * quarter], roots[k + 3 * quarter]) = (new(re, im), new(im, -re), new(-re, -im), new(-im, re));
        }
        return roots;
    }
}
