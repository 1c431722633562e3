// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>Frequencies spaced evenly on a logarithmic axis: 1000 · 2^(k / points per octave), so that every survey shares its grid points.</summary>
public sealed class LogGrid
{
    private readonly double[] _frequenciesHz;

    private LogGrid(double[] frequenciesHz, int pointsPerOctave) => (_frequenciesHz, PointsPerOctave) = (frequenciesHz, pointsPerOctave);

    /// <summary>All grid points between two frequencies.</summary>
    /// <param name="pointsPerOctave">Points per octave (factor two), 1 or more; the tables use 96.</param>
    /// <param name="fromHz">Lower limit in hertz, above zero.</param>
    /// <param name="toHz">Upper limit in hertz, not below the lower one.</param>
    /// <returns>The grid, rising; it may be empty when the limits lie between two points.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A limit is zero, negative, infinite or NaN, or the limits are reversed.</exception>
    /// <remarks>Anchored at 1 kHz whatever the limits: two grids agree wherever both have points. Source: own convention (design, results).</remarks>
    public static LogGrid Between(int pointsPerOctave, double fromHz, double toHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(pointsPerOctave, 1);
        if (!(fromHz > 0 && double.IsFinite(fromHz)))
            throw new ArgumentOutOfRangeException(nameof(fromHz), fromHz, "Must be in (0, ∞) Hz.");
        if (!(toHz >= fromHz && double.IsFinite(toHz)))
            throw new ArgumentOutOfRangeException(nameof(toHz), toHz, FormattableString.Invariant($"Must be in [{fromHz}, ∞) Hz."));
        const double Slack = 1e-9;   // a limit that is itself a grid point counts as inside
        var first = (int)Math.Ceiling(pointsPerOctave * Math.Log2(fromHz / 1000) - Slack);
        var last = (int)Math.Floor(pointsPerOctave * Math.Log2(toHz / 1000) + Slack);
        return new([.. Enumerable.Range(first, Math.Max(0, last - first + 1)).Select(k => 1000 * Math.Pow(2, (double)k / pointsPerOctave))], pointsPerOctave);
    }

    /// <summary>Points per octave.</summary>
    public int PointsPerOctave { get; }

    /// <summary>Number of points.</summary>
    public int Count => _frequenciesHz.Length;

    /// <summary>The frequency of point <paramref name="k"/>, in hertz.</summary>
    public double this[int k] => _frequenciesHz[k];

    /// <summary>All frequencies in hertz, as a copy that the caller owns.</summary>
    public double[] ToArray() => [.. _frequenciesHz];

    internal ReadOnlySpan<double> FrequenciesHz => _frequenciesHz;
}
