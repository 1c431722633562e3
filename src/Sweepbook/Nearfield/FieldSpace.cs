// SPDX-License-Identifier: MIT
namespace Sweepbook.Nearfield;

/// <summary>Into what a box radiates.</summary>
public enum FieldSpace
{
    /// <summary>Half of the space: on the ground outdoors, or flush in a wall (2π).</summary>
    Half,

    /// <summary>All of it: high above the ground and away from walls, the box small beside the wavelength (4π); 6.02 dB less than half.</summary>
    Full,
}
