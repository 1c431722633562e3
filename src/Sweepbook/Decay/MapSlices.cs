// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;

namespace Sweepbook.Decay;

/// <summary>The powers of all slices, slice by slice, frequency by frequency.</summary>
internal static class MapSlices
{
    /// <summary>Bins of one transform per slice, as long as the windowed samples with as many zeros.</summary>
    public static double[] ByTransform(MapSignal signal, MapWindow window, int[] moments, int length, int firstBin, int bins)
    {
        var powers = GC.AllocateUninitializedArray<double>(moments.Length * bins);
        var (windowed, spectrum) = (new double[window.Weights.Length], new Complex[length / 2 + 1]);
        for (var i = 0; i < moments.Length; i++)
        {
            Weigh(signal.Samples, signal.Start + moments[i] - window.Moment, window.Weights, windowed);
            FourierTransform.OfReal(windowed, length, spectrum);
            var row = powers.AsSpan(i * bins, bins);
            for (var k = 0; k < bins; k++) row[k] = Power(spectrum[firstBin + k]);
        }
        return powers;
    }

    /// <summary>One sum per slice and frequency, with a window of its own for every frequency.</summary>
    public static double[] BySum(MapSignal signal, MapWindow[] windows, int[] moments, ReadOnlySpan<double> frequenciesHz)
    {
        var bins = windows.Length;
        var powers = new double[moments.Length * bins];
        for (var k = 0; k < bins; k++)
        {
            var (real, imaginary) = Kernel(windows[k], frequenciesHz[k]);
            for (var i = 0; i < moments.Length; i++)
            {
                var from = signal.Start + moments[i] - windows[k].Moment;
                var (first, end) = (Math.Max(0, -from), Math.Min(real.Length, signal.Samples.Length - from));
                if (end <= first) continue;
                var (re, im) = Sums(signal.Samples.AsSpan(from + first, end - first), real.AsSpan(first), imaginary.AsSpan(first));
                powers[i * bins + k] = re * re + im * im;
            }
        }
        return powers;
    }

    /// <summary>The window times a turning pointer of unit length.</summary>
    public static (double[] Real, double[] Imaginary) Kernel(MapWindow window, double frequencyHz)
    {
        var (real, imaginary) = (new double[window.Weights.Length], new double[window.Weights.Length]);
        for (var n = 0; n < real.Length; n++)
        {
            var (sine, cosine) = double.SinCosPi(2 * (frequencyHz * (n - window.Moment) / window.RateHz % 1));
            (real[n], imaginary[n]) = (window.Weights[n] * cosine, -window.Weights[n] * sine);
        }
        return (real, imaginary);
    }

    /// <summary>The window times the samples from an index on; what lies outside the record is silence.</summary>
    public static void Weigh(ReadOnlySpan<double> samples, int from, ReadOnlySpan<double> weights, Span<double> windowed)
    {
        var first = Math.Clamp(-from, 0, weights.Length);
        var end = Math.Clamp(samples.Length - from, first, weights.Length);
        windowed[..first].Clear();
        for (var n = first; n < end; n++) windowed[n] = samples[from + n] * weights[n];
        windowed[end..].Clear();
    }

    public static double Power(Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;

    private static (double Real, double Imaginary) Sums(ReadOnlySpan<double> samples, ReadOnlySpan<double> real, ReadOnlySpan<double> imaginary)
    {
        Vector<double> re = default, im = default;
        var n = 0;
        for (; n + Vector<double>.Count <= samples.Length; n += Vector<double>.Count)
        {
            var x = new Vector<double>(samples[n..]);
            re = Vector.MultiplyAddEstimate(x, new(real[n..]), re);
            im = Vector.MultiplyAddEstimate(x, new(imaginary[n..]), im);
        }
        var (sumRe, sumIm) = (Vector.Sum(re), Vector.Sum(im));
        for (; n < samples.Length; n++) (sumRe, sumIm) = (sumRe + samples[n] * real[n], sumIm + samples[n] * imaginary[n]);
        return (sumRe, sumIm);
    }
}
