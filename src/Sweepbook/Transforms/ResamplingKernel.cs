// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;

namespace Sweepbook.Transforms;

/// <summary>
/// A low-pass filter that reads a signal at any instant: h(t) = 2c · sinc(2ct) · Kaiser(t), tabulated at equal fractions of a sample.
/// Between the tabulated fractions the result is a cubic through four of them.
/// </summary>
/// <remarks>
/// The cubic through values of a function band-limited to half the rate and P fractions apart errs by at most 0.46 / P^4 of its peak
/// (Lagrange remainder, 9/16 · h^4 · |h''''| / 24 with |h''''| ≤ π^4 / 5): 1e-10, −200 dB, for 256 fractions.
/// </remarks>
internal sealed class ResamplingKernel
{
    private const double AttenuationDb = 150;   // 10 dB more than promised
    private const double Beta = 0.1102 * (AttenuationDb - 8.7);   // Kaiser 1974, for more than 50 dB
    private const int Fractions = 256;
    private const int LargestExactTable = 1 << 21;

    /// <summary>Half of the filter, in samples of the lower rate: (A − 7.95) / (2.285 · 2π · transition) taps in all, Kaiser 1974.</summary>
    private static readonly double HalfWidth =
        Math.Ceiling((AttenuationDb - 7.95) / (2.285 * 2 * Math.PI * (Resampling.StopBandRatio - Resampling.PassBandRatio)) / 2);

    private readonly int _fractions;   // rows per sample
    private readonly int _half;        // taps on either side
    private readonly double[] _rows;   // row i, from fraction −1 / _fractions on, 2 · _half taps each

    /// <param name="bandRatio">The lower rate over the rate of the samples, in (0, 1].</param>
    /// <param name="parts">Fractions that will be asked for exactly, where they are few; 0 for any.</param>
    public ResamplingKernel(double bandRatio, int parts = 0)
    {
        _half = (int)Math.Ceiling(HalfWidth / bandRatio);
        var isExact = parts > 0 && (long)parts * 2 * _half <= LargestExactTable;
        _fractions = isExact ? parts : Math.Max(8, (int)Math.Ceiling(Fractions * bandRatio));
        _rows = new double[(_fractions + 3) * 2 * _half];
        var (cutoff, width) = ((Resampling.PassBandRatio + Resampling.StopBandRatio) / 2 * bandRatio, HalfWidth / bandRatio);
        for (var i = 0; i < _fractions + 3; i++)
            for (var j = 0; j < 2 * _half; j++)
                _rows[i * 2 * _half + j] = Tap((i - 1) / (double)_fractions + _half - 1 - j, cutoff, width);
    }

    /// <summary>The signal at <paramref name="whole"/> + <paramref name="rest"/> / <paramref name="parts"/> samples.</summary>
    public double At(ReadOnlySpan<double> samples, int whole, long rest, int parts)
    {
        if (parts != _fractions) return Between(samples, whole, rest / (double)parts);
        var (first, last) = Reach(samples, whole);
        return Sum(samples[first..last], Row((int)rest, first - (whole - _half + 1), last - first));
    }

    /// <summary>The signal at <paramref name="whole"/> + <paramref name="fraction"/> samples, the fraction in [0, 1].</summary>
    public double Between(ReadOnlySpan<double> samples, int whole, double fraction)
    {
        var i = Math.Min((int)(fraction * _fractions), _fractions - 1);
        var t = fraction * _fractions - i;
        var (first, last) = Reach(samples, whole);
        var (from, count) = (first - (whole - _half + 1), last - first);
        var reached = samples[first..last];
        return Sum(reached, Row(i - 1, from, count)) * (-t * (t - 1) * (t - 2) / 6)
             + Sum(reached, Row(i, from, count)) * ((t + 1) * (t - 1) * (t - 2) / 2)
             + Sum(reached, Row(i + 1, from, count)) * (-(t + 1) * t * (t - 2) / 2)
             + Sum(reached, Row(i + 2, from, count)) * ((t + 1) * t * (t - 1) / 6);
    }

    private (int First, int Last) Reach(ReadOnlySpan<double> samples, int whole)
    {
        var first = Math.Clamp(whole - _half + 1, 0, samples.Length);
        return (first, Math.Clamp(whole + _half + 1, first, samples.Length));
    }

    private ReadOnlySpan<double> Row(int fraction, int from, int count) => _rows.AsSpan((fraction + 1) * 2 * _half + from, count);

    private static double Sum(ReadOnlySpan<double> samples, ReadOnlySpan<double> taps)
    {
        var x = MemoryMarshal.Cast<double, Vector<double>>(samples);
        var h = MemoryMarshal.Cast<double, Vector<double>>(taps);
        Vector<double> a = default, b = default, c = default, d = default;
        var k = 0;
        for (; k + 3 < x.Length && k + 3 < h.Length; k += 4)
        {
            a = Vector.MultiplyAddEstimate(x[k], h[k], a);
            b = Vector.MultiplyAddEstimate(x[k + 1], h[k + 1], b);
            c = Vector.MultiplyAddEstimate(x[k + 2], h[k + 2], c);
            d = Vector.MultiplyAddEstimate(x[k + 3], h[k + 3], d);
        }
        var sum = Vector.Sum(a + b + (c + d));
        for (k *= Vector<double>.Count; k < samples.Length; k++) sum += samples[k] * taps[k];
        return sum;
    }

    private static double Tap(double t, double cutoff, double width)
    {
        var place = t / width;
        if (!(Math.Abs(place) < 1)) return 0;
        var x = 2 * cutoff * t;
        var sinc = x == 0 ? 1 : double.SinPi(x) / (Math.PI * x);
        return 2 * cutoff * sinc * Bessel(Beta * Math.Sqrt(1 - place * place)) / Bessel(Beta);
    }

    /// <summary>I0(x) = Σ ((x/2)^k / k!)², all terms positive. Source: Abramowitz and Stegun 1964, eq. 9.6.12.</summary>
    private static double Bessel(double x)
    {
        double sum = 1, term = 1;
        for (var k = 1; term > sum * 1e-17; k++)
        {
            term *= x / 2 / k * (x / 2 / k);
            sum += term;
        }
        return sum;
    }
}
