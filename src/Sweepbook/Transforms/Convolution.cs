// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Transforms;

/// <summary>Linear convolution, the whole of it: y[n] = Σ a[m] · b[n − m].</summary>
public static class Convolution
{
    /// <summary>Up to this length of the shorter sequence the plain sum is quicker than three transforms.</summary>
    private const int DirectUpTo = 32;

    /// <summary>Overlap-add: a block holds this many times the shorter sequence, at least <see cref="ShortestBlock"/>.</summary>
    private const int BlockPerKernel = 8;

    private const int ShortestBlock = 8192;   // its transform stays in the nearest caches

    /// <summary>Overlap-add pays from this many blocks on.</summary>
    private const int FewestBlocks = 4;

    /// <summary>y[n] = Σ a[m] · b[n − m] by Fourier transforms: the whole at once, a short one on a long one block by block (a very short one: by the plain sum).</summary>
    /// <param name="a">First sequence.</param>
    /// <param name="b">Second sequence.</param>
    /// <returns>a.Length + b.Length − 1 values in the product of the two units; empty when either is empty. Nothing is cut off or wrapped round.</returns>
    /// <exception cref="ArgumentException">The result would be longer than a transform can be.</exception>
    /// <remarks>
    /// The rounding error is about 1e-16 of the *largest* values, spread evenly over a block: a part of the result that lies 300 dB below
    /// its peak is noise; <see cref="Direct"/> keeps it. A NaN spreads over its block, which may be everything. Source: convolution theorem and
    /// overlap-add, A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, sections 8.7.2 and 8.7.3.
    /// </remarks>
    public static double[] Linear(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        if (Math.Min(a.Length, b.Length) <= DirectUpTo) return Direct(a, b);
        var count = ResultLength(a, b);
        var block = BlockFor(Math.Min(a.Length, b.Length));
        if (count >= FewestBlocks * block) return a.Length >= b.Length ? ByBlocks(a, b, (int)block) : ByBlocks(b, a, (int)block);
        var length = 2 * FourierTransform.NextFastLength((count + 1) / 2);   // even: real transforms in half the work
        var (spectrum, other) = (FourierTransform.OfReal(a, length), FourierTransform.OfReal(b, length));
        for (var k = 0; k < spectrum.Length; k++) spectrum[k] *= other[k];
        return FourierTransform.ToReal(spectrum, length)[..count];
    }

    /// <summary>Overlap-add: each piece of the longer sequence is convolved on its own, and the results, which overlap, are added.</summary>
    private static double[] ByBlocks(ReadOnlySpan<double> longer, ReadOnlySpan<double> shorter, int block)
    {
        var result = new double[longer.Length + shorter.Length - 1];
        var kernel = FourierTransform.OfReal(shorter, block);
        var (bins, samples, step) = (new Complex[kernel.Length], new double[block], block - shorter.Length + 1);
        for (var start = 0; start < longer.Length; start += step)
        {
            FourierTransform.OfReal(longer.Slice(start, Math.Min(step, longer.Length - start)), block, bins);
            for (var k = 0; k < bins.Length; k++) bins[k] *= kernel[k];
            FourierTransform.ToReal(bins, samples);
            var count = Math.Min(block, result.Length - start);
            for (var n = 0; n < count; n++) result[start + n] += samples[n];
        }
        return result;
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

    private static long BlockFor(int kernelLength)
    {
        var half = BlockPerKernel / 2 * (long)kernelLength;
        return half > FourierTransform.MaximumLength / 2 ? long.MaxValue / FewestBlocks : Math.Max(ShortestBlock, 2L * FourierTransform.NextFastLength((int)half));
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
