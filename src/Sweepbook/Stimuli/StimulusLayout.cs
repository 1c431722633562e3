// SPDX-License-Identifier: MIT
namespace Sweepbook.Stimuli;

/// <summary>Which channels the WAV file of a stimulus has.</summary>
public enum StimulusLayout
{
    /// <summary>One channel with the sweep, for a player or an operating system that sends it where it is wanted; with a marker, one channel for each output.</summary>
    Shortest,

    /// <summary>One channel for each output of the interface up to the highest named one, silent where no name is given.</summary>
    EveryOutput,
}
