// SPDX-License-Identifier: MIT
namespace Sweepbook.Trust;

/// <summary>What surrounded the microphone; it decides which limits apply to a take.</summary>
public enum SoundField
{
    /// <summary>In the room, reflections and all: the usual take.</summary>
    Room,

    /// <summary>Millimetres from a cone or a port.</summary>
    Near,

    /// <summary>Without reflections inside the window: outdoors, or gated before the first reflection.</summary>
    Free,
}
