// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;

namespace Sweepbook.Tests.Decay;

/// <summary>Responses with a known decay.</summary>
internal static class Decaying
{
    internal const int RateHz = 48_000;

    internal static ImpulseResponse Response(double[] samples, int rateHz = RateHz) => new(samples, rateHz, 0, TimeZero.Unknown, TimeGroup.None, "made for a test");

    /// <summary>p = 10^(−3 t / T), so that the level falls by 60 dB in T.</summary>
    internal static double[] Exponential(double t60Seconds, double lengthSeconds, int rateHz = RateHz) =>
        [.. Enumerable.Range(0, (int)(lengthSeconds * rateHz)).Select(n => Math.Pow(10, -3 * n / (t60Seconds * rateHz)))];

    /// <summary>Gaussian noise under that envelope, after some silence.</summary>
    internal static double[] NoiseLike(double t60Seconds, double lengthSeconds, ulong seed, int rateHz = RateHz, double leadSeconds = 0)
    {
        var (envelope, noise, lead) = (Exponential(t60Seconds, lengthSeconds, rateHz), Signals.Noise((int)(lengthSeconds * rateHz), seed), (int)(leadSeconds * rateHz));
        return [.. new double[lead], .. envelope.Zip(noise, (a, b) => a * b)];
    }

    /// <summary>With stationary noise so many decibels below the start of the envelope.</summary>
    internal static double[] WithNoise(double[] decay, double belowStartDb, ulong seed) =>
        [.. decay.Zip(Signals.Noise(decay.Length, seed), (a, b) => a + Math.Pow(10, -belowStartDb / 20) * b)];
}
