// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>What a louder drive changes at one frequency.</summary>
/// <param name="FrequencyHz">Centre of a third of an octave, in hertz.</param>
/// <param name="ChangeDb">Level of the response at the louder drive less that at the softer one, in decibels; NaN where either does not stand 20 dB above its noise.</param>
/// <param name="CompressionDb">By how much less it is than the drives ask for, in decibels; negative where it is more.</param>
/// <param name="ShapeDb">The same less its median over all frequencies: what no error of the stated drives can explain.</param>
/// <remarks>Source: own definition, see <see cref="LinearityResult"/>.</remarks>
public readonly record struct LinearityPoint(double FrequencyHz, double ChangeDb, double CompressionDb, double ShapeDb);
