// SPDX-License-Identifier: MIT
namespace Sweepbook.Trust;

/// <summary>How a take knows when the stimulus left.</summary>
public enum TimeZero
{
    /// <summary>Not known: magnitudes only; phase, arrival and complex sums are refused.</summary>
    Unknown,

    /// <summary>From the loopback channel of the same take.</summary>
    Loopback,

    /// <summary>From a marker played by a second loudspeaker that stays where it is.</summary>
    Marker,

    /// <summary>Stated in the survey for a take that already is an impulse response.</summary>
    Stated,
}
