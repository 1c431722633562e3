// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Rooms;

/// <summary>What is at a place in the room: somebody who hears, or something that drives.</summary>
public enum PlaceKind
{
    /// <summary>A seat: it hears a mode as strongly as the shape is there.</summary>
    Seat,

    /// <summary>A source: it drives a mode as strongly as the shape is there.</summary>
    Source,
}

/// <summary>A named place in the room.</summary>
/// <param name="Name">Its name, for example that of the seat.</param>
/// <param name="Kind">What is there.</param>
/// <param name="Position">Where it is.</param>
public readonly record struct RoomPlace(string Name, PlaceKind Kind, Position Position);

/// <summary>How strongly one place meets one mode.</summary>
/// <param name="Mode">The mode.</param>
/// <param name="Place">The place.</param>
/// <param name="ShapeRatio">ψ, linear, in [−1, 1]: ±1 where the pressure swings most, 0 on a nodal plane; places of opposite sign swing in opposite phase.</param>
public readonly record struct PlaceInMode(PredictedMode Mode, RoomPlace Place, double ShapeRatio)
{
    /// <summary>Below this |ψ| a place is said to be in a node: 0.1, that is 20 dB below the strongest place.</summary>
    /// <remarks>
    /// A mode 20 dB down is covered by its neighbours in most rooms, and 0.1 of the shape is 3 % of the room's length from the nodal plane of a first
    /// axial mode, some 20 cm: about the distance by which furniture and a head make a real node uncertain. Own choice.
    /// </remarks>
    public const double NodeRatio = 0.1;

    /// <summary>True where |ψ| is below <see cref="NodeRatio"/>: this place hears or drives next to nothing of this mode.</summary>
    public bool IsInNode => Math.Abs(ShapeRatio) < NodeRatio;

    /// <summary>|ψ| in decibels re the strongest place in the room; −∞ on the nodal plane itself.</summary>
    public double LevelDb => Decibels.FromAmplitude(Math.Abs(ShapeRatio));
}
