// SPDX-License-Identifier: MIT
namespace Sweepbook.Rooms;

/// <summary>How many pairs of walls take part in a mode.</summary>
public enum ModeKind
{
    /// <summary>One pair of walls: the strongest and longest lasting.</summary>
    Axial,

    /// <summary>Two pairs of walls.</summary>
    Tangential,

    /// <summary>All three pairs of walls.</summary>
    Oblique,
}

/// <summary>One mode that a rectangular room should have: its order along length, width and height, and its frequency.</summary>
/// <param name="AlongLength">Half waves along the length, 0 or more.</param>
/// <param name="AlongWidth">Half waves along the width, 0 or more.</param>
/// <param name="AlongHeight">Half waves along the height, 0 or more.</param>
/// <param name="FrequencyHz">Frequency in hertz.</param>
/// <remarks>A prediction for rigid walls and an empty room: furniture, doors and soft walls move real modes by several per cent.</remarks>
public readonly record struct PredictedMode(int AlongLength, int AlongWidth, int AlongHeight, double FrequencyHz)
{
    /// <summary>Axial, tangential or oblique, by the number of orders above zero.</summary>
    public ModeKind Kind => Directions switch
    {
        3 => ModeKind.Oblique,
        2 => ModeKind.Tangential,
        _ => ModeKind.Axial,
    };

    internal int Directions => (AlongLength > 0 ? 1 : 0) + (AlongWidth > 0 ? 1 : 0) + (AlongHeight > 0 ? 1 : 0);

    /// <summary>The order as everybody writes it: <c>1,0,0</c>.</summary>
    public string Order => $"{AlongLength},{AlongWidth},{AlongHeight}";
}
