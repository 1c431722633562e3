// SPDX-License-Identifier: MIT
using Sweepbook.Decay;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    private const double RoughShare = 0.1;   // a rule of thumb, or a slope read off a picture

    /// <summary>How far apart must two resonances be for the map to show two? In hertz, within 10 % of 1/T.</summary>
    /// <param name="map">A cumulative map; its window is T seconds long.</param>
    /// <returns>The exercise.</returns>
    /// <remarks>A rule of thumb: the exact number depends on the shape of the window, see <see cref="DecayMap.ResolutionAt"/>. Source: the uncertainty of every transform, as stated there.</remarks>
    public static Exercise FinestDetail(DecayMap map)
    {
        ArgumentNullException.ThrowIfNull(map);
        var window = map.WindowSecondsAt(0);
        return new("The finest detail along the frequency axis", 1 / window, AnswerUnit.Hertz, RoughShare,
            "A window that holds T seconds cannot tell two tones apart before they have slipped by one whole period against each other within it.",
            "A grid of more frequencies draws the same hills with more points; only a longer window parts them.",
            new(2 / window, "That is where the level begins to be trusted, two periods in the window. Two peaks part earlier."),
            new(1 / (2 * window), "Half a period of slip is not enough: the two still add up in most of the window."),
            new(window, "That is the window itself, in seconds. Detail in frequency is its reciprocal."));
    }

    /// <summary>How long does a resonance take for 60 dB, judging by its ridge? In seconds, within 10 %.</summary>
    /// <param name="map">The map; levels of its slices are read along one frequency.</param>
    /// <param name="peak">One of its slow peaks.</param>
    /// <returns>The exercise.</returns>
    /// <remarks>Two readings at least 15 dB apart are near enough to the line through all slices. Source: own definition, see <see cref="SlowPeak"/>.</remarks>
    public static Exercise DecayOfRidge(DecayMap map, SlowPeak peak)
    {
        ArgumentNullException.ThrowIfNull(map);
        var seconds = peak.DecaySeconds;
        return new("The decay time of the ridge", seconds, AnswerUnit.Seconds, RoughShare,
            "Read the level of the ridge in an early slice and in a later one. Time between them over level lost between them is the time for one decibel.",
            "A ridge that is straight in decibels is one resonance; one that swings is two that beat.",
            new(seconds / 60, "That is the time for one decibel; the answer is for sixty."),
            new(seconds / NaturalLogOfAMillion, "That is the time in which the energy falls to one part in e. The decay time is for 60 dB."),
            new(60 / seconds, "That is the slope in decibels per second. The question is how many seconds 60 dB take."),
            new(seconds / 2, "That is the time for 30 dB: the line may end there, but the decay time is for 60 dB."),
            new(seconds / 3, "That is the time for 20 dB; the decay time is for 60 dB."));
    }
}
