// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Microphones;

/// <summary>How far one microphone reads from another in one band, after both were matched over a middle band.</summary>
/// <param name="Band">The octave or third octave.</param>
/// <param name="DeviationDb">Decibels, positive where the tested microphone reads more; NaN where it cannot be told.</param>
/// <param name="RepeatabilityDb">± decibels that the readings themselves leave open, 95 %; NaN where nothing is known about it.</param>
/// <param name="IsSignificant">True where the deviation is larger than the readings and a microphone set up again explain.</param>
/// <param name="Reason">Why there is no number; empty where there is one.</param>
public readonly record struct BandDeviation(FrequencyBand Band, double DeviationDb, double RepeatabilityDb, bool IsSignificant, string Reason)
{
    /// <summary>True where there is a number.</summary>
    public bool IsGiven => double.IsFinite(DeviationDb);
}
