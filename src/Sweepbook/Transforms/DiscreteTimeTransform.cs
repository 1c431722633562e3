// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;

namespace Sweepbook.Transforms;

/// <summary>The spectrum of a finite sequence at any frequencies, not only at the bins of a transform.</summary>
public static class DiscreteTimeTransform
{
    /// <summary>Samples per block: the rotations of one block are computed once per frequency and stay in the nearest cache.</summary>
    private const int Block = 256;

    /// <summary>The rotations of a block are products of a coarse and a fine one, this many apart.</summary>
    private const int Fine = 16;

    /// <summary>X(f) = Σ x[n] · e^(−j2πf(n − origin)/fs), at each of the given frequencies, by the sum itself.</summary>
    /// <param name="samples">Samples x.</param>
    /// <param name="originSamples">Where time zero lies, in samples from the first one; may be a fraction, negative, or beyond the end. Within ± 2^31.</param>
    /// <param name="sampleRateHz">Sample rate fs in hertz, above zero.</param>
    /// <param name="frequenciesHz">Frequencies in hertz, finite, in any order; those above half the sample rate read the spectrum's periodic continuation.</param>
    /// <returns>One value per frequency, unscaled, in the unit of the samples.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The sample rate or origin is out of range.</exception>
    /// <exception cref="ArgumentException">A frequency is NaN or infinite.</exception>
    /// <remarks>
    /// A fine grid shows the same resolution as a coarse one: 1 / the duration. Error at most 1e-12 · Σ|x|. A NaN sample makes every value NaN.
    /// Takes samples · frequencies steps, some 10 ms for 60 000 by 1000. Source: the definition of the discrete-time Fourier transform,
    /// A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, eq. 2.127.
    /// </remarks>
    public static Complex[] At(ReadOnlySpan<double> samples, double originSamples, int sampleRateHz, ReadOnlySpan<double> frequenciesHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 1);
        if (!(Math.Abs(originSamples) <= 1L << 31))
            throw new ArgumentOutOfRangeException(nameof(originSamples), originSamples, "Must be in [−2^31, 2^31] samples.");
        for (var k = 0; k < frequenciesHz.Length; k++)
            if (!double.IsFinite(frequenciesHz[k]))
                throw new ArgumentException($"Frequency {k} is {frequenciesHz[k]}; must be finite.", nameof(frequenciesHz));

        var values = new Complex[frequenciesHz.Length];
        Span<double> real = stackalloc double[Block], imaginary = stackalloc double[Block];
        for (var k = 0; k < values.Length; k++)
        {
            var turn = new TurnsPerSample(frequenciesHz[k], sampleRateHz);
            FillRotations(turn, real, imaginary);
            values[k] = Sum(samples, originSamples, turn, real, imaginary);
        }
        return values;
    }

    private static void FillRotations(TurnsPerSample turn, Span<double> real, Span<double> imaginary)
    {
        Span<Complex> fine = stackalloc Complex[Fine];
        for (var n = 0; n < Fine; n++) fine[n] = turn.RotationAfter(n);
        for (var start = 0; start < Block; start += Fine)
        {
            var coarse = turn.RotationAfter(start);
            for (var n = 0; n < Fine; n++)
            {
                real[start + n] = coarse.Real * fine[n].Real - coarse.Imaginary * fine[n].Imaginary;
                imaginary[start + n] = coarse.Real * fine[n].Imaginary + coarse.Imaginary * fine[n].Real;
            }
        }
    }

    private static Complex Sum(ReadOnlySpan<double> samples, double originSamples, TurnsPerSample turn, ReadOnlySpan<double> real, ReadOnlySpan<double> imaginary)
    {
        var (sum, start) = (Complex.Zero, 0);
        Span<Complex> four = stackalloc Complex[4];
        for (; start + 4 * Block <= samples.Length; start += 4 * Block)
        {
            FourBlocks(samples.Slice(start, 4 * Block), real, imaginary, four);
            for (var b = 0; b < 4; b++) sum += turn.RotationAfter(start + b * Block - originSamples) * four[b];
        }
        for (; start < samples.Length; start += Block)
        {
            var (re, im) = (0.0, 0.0);
            var block = samples.Slice(start, Math.Min(Block, samples.Length - start));
            for (var n = 0; n < block.Length; n++) (re, im) = (re + block[n] * real[n], im + block[n] * imaginary[n]);
            sum += turn.RotationAfter(start - originSamples) * new Complex(re, im);
        }
        return sum;
    }

    /// <summary>The sums of four neighbouring blocks against the same rotations, which are then loaded once for all four.</summary>
    private static void FourBlocks(ReadOnlySpan<double> samples, ReadOnlySpan<double> real, ReadOnlySpan<double> imaginary, Span<Complex> sums)
    {
        var cosines = MemoryMarshal.Cast<double, Vector<double>>(real[..Block]);
        var sines = MemoryMarshal.Cast<double, Vector<double>>(imaginary[..Block]);
        var x0 = MemoryMarshal.Cast<double, Vector<double>>(samples[..Block]);
        var x1 = MemoryMarshal.Cast<double, Vector<double>>(samples.Slice(Block, Block));
        var x2 = MemoryMarshal.Cast<double, Vector<double>>(samples.Slice(2 * Block, Block));
        var x3 = MemoryMarshal.Cast<double, Vector<double>>(samples.Slice(3 * Block, Block));
        Vector<double> re0 = default, re1 = default, re2 = default, re3 = default, im0 = default, im1 = default, im2 = default, im3 = default;
        for (var n = 0; n < cosines.Length && n < sines.Length && n < x0.Length && n < x1.Length && n < x2.Length && n < x3.Length; n++)
        {
            var (cosine, sine) = (cosines[n], sines[n]);
            re0 = Vector.MultiplyAddEstimate(x0[n], cosine, re0);
            im0 = Vector.MultiplyAddEstimate(x0[n], sine, im0);
            re1 = Vector.MultiplyAddEstimate(x1[n], cosine, re1);
            im1 = Vector.MultiplyAddEstimate(x1[n], sine, im1);
            re2 = Vector.MultiplyAddEstimate(x2[n], cosine, re2);
            im2 = Vector.MultiplyAddEstimate(x2[n], sine, im2);
            re3 = Vector.MultiplyAddEstimate(x3[n], cosine, re3);
            im3 = Vector.MultiplyAddEstimate(x3[n], sine, im3);
        }
        sums[0] = new(Vector.Sum(re0), Vector.Sum(im0));
        sums[1] = new(Vector.Sum(re1), Vector.Sum(im1));
        sums[2] = new(Vector.Sum(re2), Vector.Sum(im2));
        sums[3] = new(Vector.Sum(re3), Vector.Sum(im3));
    }

    /// <summary>f/fs as a sum of two doubles, so that the angle after millions of samples is still right to 1e-15 of a turn.</summary>
    private readonly struct TurnsPerSample
    {
        private readonly double _high, _low;

        public TurnsPerSample(double frequencyHz, double sampleRateHz)
        {
            _high = frequencyHz / sampleRateHz;
            _low = Math.FusedMultiplyAdd(-_high, sampleRateHz, frequencyHz) / sampleRateHz;
        }

        /// <summary>e^(−j2πf·t/fs) for a time of t samples.</summary>
        public Complex RotationAfter(double samples)
        {
            var turns = _high * samples;
            var rest = Math.FusedMultiplyAdd(_high, samples, -turns) + _low * samples;
            var (sine, cosine) = double.SinCosPi(2 * (turns - Math.Round(turns) + rest));
            return new(cosine, -sine);
        }
    }
}
