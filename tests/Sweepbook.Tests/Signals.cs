// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;

namespace Sweepbook.Tests;

/// <summary>Signals for tests, made without the project's own transform or generators, so that an error there cannot hide.</summary>
internal static class Signals
{
    /// <summary>Linear convolution through the Math.NET transform: an oracle from outside the project.</summary>
    internal static double[] Convolved(ReadOnlySpan<double> one, ReadOnlySpan<double> other, int length)
    {
        var size = 1;
        while (size < one.Length + other.Length) size *= 2;
        var (a, b) = (Spectrum(one, size), Spectrum(other, size));
        for (var k = 0; k < size; k++) a[k] *= b[k];
        Fourier.Inverse(a, FourierOptions.AsymmetricScaling);
        return [.. a.Take(length).Select(value => value.Real)];
    }

    /// <summary>The transform of a signal padded with zeros, by Math.NET, unscaled.</summary>
    internal static Complex[] Spectrum(ReadOnlySpan<double> signal, int size)
    {
        var bins = new Complex[size];
        for (var n = 0; n < signal.Length; n++) bins[n] = signal[n];
        Fourier.Forward(bins, FourierOptions.AsymmetricScaling);
        return bins;
    }

    /// <summary>Σ of tones under Gaussian envelopes: the spectrum of each is a Gaussian round its frequency, so it is band-limited to any depth wanted.</summary>
    internal static double[] BandLimited(int length, int rateHz, params (double FrequencyHz, double CentreSeconds, double SigmaSeconds)[] tones) =>
        BandLimited(length, rateHz, [.. tones.Select(tone => (tone.FrequencyHz, tone.CentreSeconds, tone.SigmaSeconds, 1.0))]);

    /// <summary>The same with an amplitude for each tone.</summary>
    internal static double[] BandLimited(int length, int rateHz, (double FrequencyHz, double CentreSeconds, double SigmaSeconds, double Amplitude)[] tones)
    {
        var signal = new double[length];
        foreach (var (frequencyHz, centre, sigma, amplitude) in tones)
            for (var n = 0; n < length; n++)
            {
                var t = (double)n / rateHz - centre;
                signal[n] += amplitude * Math.Exp(-t * t / (2 * sigma * sigma)) * Math.Cos(2 * Math.PI * frequencyHz * t);
            }
        return signal;
    }

    /// <summary>Gaussian noise, unit variance: SplitMix64 (Steele, Lea, Flood 2014) and Box–Muller.</summary>
    internal static double[] Noise(int length, ulong seed)
    {
        var noise = new double[length];
        for (var n = 0; n < length; n++)
            noise[n] = Math.Sqrt(-2 * Math.Log(Uniform(ref seed))) * Math.Cos(2 * Math.PI * Uniform(ref seed));
        return noise;
    }

    /// <summary>Error energy over signal energy, in decibels.</summary>
    internal static double ErrorDb(ReadOnlySpan<double> found, ReadOnlySpan<double> expected)
    {
        var (error, energy) = (0.0, 0.0);
        for (var n = 0; n < expected.Length; n++)
        {
            error += (found[n] - expected[n]) * (found[n] - expected[n]);
            energy += expected[n] * expected[n];
        }
        return 10 * Math.Log10(error / energy);
    }

    /// <summary>A small step of rounding to a number of bits, full scale ±1, as a file would do it.</summary>
    internal static double[] Quantised(ReadOnlySpan<double> signal, int bits)
    {
        var scale = Math.Pow(2, bits - 1);
        var rounded = new double[signal.Length];
        for (var n = 0; n < rounded.Length; n++) rounded[n] = Math.Round(signal[n] * scale) / scale;
        return rounded;
    }

    private static double Uniform(ref ulong seed)
    {
        seed += 0x9E3779B97F4A7C15;
        var z = seed;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return (((z ^ (z >> 31)) >> 11) + 1) * (1.0 / (1UL << 53));
    }
}
