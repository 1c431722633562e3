// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;

namespace Sweepbook.Cli;

/// <summary>What somebody who is about to play a stimulus has to know about it, beside the cautions.</summary>
internal static class StimulusWords
{
    /// <summary>One sentence or two each; none for a plain sweep in one channel.</summary>
    public static IEnumerable<string> About(Stimulus stimulus, StimulusLayout layout)
    {
        var (said, channels) = (stimulus.Description, StimulusChannels.Of(stimulus.Description, layout));
        if (said.Kind == SweepKind.Linear)
            yield return "A linear sweep spends little time in the bass and keeps its distortion inside its own response: choose it for comparison only.";
        if (said.Marker is { } marker)
        {
            yield return Text($"The marker, {marker.StartHz:0} Hz to {marker.EndHz:0} Hz in {marker.LengthSeconds:0.##} s, plays {Instants(marker)} after the start on channel {channels.Marker}; the sweep begins after {said.LeadInSeconds:0.##} s on channel {Listed(channels.Sweep)}.");
            yield return "Let a second, full-range loudspeaker play the marker, and leave it and the microphone where they are between takes that shall be added. A subwoofer cannot play it.";
            yield return "The marker is as loud as the sweep and comes suddenly: mind your ears and the loudspeaker's tweeter.";
        }
        else if (channels.Count > 1)
        {
            yield return Text($"The WAV has {channels.Count} channels; the sweep is on channel {Listed(channels.Sweep)}.");
        }
        if (channels.LowFrequencyWarning is { } warning) yield return warning;
    }

    private static string Instants(MarkerDescription marker) =>
        Text($"{marker.StartSeconds:0.##} s{(marker.RepeatStartSeconds is { } again ? Text($" and {again:0.##} s") : "")}");

    private static string Listed(IReadOnlyList<int> channels) => string.Join(" and ", channels);

    private static string Text(FormattableString text) => FormattableString.Invariant(text);
}
