// SPDX-License-Identifier: MIT
namespace Sweepbook.Simulation;

/// <summary>A vented box with one driver, by its Thiele/Small parameters.</summary>
/// <param name="Id">Its name.</param>
/// <param name="WidthMetres">Width of its front.</param>
/// <param name="HeightMetres">Height of its front.</param>
/// <param name="DepthMetres">Its depth.</param>
/// <param name="VolumeLitres">Air in it.</param>
/// <param name="TuningHz">Where port and air resonate.</param>
/// <param name="AbsorptionQ">Quality of that resonance: all losses are absorption inside the box.</param>
/// <param name="DriverHz">Resonance of the driver in free air.</param>
/// <param name="DriverLitres">Air as stiff as its suspension.</param>
/// <param name="DriverQ">Its total quality.</param>
/// <param name="GainDb">Digital level to level at 1 m on a wide wall, well above tuning, as the microphone delivers it at 0 dB input gain.</param>
internal sealed record PlannedBox(
    string Id, double WidthMetres, double HeightMetres, double DepthMetres, double VolumeLitres, double TuningHz, double AbsorptionQ,
    double DriverHz, double DriverLitres, double DriverQ, double GainDb)
{
    /// <summary>How much of a sound comes back from the floor and the walls around a box that stands in the open, as an amplitude.</summary>
    public double ReflectionRatio { get; init; }
}

/// <summary>What a source is of its box.</summary>
internal enum BoxPart
{
    Cone,
    Port,

    /// <summary>All of it, heard from some distance.</summary>
    Whole,
}

/// <summary>A cone, a port, or the whole of a box.</summary>
/// <param name="Box">The box.</param>
/// <param name="Kind">What of it.</param>
/// <param name="AreaCm2">Effective area of cone or port.</param>
/// <param name="DistanceMm">How far the microphone stands from it.</param>
/// <param name="BaffleXMetres">Where its centre lies, from the left edge of the front; NaN where it lies elsewhere.</param>
/// <param name="BaffleYMetres">And from the lower edge.</param>
internal sealed record PlannedRadiator(PlannedBox Box, BoxPart Kind, double AreaCm2, double DistanceMm, double BaffleXMetres, double BaffleYMetres)
{
    /// <summary>Radius of a disc of that area.</summary>
    public double RadiusMetres => Math.Sqrt(AreaCm2 * 1e-4 / Math.PI);

    /// <summary>Stands for the seat in the names of takes close to a cone or port.</summary>
    public const string PlaceId = "near";
}
