// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>A decay curve by backward integration: the energy still to come after each moment, E(t) = ∫ p² dτ from t on, relative to all of it.</summary>
/// <remarks>
/// Begins at the start of the sound. Of a band filtered backwards in time it is relative to the whole energy of the band, also to what the filter moved before
/// the start: the curve then begins below 0 dB by what the band's width hides, and an exponential decay stays one.
/// Source: M. R. Schroeder, "New Method of Measuring Reverberation Time", J. Acoust. Soc. Am. 37 (1965) 409–412 (fact sheet 6.1).
/// </remarks>
public sealed class DecayCurve
{
    private const int EnoughPoints = 512;   // of a line; more of them on a smooth curve change nothing
    private readonly double[] _energy;

    /// <summary>Takes the energies over.</summary>
    internal DecayCurve(double[] energy, double sampleRateHz, double firstSeconds, double wholeEnergy, NoiseTail tail) =>
        (_energy, SampleRateHz, FirstSeconds, WholeEnergy, Tail) = (energy, sampleRateHz, firstSeconds, wholeEnergy, tail);

    /// <summary>Number of points; 0 for a response that is all zeros.</summary>
    public int Count => _energy.Length;

    /// <summary>Points per second, in hertz.</summary>
    public double SampleRateHz { get; }

    /// <summary>The moment after the start of the sound at which the integration stops: where the decay meets the noise, or the record ends, in seconds.</summary>
    public double EndSeconds => Count == 0 ? 0 : SecondsAt(Count - 1);

    /// <summary>Level of point <paramref name="n"/> in decibels relative to the whole energy; −∞ where nothing is left.</summary>
    public double this[int n] => Decibels.FromPower(_energy[n] / WholeEnergy);

    /// <summary>Moment of point <paramref name="n"/> after the start of the sound, in seconds.</summary>
    public double SecondsAt(int n) => FirstSeconds + n / SampleRateHz;

    /// <summary>All levels in decibels, a copy the caller owns.</summary>
    public double[] ToArray() => [.. Enumerable.Range(0, Count).Select(n => this[n])];

    /// <summary>The straight line through the levels between two limits, by least squares over time.</summary>
    /// <param name="upperDb">Where it begins, in decibels relative to the start: in (−∞, 0] dB.</param>
    /// <param name="lowerDb">Where it ends, below <paramref name="upperDb"/>.</param>
    /// <returns>The line; empty where the curve does not reach down to the lower limit.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A limit lies outside its interval.</exception>
    /// <remarks>
    /// Misleads where the lower limit comes close to the noise and that was not taken out, and where the decay has two slopes: the line is then neither.
    /// Source: ISO 3382-1:2009; EDT from 0 to −10 dB, T20 from −5 to −25 dB, T30 from −5 to −35 dB (fact sheet 4).
    /// </remarks>
    public DecayFit FitBetween(double upperDb, double lowerDb)
    {
        if (!(upperDb <= 0 && double.IsFinite(upperDb))) throw new ArgumentOutOfRangeException(nameof(upperDb), upperDb, "Must be in (−∞, 0] dB.");
        if (!(lowerDb < upperDb && double.IsFinite(lowerDb))) throw new ArgumentOutOfRangeException(nameof(lowerDb), lowerDb, $"Must be in (−∞, {upperDb}) dB.");
        var (upper, lower) = (WholeEnergy * Decibels.ToPowerRatio(upperDb), WholeEnergy * Decibels.ToPowerRatio(lowerDb));
        var first = 0;
        while (first < Count && _energy[first] > upper) first++;
        var end = first;
        while (end < Count && _energy[end] >= lower) end++;
        if (end == Count || end - first < 3) return default;
        var stride = Math.Max(1, (end - first) / EnoughPoints);
        double n = 0, x = 0, y = 0, xx = 0, xy = 0, yy = 0;
        for (var i = first; i < end; i += stride)
        {
            var (at, level) = ((double)(i - first), this[i] - upperDb);
            (n, x, y, xx, xy, yy) = (n + 1, x + at, y + level, xx + at * at, xy + at * level, yy + level * level);
        }
        var (spread, slope) = (n * xx - x * x, n * xy - x * y);
        if (!(slope < 0)) return default;
        var unexplained = Math.Max(0, 1 - slope * slope / (spread * (n * yy - y * y)));
        return new(-60 * spread / slope / SampleRateHz, 1000 * unexplained, upperDb, lowerDb);
    }

    internal double FirstSeconds { get; }

    internal double WholeEnergy { get; }

    internal NoiseTail Tail { get; }

    /// <summary>Energy to come from a moment on, between points along a straight line; before the first point all of it that lies behind the start.</summary>
    internal double EnergyAfter(double seconds)
    {
        var at = (seconds - FirstSeconds) * SampleRateHz;
        if (Count == 0) return 0;
        if (at <= 0) return _energy[0];
        var n = (int)at;
        return n + 1 < Count ? _energy[n] + (at - n) * (_energy[n + 1] - _energy[n]) : EnergyAt(at);
    }

    /// <summary>Energy of a point, behind the end that of the late line.</summary>
    internal double EnergyAt(double n) => n <= Count - 1 ? _energy[(int)n] : Tail.HasDecay && Count > 0 ? _energy[^1] * Math.Exp(-Tail.RatePerSample * (n - Count + 1)) : 0;

    /// <summary>Σ t p² behind the start: by parts, the first moment times all energy, and one sample's time for each energy still to come.</summary>
    internal double EnergySeconds()
    {
        if (Count == 0) return 0;
        var sum = 0.0;
        for (var n = 1; n < Count; n++) sum += _energy[n];
        if (Tail.HasDecay) sum += _energy[^1] / Tail.RatePerSample;
        return FirstSeconds * _energy[0] + sum / SampleRateHz;
    }
}
