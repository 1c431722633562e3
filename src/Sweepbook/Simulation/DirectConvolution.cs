// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;

namespace Sweepbook.Simulation;

/// <summary>Convolution as the plain sum it is, several outputs at a time: the simulation may not use the transform it is there to test.</summary>
internal static class DirectConvolution
{
    private const int VectorsPerBlock = 8;

    /// <summary>y[n] = Σ taps[k] · signal[n + origin − k], as long as the signal: tap <paramref name="originSamples"/> is time zero.</summary>
    /// <remarks>
    /// Every output is summed in the order of rising signal index by separate products and sums, so that the result does not depend on the
    /// width of the machine's vectors. What would fall outside the signal's length is dropped.
    /// </remarks>
    public static double[] Centred(ReadOnlySpan<double> signal, ReadOnlySpan<double> taps, int originSamples)
    {
        if ((uint)originSamples >= (uint)taps.Length)
            throw new ArgumentOutOfRangeException(nameof(originSamples), originSamples, $"Must be in [0, {taps.Length}).");
        var result = new double[signal.Length];
        var (first, last) = (signal.IndexOfAnyExcept(0.0), signal.LastIndexOfAnyExcept(0.0));
        if (first < 0) return result;

        var reversed = taps.ToArray();
        Array.Reverse(reversed);
        var width = Vector<double>.Count;
        var block = VectorsPerBlock * width;
        var padded = new double[signal.Length + taps.Length - 1 + block];
        signal.CopyTo(padded.AsSpan(taps.Length - 1 - originSamples));
        var from = Math.Max(0, first - originSamples);
        var to = Math.Min(signal.Length, last + taps.Length - originSamples);
        var sums = new double[block];
        for (var n = from; n < to; n += block)
        {
            Block(padded, n, reversed, sums);
            sums.AsSpan(0, Math.Min(block, to - n)).CopyTo(result.AsSpan(n));
        }
        return result;
    }

    private static void Block(double[] padded, int start, double[] reversed, double[] sums)
    {
        var width = (nuint)Vector<double>.Count;
        ref var at = ref MemoryMarshal.GetArrayDataReference(padded);
        Vector<double> a = default, b = default, c = default, d = default, e = default, f = default, g = default, h = default;
        for (var m = 0; m < reversed.Length; m++)
        {
            var tap = new Vector<double>(reversed[m]);
            var offset = (nuint)(start + m);
            a += tap * Vector.LoadUnsafe(ref at, offset);
            b += tap * Vector.LoadUnsafe(ref at, offset + width);
            c += tap * Vector.LoadUnsafe(ref at, offset + 2 * width);
            d += tap * Vector.LoadUnsafe(ref at, offset + 3 * width);
            e += tap * Vector.LoadUnsafe(ref at, offset + 4 * width);
            f += tap * Vector.LoadUnsafe(ref at, offset + 5 * width);
            g += tap * Vector.LoadUnsafe(ref at, offset + 6 * width);
            h += tap * Vector.LoadUnsafe(ref at, offset + 7 * width);
        }
        var step = (int)width;
        a.CopyTo(sums);
        b.CopyTo(sums, step);
        c.CopyTo(sums, 2 * step);
        d.CopyTo(sums, 3 * step);
        e.CopyTo(sums, 4 * step);
        f.CopyTo(sums, 5 * step);
        g.CopyTo(sums, 6 * step);
        h.CopyTo(sums, 7 * step);
    }

    /// <summary>H(f) = Σ taps[k] · e^(−j2πf (k − origin) / rate): the response of a set of taps, by the sum itself.</summary>
    public static Complex ResponseAt(ReadOnlySpan<double> taps, double originSamples, int sampleRateHz, double frequencyHz)
    {
        var (real, imaginary) = (0.0, 0.0);
        for (var k = 0; k < taps.Length; k++)
        {
            var (sine, cosine) = Math.SinCos(-2 * Math.PI * frequencyHz * (k - originSamples) / sampleRateHz);
            real += taps[k] * cosine;
            imaginary += taps[k] * sine;
        }
        return new(real, imaginary);
    }
}
