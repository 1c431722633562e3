// SPDX-License-Identifier: MIT
using Sweepbook.Rooms;

namespace Sweepbook.Notebook;

public sealed partial class Exercise
{
    private const double CalculatedShare = 0.01;   // a calculated number, written with two or three digits

    /// <summary>Above which frequency do so many modes overlap that only their statistics matter? In hertz, within 1 %.</summary>
    /// <param name="room">The room.</param>
    /// <param name="t60Seconds">Its decay time over 60 dB at mid frequencies, in seconds, above zero.</param>
    /// <returns>The exercise.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The time is not above zero and finite.</exception>
    /// <remarks>Misleads as the formula does: see <see cref="RectangularRoom.SchroederFrequencyHz"/>, which also names the source.</remarks>
    public static Exercise SchroederFrequency(RectangularRoom room, double t60Seconds)
    {
        ArgumentNullException.ThrowIfNull(room);
        var (wanted, squared) = (room.SchroederFrequencyHz(t60Seconds), t60Seconds / room.VolumeCubicMetres);
        return new("The Schroeder frequency", wanted, AnswerUnit.Hertz, CalculatedShare,
            "It is 2000 times the square root of the decay time in seconds over the volume in cubic metres. Work out the volume first.",
            "An octave below it, single modes can be told apart; an octave above it, a level at one place says little about the next place.",
            new(2000 * squared, "That is 2000 times the decay time over the volume, without the square root."),
            new(2000 / Math.Sqrt(squared), "The fraction is upside down: a larger room has a lower Schroeder frequency."),
            new(2000 * Math.Sqrt(1000 * t60Seconds / room.VolumeCubicMetres), "The decay time went in as milliseconds; the factor of 2000 is for seconds."),
            new(2000 * Math.Sqrt(t60Seconds / (room.LengthMetres * room.WidthMetres)), "That is with the floor area; the formula takes the volume."),
            new(2000 * Math.Sqrt(t60Seconds * room.VolumeCubicMetres), "Time and volume were multiplied. The time is divided by the volume: a larger room has a lower Schroeder frequency."),
            new(Math.Sqrt(squared), "The square root is right; the factor of 2000 in front of it is missing."));
    }

    /// <summary>At which frequency does half a wave fit into the length of the room? In hertz, within 1 %.</summary>
    /// <param name="room">The room.</param>
    /// <returns>The exercise.</returns>
    /// <remarks>Misleads as every prediction for rigid walls does: see <see cref="PredictedMode"/>. Source: as for <see cref="RectangularRoom.ModesBelow"/>.</remarks>
    public static Exercise LowestMode(RectangularRoom room)
    {
        ArgumentNullException.ThrowIfNull(room);
        var speed = room.SpeedOfSoundMetresPerSecond;
        return new("The lowest mode along the length", speed / (2 * room.LengthMetres), AnswerUnit.Hertz, CalculatedShare,
            "Between two rigid walls the lowest mode has its length as half a wave. From that follow the whole wave and, with the speed of sound, the frequency.",
            "Every multiple of it is a mode of the same pair of walls, with one more silent plane across the room each time.",
            new(speed / room.LengthMetres, "A whole wave was fitted into the length, which is the second mode of these walls. The first has half a wave."),
            new(speed / (4 * room.LengthMetres), "A quarter wave is for a pipe with one open end; a room is closed at both."),
            new(speed / (2 * room.WidthMetres), "That is the mode across the width. The question is about the length."),
            new(speed / (2 * room.HeightMetres), "That is the mode from floor to ceiling. The question is about the length."),
            new(2 * room.LengthMetres / speed, "That is the time the sound takes there and back, in seconds. Its reciprocal is the frequency."));
    }
}
