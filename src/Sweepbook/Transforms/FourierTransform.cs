// SPDX-License-Identifier: MIT
using System.Buffers;
using System.Numerics;
using System.Runtime.InteropServices;

namespace Sweepbook.Transforms;

/// <summary>The discrete Fourier transform in double precision, for lengths 2^a · 3^b · 5^c. Forward is unscaled, inverse divides by the length.</summary>
/// <remarks>
/// One convention for the whole project: X[k] = Σ x[n] · e^(−j2πkn/N), so a delay makes the phase fall.
/// Accuracy: relative rms error at most 1e-15 · log2 N. What a length needs is computed once, kept, and shared by all threads.
/// A NaN or an infinity among the samples is not looked for: it spreads to every bin (and a NaN bin to every sample).
/// </remarks>
public static class FourierTransform
{
    /// <summary>Longest transform there is.</summary>
    public const int MaximumLength = 1 << 29;

    /// <summary>The smallest length of the form 2^a · 3^b · 5^c that is not below <paramref name="atLeast"/>.</summary>
    /// <param name="atLeast">Wanted length, in [1, 2^29].</param>
    /// <returns>A length that every method here accepts; it may be odd (an even one has half the work for real samples).</returns>
    /// <exception cref="ArgumentOutOfRangeException">Below 1 or above 2^29.</exception>
    /// <remarks>Padding with zeros to this length refines the grid of a spectrum, not its resolution. Own search; it needs no source.</remarks>
    public static int NextFastLength(int atLeast)
    {
        if (atLeast is < 1 or > MaximumLength)
            throw new ArgumentOutOfRangeException(nameof(atLeast), atLeast, $"Must be in [1, {MaximumLength}].");
        var best = (long)BitOperations.RoundUpToPowerOf2((uint)atLeast);
        for (long five = 1; five < best; five *= 5)
            for (var odd = five; odd < best; odd *= 3)
            {
                var length = odd;
                while (length < atLeast) length *= 2;
                best = Math.Min(best, length);
            }
        return (int)best;
    }

    /// <summary>The largest length of the form 2^a · 3^b · 5^c that is not above <paramref name="atMost"/>.</summary>
    internal static int PreviousFastLength(int atMost)
    {
        while (!IsFast(atMost)) atMost--;
        return atMost;
    }

    /// <summary>X[k] = Σ x[n] · e^(−j2πkn/N) for real samples, k = 0 … N/2, in half the work of a complex transform.</summary>
    /// <param name="samples">Real samples, at most <paramref name="length"/>; the rest is taken as zero.</param>
    /// <param name="length">Length N of the transform, 2^a · 3^b · 5^c.</param>
    /// <returns>N/2 + 1 bins (rounded down for an odd N), unscaled; bin k lies at k · sample rate / N. The first bin, and for an even N the last, is real.</returns>
    /// <exception cref="ArgumentException">The length is not a fast one (the message names the nearest), or there are more samples than that.</exception>
    /// <remarks>
    /// A sine between two bins leaks into all of them unless a window is applied first. Source: W. H. Press et al.,
    /// "Numerical Recipes", 3rd ed. 2007, section 12.3; passes after C. Van Loan, SIAM 1992, section 1.7.
    /// </remarks>
    public static Complex[] OfReal(ReadOnlySpan<double> samples, int length)
    {
        CheckFast(length, nameof(length));
        var bins = new Complex[length / 2 + 1];
        OfReal(samples, length, bins);
        return bins;
    }

    /// <summary><see cref="OfReal(ReadOnlySpan{double}, int)"/> into a span of the caller: allocates nothing once the length has been used.</summary>
    /// <param name="samples">Real samples, at most <paramref name="length"/>; the rest is taken as zero.</param>
    /// <param name="length">Length N of the transform, 2^a · 3^b · 5^c.</param>
    /// <param name="bins">Receives exactly N/2 + 1 bins, unscaled; must not overlap the samples.</param>
    /// <exception cref="ArgumentException">The length is not a fast one, a span has another length, or the spans overlap.</exception>
    /// <remarks>Misleads and stems as the other overload does.</remarks>
    public static void OfReal(ReadOnlySpan<double> samples, int length, Span<Complex> bins)
    {
        CheckFast(length, nameof(length));
        if (samples.Length > length)
            throw new ArgumentException($"Got {samples.Length} samples for a transform of {length}; must be in [0, {length}].", nameof(samples));
        CheckCount(bins.Length, length / 2 + 1, nameof(bins));
        if (MemoryMarshal.AsBytes(samples).Overlaps(MemoryMarshal.AsBytes(bins)))
            throw new ArgumentException("The bins overlap the samples; must be separate memory.", nameof(bins));
        if (length % 2 != 0)
        {
            OfRealOdd(samples, length, bins);
            return;
        }
        using var scratch = new Rented<Complex>(length / 2);
        if (samples.Length == length)
        {
            RealFourierPlan.Of(length).Forward(samples, bins, scratch.Span);
            return;
        }
        using var padded = new Rented<double>(length);
        samples.CopyTo(padded.Span);
        padded.Span[samples.Length..].Clear();
        RealFourierPlan.Of(length).Forward(padded.Span, bins, scratch.Span);
    }

