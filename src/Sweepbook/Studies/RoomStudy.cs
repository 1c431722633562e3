// SPDX-License-Identifier: MIT
using Sweepbook.Rooms;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What the stated room predicts for the survey's seats and sources.</summary>
/// <remarks>Nothing here is measured: it is the room as an empty box. Source: beside <see cref="PlacedModes"/>.</remarks>
internal static class RoomStudy
{
    private const double WantedBelowHz = 120;   // the bass, as for the seats: see SeatStudy
    private const int MostModes = 300;          // own choice: a hall has a hundred thousand below 120 Hz, and nobody sits in the node of one of them
    private const int MostNamed = 3;

    internal static PlacedModes? PredictedModes(Study study)
    {
        if (study.Survey.Room is not { } stated) return null;
        var room = Box(stated);
        return PlacedModes.Of(room,
            [.. study.Survey.Seats.Where(seat => seat.Position is not null).Select(seat => new RoomPlace(seat.Id, PlaceKind.Seat, seat.Position!.Value)),
            .. study.Survey.Sources.Where(source => source.Position is not null).Select(source => new RoomPlace(source.Id, PlaceKind.Source, source.Position!.Value))],
            LimitHz(room));
    }

    /// <summary>Where single resonances end to matter, from the decay time that the decays found in the middle of the band; nothing where they found none.</summary>
    internal static IEnumerable<Finding> Schroeder(Study study, IEnumerable<Finding> decays)
    {
        if (study.Survey.Room is not { } stated) yield break;
        var room = Box(stated);
        foreach (var middle in decays.Where(finding => finding.Id == "decay-middle").Take(1))
        {
            var limitHz = room.SchroederFrequencyHz(middle.Value);
            yield return new("schroeder-frequency", Severity.Note, "room", limitHz, "Hz", FormattableString.Invariant(
                $"With {middle.Value:0.00} s in the middle of the band, this room of {room.VolumeCubicMetres:0} m³ has its Schroeder frequency at {limitHz:0} Hz: well below it single resonances decide what a seat hears, well above it their mixture; the change is gradual."));
        }
    }

    /// <summary>The room, then who is in a node of an axial mode; the others are weaker and many, and are left to the table.</summary>
    internal static IEnumerable<Finding> Findings(Study study)
    {
        if (!InRoom(study, _ => true) || study.PredictedModes() is not { } modes) yield break;   // close up and in the free field the room is what nobody wants to hear
        if (modes.Modes.Count == 0)
        {
            yield return new("room-modes", Severity.Note, "room", 0, "modes",
                FormattableString.Invariant($"The room as stated, {Size(modes.Room)}, is too small for a mode below {modes.BelowHz:0} Hz."));
            yield break;
        }
        var (lowest, one) = (modes.Modes[0], modes.Modes.Count == 1);
        yield return new("room-modes", Severity.Note, "room", modes.Modes.Count, "modes", FormattableString.Invariant(
            $"As an empty box of {Size(modes.Room)} the room should have {modes.Modes.Count} mode{(one ? "" : "s")} below {modes.BelowHz:0} Hz, {(one ? "at" : "the lowest at")} {lowest.FrequencyHz:0.0} Hz ({lowest.Order}); furniture, doors and soft walls move real ones by several per cent."));
        foreach (var place in modes.Places)
        {
            var nodes = modes.Meetings.Where(meeting => meeting.Place == place && meeting.IsInNode && meeting.Mode.Kind == ModeKind.Axial).Select(meeting => meeting.Mode).ToList();
            if (nodes.Count == 0 || !InRoom(study, take => place.Kind == PlaceKind.Seat ? take.Seat == place.Name : take.Sources.Contains(place.Name))) continue;
            var named = StudyFindings.Listed([.. nodes.Take(MostNamed).Select(mode => FormattableString.Invariant($"{mode.Order} at {mode.FrequencyHz:0.0} Hz")),
                .. nodes.Count > MostNamed ? new[] { $"{nodes.Count - MostNamed} more" } : []]);
            yield return place.Kind == PlaceKind.Seat
                ? new("seat-in-node", Severity.Note, place.Name, nodes[0].FrequencyHz, "Hz",
                    $"{place.Name} sits in a node of the predicted axial mode{(nodes.Count == 1 ? "" : "s")} {named}: expect little of {(nodes.Count == 1 ? "it" : "them")} there, whatever plays; moving the seat by half a metre changes that, more level does not.")
                : new("source-in-node", Severity.Note, place.Name, nodes[0].FrequencyHz, "Hz",
                    $"{place.Name} stands in a node of the predicted axial mode{(nodes.Count == 1 ? "" : "s")} {named} and hardly drives {(nodes.Count == 1 ? "it" : "them")}; another place would.");
        }
    }

    /// <summary>False where takes were made and every one of them close up or in the free field.</summary>
    private static bool InRoom(Study study, Func<Take, bool> isMeant)
    {
        var takes = study.Survey.Takes.Where(isMeant).ToList();
        return takes.Count == 0 || takes.Exists(take => take.Field == SoundField.Room);
    }

    private static RectangularRoom Box(Room stated) => new(stated.LengthMetres, stated.WidthMetres, stated.HeightMetres, stated.TemperatureCelsius);

    private static string Size(RectangularRoom room) => FormattableString.Invariant($"{room.LengthMetres:0.00} × {room.WidthMetres:0.00} × {room.HeightMetres:0.00} m");

    /// <summary>The wanted limit, or the frequency below which as many modes are expected as anybody looks at.</summary>
    private static double LimitHz(RectangularRoom room)
    {
        if (room.ExpectedCountBelow(WantedBelowHz) <= MostModes) return WantedBelowHz;
        var (low, high) = (0.0, WantedBelowHz);
        while (high - low > 0.05)
        {
            var middle = (low + high) / 2;
            if (room.ExpectedCountBelow(middle) > MostModes) high = middle;
            else low = middle;
        }
        return Math.Round(low, 1);
    }
}
