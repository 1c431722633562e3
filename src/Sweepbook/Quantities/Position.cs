// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>A point in the room: metres along its length, width and height from one floor corner.</summary>
/// <param name="XMetres">Along the length.</param>
/// <param name="YMetres">Along the width.</param>
/// <param name="ZMetres">Above the floor.</param>
public readonly record struct Position(double XMetres, double YMetres, double ZMetres)
{
    /// <summary>Straight-line distance to <paramref name="other"/>, in metres.</summary>
    public double DistanceMetresTo(Position other) =>
        Math.Sqrt(Square(XMetres - other.XMetres) + Square(YMetres - other.YMetres) + Square(ZMetres - other.ZMetres));

    private static double Square(double differenceMetres) => differenceMetres * differenceMetres;
}