    /// <summary>The inverse of <see cref="OfReal(ReadOnlySpan{double}, int)"/>: real samples from N/2 + 1 bins, divided by N.</summary>
    /// <param name="bins">N/2 + 1 bins (rounded down for an odd N).</param>
    /// <param name="length">Length N, 2^a · 3^b · 5^c.</param>
    /// <returns>N real samples that the caller owns.</returns>
    /// <exception cref="ArgumentException">The length is not a fast one, or the number of bins does not fit it.</exception>
    /// <remarks>
    /// The imaginary part of the first bin, and for an even N of the last, belongs to no real signal and is ignored: a
    /// phase shift applied to the bin at half the sample rate loses what it turned into the imaginary part. Source as for the forward transform.
    /// </remarks>
    public static double[] ToReal(ReadOnlySpan<Complex> bins, int length)
    {
        CheckFast(length, nameof(length));
        var samples = new double[length];
        ToReal(bins, samples);
        return samples;
    }

    /// <summary><see cref="ToReal(ReadOnlySpan{Complex}, int)"/> into a span of the caller: allocates nothing once the length has been used.</summary>
    /// <param name="bins">N/2 + 1 bins (rounded down for an odd N).</param>
    /// <param name="samples">Receives N samples; its length is N, 2^a · 3^b · 5^c; may lie over the bins.</param>
    /// <exception cref="ArgumentException">The length is not a fast one, or the number of bins does not fit it.</exception>
    /// <remarks>Misleads and stems as the other overload does.</remarks>
    public static void ToReal(ReadOnlySpan<Complex> bins, Span<double> samples)
    {
        var length = samples.Length;
        CheckFast(length, nameof(samples));
        CheckCount(bins.Length, length / 2 + 1, nameof(bins));
        if (length % 2 != 0)
        {
            ToRealOdd(bins, samples);
            return;
        }
        using Rented<Complex> tangled = new(length / 2), scratch = new(length / 2);
        RealFourierPlan.Of(length).Inverse(bins, samples, tangled.Span, scratch.Span);
    }

    /// <summary>X[k] = Σ x[n] · e^(−j2πkn/N) for complex numbers, k = 0 … N − 1.</summary>
    /// <param name="values">N numbers, N = 2^a · 3^b · 5^c.</param>
    /// <returns>N bins, unscaled, in natural order: bins above N/2 are the negative frequencies.</returns>
    /// <exception cref="ArgumentException">The length is not a fast one; the message names the nearest.</exception>
    /// <remarks>Leaks between bins as <see cref="OfReal(ReadOnlySpan{double}, int)"/> does. Source: C. Van Loan, SIAM 1992, section 1.7.</remarks>
    public static Complex[] Forward(ReadOnlySpan<Complex> values)
    {
        CheckFast(values.Length, nameof(values));
        var bins = new Complex[values.Length];
        Forward(values, bins);
        return bins;
    }

    /// <summary><see cref="Forward(ReadOnlySpan{Complex})"/> into a span of the caller: allocates nothing once the length has been used.</summary>
    /// <param name="values">N numbers, N = 2^a · 3^b · 5^c.</param>
    /// <param name="bins">Receives exactly N bins, unscaled, in natural order; must not overlap the numbers.</param>
    /// <exception cref="ArgumentException">The length is not a fast one, the spans differ in length, or they overlap.</exception>
    /// <remarks>Misleads and stems as the other overload does.</remarks>
    public static void Forward(ReadOnlySpan<Complex> values, Span<Complex> bins)
    {
        CheckFast(values.Length, nameof(values));
        CheckCount(bins.Length, values.Length, nameof(bins));
        if (values.Overlaps(bins)) throw new ArgumentException("The bins overlap the numbers; must be separate memory.", nameof(bins));
        using var scratch = new Rented<Complex>(values.Length);
        FourierPlan.Of(values.Length).Forward(values, bins, scratch.Span);
    }

