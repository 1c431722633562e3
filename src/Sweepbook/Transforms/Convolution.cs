// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Transforms;

/// <summary>Linear convolution, the whole of it: y[n] = Σ a[m] · b[n − m].</summary>
public static class Convolution
{
    /// <summary>Up to this length of the shorter sequence the plain sum is quicker than three transforms.</summary>
    private const int DirectUpTo = 32;

    /// <summary>y[n] = Σ a[m] · b[n − m] by Fourier transforms (short sequences: by the plain sum).</summary>
    /// <param name="a">First sequence.</param>
    /// <param name="b">Second sequence.</param>
    /// <returns>a.Length + b.Length − 1 values in the product of the two units; empty when either is empty. Nothing is cut off or wrapped round.</returns>
    /// <exception cref="ArgumentException">The result would be longer than a transform can be.</exception>
    /// <remarks>
    /// The rounding error is about 1e-16 of the *largest* values, spread evenly: a part of the result that lies 300 dB below
    /// its peak is noise; <see cref="Direct"/> keeps it. A NaN spreads over everything. Source: convolution theorem,
    /// A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, section 8.7.
    /// </remarks>
    public static double[] Linear(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        if (Math.Min(a.Length, b.Length) <= DirectUpTo) return Direct(a, b);
        var count = ResultLength(a, b);
        var length = 2 * FourierTransform.NextFastLength((count + 1) / 2);   // even: real transforms in half the work
        var (spectrum, other) = (FourierTransform.OfReal(a, length), FourierTransform.OfReal(b, length));
        for (var k = 0; k < spectrum.Length; k++) spectrum[k] *= other[k];
        return FourierTransform.ToReal(spectrum, length)[..count];
    }

    /// <summary>y[n] = Σ a[m] · b[n − m], summed as written: slow and obvious, for short sequences and for tests.</summary>
    /// <param name="a">First sequence.</param>
    /// <param name="b">Second sequence.</param>
    /// <returns>a.Length + b.Length − 1 values in the product of the two units; empty when either is empty.</returns>
    /// <exception cref="ArgumentException">The result would be longer than a transform can be.</exception>
    /// <remarks>Takes a.Length · b.Length steps: half a minute for two sequences of one second. It is the definition and needs no source.</remarks>
    public static double[] Direct(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        var result = new double[ResultLength(a, b)];
        for (var m = 0; m < a.Length; m++)
            for (var n = 0; n < b.Length; n++)
                result[m + n] += a[m] * b[n];
        return result;
    }

    private static int ResultLength(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        if (a.IsEmpty || b.IsEmpty) return 0;
        var count = (long)a.Length + b.Length - 1;
        return count <= FourierTransform.MaximumLength
            ? (int)count
            : throw new ArgumentException($"Sequences of {a.Length} and {b.Length} give {count} values; at most {FourierTransform.MaximumLength} are supported.", nameof(b));
    }
}
