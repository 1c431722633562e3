// SPDX-License-Identifier: MIT
namespace Sweepbook.Simulation;

/// <summary>A recorder of its own, beside a player: no loopback, a clock that runs by itself, a start that nobody timed; and the loudspeaker that plays the marker.</summary>
/// <param name="Marker">The loudspeaker that stays where it is.</param>
/// <param name="SlowestPpm">Least fast clock, in millionths; each take draws its own between the two.</param>
/// <param name="FastestPpm">Fastest clock.</param>
/// <param name="EarliestStartSeconds">Earliest start of recording, from the start of playing; each take draws its own between the two.</param>
/// <param name="LatestStartSeconds">Latest start.</param>
internal sealed record PlannedRecorder(PlannedSource Marker, double SlowestPpm, double FastestPpm, double EarliestStartSeconds, double LatestStartSeconds)
{
    /// <summary>Id of the marker's loudspeaker; no source can have it.</summary>
    public const string MarkerId = "[marker-loudspeaker]";

    /// <summary>How long the recorder runs on when the stimulus is over.</summary>
    public const double RunOnSeconds = 0.3;
}

/// <summary>How one take was timed: what its analysis should find.</summary>
/// <param name="FastPpm">By how many millionths the recorder's clock was fast.</param>
/// <param name="StartSeconds">When recording started, from the start of playing.</param>
/// <param name="MarkerArrivalSeconds">Distance of the marker's loudspeaker over the speed of sound, and the delay of its processing.</param>
internal readonly record struct RecorderTruth(double FastPpm, double StartSeconds, double MarkerArrivalSeconds);
