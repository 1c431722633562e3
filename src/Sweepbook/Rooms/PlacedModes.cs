// SPDX-License-Identifier: MIT
namespace Sweepbook.Rooms;

/// <summary>The modes that a rectangular room should have below a frequency, with the seats and sources on their shapes.</summary>
/// <remarks>
/// Misleads by its exactness: furniture, doors and soft walls move real modes by several per cent and their nodes by some decimetres. A seat in a node
/// of one mode may hear well from the next. Where a shape is strong a source drives the mode; both must be strong for it to be heard.
/// Source: Rayleigh, as for <see cref="RectangularRoom.ShapeAt"/> (fact sheet 8.1, 9.2).
/// </remarks>
public sealed class PlacedModes
{
    private PlacedModes(RectangularRoom room, double belowHz, RoomPlace[] places, RoomPlace[] outside)
    {
        (Room, BelowHz, Places, PlacesOutside) = (room, belowHz, places, outside);
        Modes = room.ModesBelow(belowHz);
        Meetings = [.. Modes.SelectMany(mode => places.Select(place => new PlaceInMode(mode, place, Snapped(room.ShapeAt(mode, place.Position)))))];
    }

    /// <summary>Puts places on the modes of a room.</summary>
    /// <param name="room">The room.</param>
    /// <param name="places">Seats and sources; none is allowed, and those outside the room are set aside.</param>
    /// <param name="belowHz">Upper limit of the modes in hertz, itself excluded; 0 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">The limit is negative, infinite or NaN.</exception>
    public static PlacedModes Of(RectangularRoom room, IReadOnlyList<RoomPlace> places, double belowHz)
    {
        ArgumentNullException.ThrowIfNull(room);
        ArgumentNullException.ThrowIfNull(places);
        return new(room, belowHz, [.. places.Where(place => room.Contains(place.Position))], [.. places.Where(place => !room.Contains(place.Position))]);
    }

    /// <summary>The room.</summary>
    public RectangularRoom Room { get; }

    /// <summary>The modes lie below this frequency, in hertz.</summary>
    public double BelowHz { get; }

    /// <summary>The modes in rising frequency.</summary>
    public IReadOnlyList<PredictedMode> Modes { get; }

    /// <summary>The places inside the room, in the order given.</summary>
    public IReadOnlyList<RoomPlace> Places { get; }

    /// <summary>Places that the stated room does not contain: a position or a length is wrong, and nothing is said about them.</summary>
    public IReadOnlyList<RoomPlace> PlacesOutside { get; }

    /// <summary>Every mode at every place: modes in rising frequency, the places of each in their order.</summary>
    public IReadOnlyList<PlaceInMode> Meetings { get; }

    /// <summary>The meetings that next to nothing comes of, see <see cref="PlaceInMode.IsInNode"/>.</summary>
    public IEnumerable<PlaceInMode> InNodes => Meetings.Where(meeting => meeting.IsInNode);

    /// <summary>All modes as one place meets them, in rising frequency.</summary>
    /// <param name="place">Name of the place.</param>
    /// <exception cref="ArgumentException">No place inside the room has that name.</exception>
    public IReadOnlyList<PlaceInMode> At(string place)
    {
        PlaceInMode[] found = [.. Meetings.Where(meeting => meeting.Place.Name == place)];
        return found.Length > 0 || Places.Any(known => known.Name == place)
            ? found
            : throw new ArgumentException($"No place inside the room is called \"{place}\"; there are: {string.Join(", ", Places.Select(known => known.Name))}.", nameof(place));
    }

    /// <summary>A cosine misses its zeros by rounding, 6e−17 in place of 0.</summary>
    private static double Snapped(double shape) => Math.Abs(shape) < 1e-12 ? 0 : shape;
}
