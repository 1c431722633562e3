// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Sweepbook.Quantities;

/// <summary>The only place where linear ratios become decibels and back. There is no bare "to dB": say amplitude or power.</summary>
/// <remarks>
/// A ratio of zero is −∞ dB, which is a fact and not an error; a negative or NaN ratio is an error of the caller.
/// Misleads when an amplitude (pressure, sample value) is passed to a power method: the result is then half of what it should be.
/// Source: ISO 80000-3:2006, definitions of level of a field quantity and of a power quantity.
/// </remarks>
public static class Decibels
{
    /// <summary>20 · lg(<paramref name="amplitudeRatio"/>).</summary>
    /// <param name="amplitudeRatio">Amplitude over its reference, linear, in [0, ∞).</param>
    /// <returns>Decibels; −∞ for zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The ratio is negative or NaN.</exception>
    public static double FromAmplitude(double amplitudeRatio) => 20 * Math.Log10(NotNegative(amplitudeRatio, nameof(amplitudeRatio)));

    /// <summary>10 · lg(<paramref name="powerRatio"/>).</summary>
    /// <param name="powerRatio">Power or energy over its reference, linear, in [0, ∞).</param>
    /// <returns>Decibels; −∞ for zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The ratio is negative or NaN.</exception>
    public static double FromPower(double powerRatio) => 10 * Math.Log10(NotNegative(powerRatio, nameof(powerRatio)));

    /// <summary>10^(<paramref name="levelDb"/> / 20): the inverse of <see cref="FromAmplitude"/>.</summary>
    /// <param name="levelDb">Level in decibels; −∞ gives zero.</param>
    /// <returns>Amplitude ratio, linear.</returns>
    public static double ToAmplitudeRatio(double levelDb) => Math.Pow(10, levelDb / 20);

    /// <summary>10^(<paramref name="levelDb"/> / 10): the inverse of <see cref="FromPower"/>.</summary>
    /// <param name="levelDb">Level in decibels; −∞ gives zero.</param>
    /// <returns>Power ratio, linear.</returns>
    public static double ToPowerRatio(double levelDb) => Math.Pow(10, levelDb / 10);

    /// <summary>10 · lg of many powers at once, several times as quick as one by one and equal within a few units of the last place.</summary>
    /// <param name="powerRatios">Power over its reference, linear, in [0, ∞); a negative ratio gives NaN.</param>
    /// <param name="levelsDb">Receives the levels in decibels; may be the same memory.</param>
    internal static void FromPowers(ReadOnlySpan<double> powerRatios, Span<double> levelsDb)
    {
        const double DecibelsPerOctave = 3.0102999566398120;   // 10 · lg 2
        var from = MemoryMarshal.Cast<double, Vector512<double>>(powerRatios);
        var to = MemoryMarshal.Cast<double, Vector512<double>>(levelsDb);
        for (var k = 0; k < from.Length; k++) to[k] = Vector512.Log2(from[k]) * DecibelsPerOctave;
        for (var k = from.Length * Vector512<double>.Count; k < powerRatios.Length; k++) levelsDb[k] = 10 * Math.Log10(powerRatios[k]);
    }

    private static double NotNegative(double ratio, string name) =>
        ratio >= 0 ? ratio : throw new ArgumentOutOfRangeException(name, ratio, "Must be in [0, ∞).");
}
