// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Decay;

/// <summary>A frequency that is strong and falls no faster than what surrounds it: a resonance, as a decay map shows it.</summary>
/// <param name="FrequencyHz">Where, in hertz: the top of a parabola through three points of the grid.</param>
/// <param name="LevelDb">Its highest level, that of the first slices, in dB relative to the response as it was divided: never re 20 µPa.</param>
/// <param name="DecaySeconds">Time in which it falls by 60 dB, from a straight line through the slices' levels.</param>
/// <param name="DecaySdSeconds">One standard deviation of that time, in seconds, from the scatter round the line and the noise; neighbouring slices share most of their samples and count as one.</param>
/// <param name="RangeDb">How many decibels of decay the line rests on: 30 where there is room above the noise, never less than 10.</param>
/// <param name="AroundSeconds">The same time for what surrounds it: the median over half an octave to either side, in seconds, without what this and other peaks spread there; NaN where hardly anything else is heard.</param>
/// <param name="Doubt">What limits the decay: the window, the noise, or a neighbour too close to be told apart; <see cref="Reason.None"/> where neither does.</param>
/// <remarks>
/// The frequency is good to a fraction of <see cref="DecayResolution.FrequencyHz"/> where one resonance is alone; two that are closer than that show as one, with a
/// decay that beats. A loudspeaker's own slow resonance looks the same as a room's. Source: own definition.
/// </remarks>
public readonly record struct SlowPeak(
    double FrequencyHz, double LevelDb, double DecaySeconds, double DecaySdSeconds, double RangeDb, double AroundSeconds, Reason Doubt)
{
    /// <summary>What is sure of the decay: one standard deviation less, in seconds; 0 where there is a doubt. Peaks are put in order by it, so that a rough long time does not win.</summary>
    public double SureDecaySeconds => Doubt.Doubt == Trust.Doubt.None ? Math.Max(0, DecaySeconds - DecaySdSeconds) : 0;
}
