// SPDX-License-Identifier: MIT
using System.Numerics;
using Xunit;

namespace Sweepbook.Tests.Transforms;

/// <summary>The slow obvious versions that the fast ones are held against, and signals to try them on.</summary>
internal static class SlowFourier
{
    /// <summary>X[k] = Σ x[n] · e^(−j2πkn/N), with the angle reduced in whole numbers so that it is exact.</summary>
    public static Complex[] Dft(ReadOnlySpan<Complex> values)
    {
        var bins = new Complex[values.Length];
        for (var k = 0; k < bins.Length; k++)
            for (var n = 0; n < values.Length; n++)
                bins[k] += values[n] * Rotation((long)k * n % values.Length, values.Length);
        return bins;
    }

    /// <summary>One bin of the same sum for real samples.</summary>
    public static Complex Bin(ReadOnlySpan<double> samples, int k)
    {
        var sum = Complex.Zero;
        for (var n = 0; n < samples.Length; n++) sum += samples[n] * Rotation((long)k * n % samples.Length, samples.Length);
        return sum;
    }

    /// <summary>e^(−j2π · part / whole).</summary>
    public static Complex Rotation(long part, long whole)
    {
        var angle = 2 * Math.PI * part / whole;
        return new(Math.Cos(angle), -Math.Sin(angle));
    }

    /// <summary>Numbers between −1 and 1 without a pattern, the same on every machine: a multiplicative generator modulo 2^31 − 1.</summary>
    public static double[] Noise(int count, long seed = 1)
    {
        var state = seed * 7919 % 2147483647;
        var samples = new double[count];
        for (var n = 0; n < count; n++)
        {
            state = state * 48271 % 2147483647;   // S. K. Park, K. W. Miller, P. K. Stockmeyer, Comm. ACM 36 (1993) 108–110
            samples[n] = 2.0 * state / 2147483647 - 1;
        }
        return samples;
    }

    public static Complex[] ComplexNoise(int count) =>
        [.. Noise(count).Zip(Noise(count, 2), (re, im) => new Complex(re, im))];

    /// <summary>√(Σ|actual − expected|² / Σ|expected|²).</summary>
    public static double RelativeRms(ReadOnlySpan<Complex> expected, ReadOnlySpan<Complex> actual)
    {
        Assert.Equal(expected.Length, actual.Length);
        double error = 0, energy = 0;
        for (var k = 0; k < expected.Length; k++)
        {
            var gap = actual[k] - expected[k];
            error += gap.Real * gap.Real + gap.Imaginary * gap.Imaginary;
            energy += expected[k].Real * expected[k].Real + expected[k].Imaginary * expected[k].Imaginary;
        }
        return Math.Sqrt(error / energy);
    }

    public static double RelativeRms(ReadOnlySpan<double> expected, ReadOnlySpan<double> actual) =>
        RelativeRms([.. Complexes(expected)], [.. Complexes(actual)]);

    public static Complex[] Complexes(ReadOnlySpan<double> samples)
    {
        var values = new Complex[samples.Length];
        for (var n = 0; n < samples.Length; n++) values[n] = samples[n];
        return values;
    }
}
