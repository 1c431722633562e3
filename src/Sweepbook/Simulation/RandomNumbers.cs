// SPDX-License-Identifier: MIT
using System.Text;

namespace Sweepbook.Simulation;

/// <summary>SplitMix64: a counter in steps of the golden ratio, mixed; the same seed gives the same numbers on every machine.</summary>
/// <remarks>
/// Not for secrets, and its period is 2⁶⁴. Gaussian numbers come from the Box–Muller transform, so that they may differ in the last bit
/// between machines whose sine and logarithm differ.
/// Source: G. L. Steele, D. Lea, C. H. Flood, "Fast Splittable Pseudorandom Number Generators", OOPSLA 2014; constants of the public
/// reference code of S. Vigna, checked by its published outputs for seeds 0 and 1234567.
/// </remarks>
internal sealed class RandomNumbers(ulong seed)
{
    private ulong _state = seed;
    private double _spare = double.NaN;

    /// <summary>A generator of its own for a name: seed and name are mixed, so that one more take does not change the others.</summary>
    public static RandomNumbers For(long seed, string name)
    {
        var hash = 0xCBF29CE484222325UL;   // FNV-1a over the UTF-8 bytes
        foreach (var octet in Encoding.UTF8.GetBytes(name)) hash = (hash ^ octet) * 0x100000001B3UL;
        return new(new RandomNumbers(unchecked((ulong)seed)).NextBits() ^ hash);
    }

    /// <summary>64 random bits.</summary>
    public ulong NextBits()
    {
        _state += 0x9E3779B97F4A7C15UL;
        var bits = _state;
        bits = (bits ^ (bits >> 30)) * 0xBF58476D1CE4E5B9UL;
        bits = (bits ^ (bits >> 27)) * 0x94D049BB133111EBUL;
        return bits ^ (bits >> 31);
    }

    /// <summary>Uniform in [0, 1), 53 bits.</summary>
    public double NextUniform() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>A whole number from the first to the last, both included.</summary>
    public int NextWhole(int first, int last) => first + (int)(NextUniform() * (last - first + 1.0));

    /// <summary>Gaussian with mean 0 and standard deviation 1.</summary>
    public double NextGaussian()
    {
        if (!double.IsNaN(_spare))
        {
            var kept = _spare;
            _spare = double.NaN;
            return kept;
        }
        var radius = Math.Sqrt(-2 * Math.Log(1 - NextUniform()));
        var (sine, cosine) = Math.SinCos(2 * Math.PI * NextUniform());
        _spare = radius * sine;
        return radius * cosine;
    }
}
