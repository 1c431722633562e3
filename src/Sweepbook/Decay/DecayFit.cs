// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>A straight line through a stretch of a decay curve, as the time in which it would fall by 60 dB.</summary>
/// <param name="T60Seconds">Time for 60 dB along the line, in seconds; 0 only in the default, which is no line.</param>
/// <param name="NonlinearityPermille">1000 · (1 − r²), r being the coefficient of correlation of level and time: 0 for a straight decay, usually below 5.</param>
/// <param name="UpperDb">Level at which the stretch begins, in decibels relative to the start.</param>
/// <param name="LowerDb">Level at which it ends.</param>
/// <remarks>Source: ISO 3382-2:2008, Annex B (fact sheet 4.3; the usual range from memory).</remarks>
public readonly record struct DecayFit(double T60Seconds, double NonlinearityPermille, double UpperDb, double LowerDb)
{
    /// <summary>True where no line could be laid: the curve does not reach that far, or does not fall.</summary>
    public bool IsEmpty => !(T60Seconds > 0);
}
