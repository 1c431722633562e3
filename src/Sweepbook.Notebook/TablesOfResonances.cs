// SPDX-License-Identifier: MIT
using Deedle;
using Sweepbook.Decay;
using Sweepbook.Rooms;

namespace Sweepbook.Notebook;

public static partial class Tables
{
    /// <summary>One row per slow peak of a decay map: where it is, how long it lasts, and what had a hand in that.</summary>
    /// <param name="peaks">The peaks, in the order wanted.</param>
    /// <returns>Numbered rows; an empty remark where neither window nor noise limits the decay.</returns>
    public static Frame<int, string> SlowPeaks(IReadOnlyList<SlowPeak> peaks)
    {
        ArgumentNullException.ThrowIfNull(peaks);
        return Of(peaks.Count,
            Column("frequency (Hz)", peaks.Select(peak => Rounded(peak.FrequencyHz, 1))),
            Column("level (dB, relative)", peaks.Select(peak => Rounded(peak.LevelDb, 1))),
            Column("60 dB in (s)", peaks.Select(peak => Rounded(peak.DecaySeconds, 2))),
            Column("± (s)", peaks.Select(peak => Rounded(peak.DecaySdSeconds, 2))),
            Column("remark", peaks.Select(peak => peak.Doubt.Sentence ?? "")));
    }

    /// <summary>One row per predicted mode below a frequency: its order, and how strongly some places meet it.</summary>
    /// <param name="modes">The predicted modes.</param>
    /// <param name="belowHz">Upper limit in hertz, itself excluded.</param>
    /// <param name="places">Names of seats and sources, a column each: 1 and −1 are the loudest places, in opposite phase, and 0 is a silent plane.</param>
    /// <returns>Numbered rows in rising frequency.</returns>
    /// <exception cref="ArgumentException">No place inside the room has one of these names.</exception>
    public static Frame<int, string> PredictedModes(PlacedModes modes, double belowHz, params IReadOnlyList<string> places)
    {
        ArgumentNullException.ThrowIfNull(modes);
        ArgumentNullException.ThrowIfNull(places);
        var shown = modes.Modes.Where(mode => mode.FrequencyHz < belowHz).ToArray();
        return Of(shown.Length,
        [
            Column("order", shown.Select(mode => mode.Order)),
            Column("kind", shown.Select(mode => mode.Kind.ToString().ToLowerInvariant())),
            Column("frequency (Hz)", shown.Select(mode => Rounded(mode.FrequencyHz, 1))),
            .. places.Select(place => Column($"at {place}", modes.At(place).Where(meeting => meeting.Mode.FrequencyHz < belowHz).Select(meeting => Rounded(meeting.ShapeRatio, 2)).ToArray())),
        ]);
    }
}
