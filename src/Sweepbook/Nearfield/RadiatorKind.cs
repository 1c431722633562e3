// SPDX-License-Identifier: MIT
namespace Sweepbook.Nearfield;

/// <summary>What radiates: it decides what is expected of it below the tuning.</summary>
public enum RadiatorKind
{
    /// <summary>A cone with a motor.</summary>
    Cone,

    /// <summary>A port that the air in the box drives.</summary>
    Port,

    /// <summary>A cone without a motor that the air in the box drives.</summary>
    PassiveRadiator,
}
