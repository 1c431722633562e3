// SPDX-License-Identifier: MIT
namespace Sweepbook.Stimuli;

/// <summary>A short sweep from a second loudspeaker that stays where it is: takes without a loopback get their time zero from it.</summary>
/// <param name="StartSeconds">Where the marker begins, from the start of the file, in [0, ∞) seconds.</param>
/// <param name="LengthSeconds">How long it lasts, in seconds above zero.</param>
/// <param name="StartHz">Its first frequency in hertz, above zero.</param>
/// <param name="EndHz">Its last frequency in hertz, above the first.</param>
/// <param name="RepeatStartSeconds">Where it is played a second time, after the sweep, so that a wandering clock shows; null for once only.</param>
/// <remarks>
/// An exponential sweep at the level of the stimulus, faded over a tenth of its length at either end. A subwoofer cannot play it. It tells nothing where the
/// loudspeaker that plays it, or the microphone, was moved between the takes. Own convention (design, stimulus description); it needs no source.
/// </remarks>
public sealed record MarkerDescription(double StartSeconds, double LengthSeconds, double StartHz, double EndHz, double? RepeatStartSeconds)
{
    /// <summary>How the marker's phase moves.</summary>
    internal SweepLaw Law => new(SweepKind.Exponential, StartHz, EndHz, LengthSeconds);
}