    /// <summary>x[n] = (1/N) · Σ X[k] · e^(+j2πkn/N): the inverse of <see cref="Forward(ReadOnlySpan{Complex})"/>.</summary>
    /// <param name="bins">N bins in natural order, N = 2^a · 3^b · 5^c.</param>
    /// <returns>N complex numbers, divided by N.</returns>
    /// <exception cref="ArgumentException">The length is not a fast one; the message names the nearest.</exception>
    /// <remarks>The result of a spectrum without the symmetry of a real signal is complex; taking its real part hides that. Source as above.</remarks>
    public static Complex[] Inverse(ReadOnlySpan<Complex> bins)
    {
        CheckFast(bins.Length, nameof(bins));
        var values = new Complex[bins.Length];
        Inverse(bins, values);
        return values;
    }

    /// <summary><see cref="Inverse(ReadOnlySpan{Complex})"/> into a span of the caller: allocates nothing once the length has been used.</summary>
    /// <param name="bins">N bins in natural order, N = 2^a · 3^b · 5^c.</param>
    /// <param name="values">Receives exactly N numbers, divided by N; may lie over the bins.</param>
    /// <exception cref="ArgumentException">The length is not a fast one, or the spans differ in length.</exception>
    /// <remarks>Misleads and stems as the other overload does.</remarks>
    public static void Inverse(ReadOnlySpan<Complex> bins, Span<Complex> values)
    {
        CheckFast(bins.Length, nameof(bins));
        if (values.Length != bins.Length)
            throw new ArgumentException($"Got room for {values.Length} numbers; must be {bins.Length}.", nameof(values));
        using Rented<Complex> reversed = new(bins.Length), scratch = new(bins.Length);
        // A forward transform of the numbers in reversed order is the inverse one: bin k goes to place −k.
        var scale = 1.0 / bins.Length;
        reversed.Span[0] = scale * bins[0];
        for (var k = 1; k < bins.Length; k++) reversed.Span[bins.Length - k] = scale * bins[k];
        FourierPlan.Of(bins.Length).Forward(reversed.Span, values, scratch.Span);
    }

    private static void OfRealOdd(ReadOnlySpan<double> samples, int length, Span<Complex> bins)
    {
        using Rented<Complex> input = new(length), output = new(length), scratch = new(length);
        input.Span.Clear();
        for (var n = 0; n < samples.Length; n++) input.Span[n] = samples[n];
        FourierPlan.Of(length).Forward(input.Span, output.Span, scratch.Span);
        output.Span[..bins.Length].CopyTo(bins);
        bins[0] = bins[0].Real;
    }

    private static void ToRealOdd(ReadOnlySpan<Complex> bins, Span<double> samples)
    {
        var length = samples.Length;
        using Rented<Complex> input = new(length), output = new(length), scratch = new(length);
        var scale = 1.0 / length;
        input.Span[0] = scale * bins[0].Real;
        for (var k = 1; k < bins.Length; k++)
            (input.Span[k], input.Span[length - k]) = (scale * Complex.Conjugate(bins[k]), scale * bins[k]);
        FourierPlan.Of(length).Forward(input.Span, output.Span, scratch.Span);
        for (var n = 0; n < length; n++) samples[n] = output.Span[n].Real;
    }

    private static bool IsFast(int length)
    {
        foreach (var radix in (ReadOnlySpan<int>)[2, 3, 5])
            while (length % radix == 0) length /= radix;
        return length == 1;
    }

    private static void CheckFast(int length, string name)
    {
        if (length is < 1 or > MaximumLength)
            throw new ArgumentOutOfRangeException(name, length, $"A transform's length must be in [1, {MaximumLength}].");
        if (!IsFast(length))
            throw new ArgumentException($"A transform of {length} is not supported: its length must be 2^a · 3^b · 5^c. "
                + $"The nearest ones are {PreviousFastLength(length)} and {NextFastLength(length)}.", name);
    }

    private static void CheckCount(int count, int wanted, string name)
    {
        if (count != wanted) throw new ArgumentException($"Got {count} bins; must be {wanted}.", name);
    }

    /// <summary>Borrowed memory of exactly the wanted length, given back at the end of the block.</summary>
    private readonly ref struct Rented<T>(int length) : IDisposable
    {
        private readonly T[] _array = ArrayPool<T>.Shared.Rent(length);

        public Span<T> Span => _array.AsSpan(0, length);

        public void Dispose() => ArrayPool<T>.Shared.Return(_array);
    }
}
