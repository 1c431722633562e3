// SPDX-License-Identifier: MIT
using Sweepbook.Rooms;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    /// <summary>The predicted modes of the room along the frequency axis, and how strongly each seat and source meets each of them.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure; none where the survey states no room, no take heard it, or it has no mode below the limit.</returns>
    public static IReadOnlyList<Figure> PredictedModes(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        if (study.PredictedModes() is not { Modes.Count: > 0 } modes) return [];
        var said = study.Findings.Where(finding => finding.Id is "room-modes" or "seat-in-node").Select(finding => finding.Sentence).ToArray();
        if (said.Length == 0) return [];   // no take heard the room
        return [ModeChart.Draw(modes, [.. modes.Places.Select(place => place.Kind == PlaceKind.Seat ? Palette.Colour(Place(study, place.Name)) : ModeChart.Neutral)], string.Join(" ", said))];
    }
}
