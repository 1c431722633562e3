// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Impulses;

/// <summary>One harmonic, or all of them together, at one fundamental.</summary>
/// <param name="FundamentalHz">The frequency that was played, in hertz; the harmonic lies at order · this.</param>
/// <param name="Order">2 to 5; 0 for all of them together (total harmonic distortion).</param>
/// <param name="LevelDb">Level re the fundamental, in decibels; where <paramref name="IsBound"/> the most that it can be; NaN where it cannot be given.</param>
/// <param name="FloorDb">What noise and the neighbours read as here, re the fundamental, in decibels; NaN where the noise is not known.</param>
/// <param name="IsBound">True where the reading does not stand clear of the floor: the level is "at most".</param>
/// <param name="PhaseDegrees">
/// Phase of the harmonic less order times the phase of the fundamental, both as sines, in (−180, 180]: no delay changes it. NaN for a bound and for the total.
/// </param>
/// <param name="Reason">Why it is a bound, or cannot be given, or what is missing in it; empty or null where all is well. Its first word names the kind.</param>
/// <remarks>Source: own definition; what the numbers mean stands at <see cref="Harmonics"/>.</remarks>
public readonly record struct HarmonicPoint(double FundamentalHz, int Order, double LevelDb, double FloorDb, bool IsBound, double PhaseDegrees, string? Reason)
{
    /// <summary>The level as a percentage of the fundamental; NaN where it cannot be given.</summary>
    public double Percent => 100 * Decibels.ToAmplitudeRatio(LevelDb);

    /// <summary>True where it is a measured value and no bound.</summary>
    public bool IsTrusted => double.IsFinite(LevelDb) && !IsBound && FundamentalHz > 0;

    /// <summary>The level as a person says it: "harmonic 2 at 40 Hz: −34.2 dB (1.95 %)", with "at most" where it is a bound.</summary>
    public override string ToString()
    {
        var what = Order == 0 ? "total" : FormattableString.Invariant($"harmonic {Order}");
        return double.IsNaN(LevelDb)
            ? FormattableString.Invariant($"{what} at {FundamentalHz:0.#} Hz: not given ({Reason})")
            : FormattableString.Invariant($"{what} at {FundamentalHz:0.#} Hz: {(IsBound ? "at most " : "")}{(LevelDb < 0 ? "−" : "")}{Math.Abs(LevelDb):0.0} dB ({Percent:0.##} %)");
    }
}
