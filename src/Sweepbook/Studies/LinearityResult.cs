// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>Two responses that differ in their drive only, compared: does the louder one give what its drive asks for?</summary>
/// <remarks>
/// Levels are means over a third of an octave, their noise taken off. Where the loopback carries the drive, because it was set before the outputs part, a linear source gives the
/// same response at both; where it does not, because an amplifier was turned up, the responses differ by the drives. Which of the two it is, the median change over all frequencies tells: the nearer one
/// is taken. A compression that is equal at all frequencies and an error in the stated drives look alike; <see cref="LinearityPoint.ShapeDb"/> holds what is neither.
/// Misleads where the room or the microphone moved between the takes, or where the voice coil was still warm from the take before. Source: own definition.
/// </remarks>
public sealed class LinearityResult
{
    private readonly LinearityPoint[] _points;

    internal LinearityResult(Take softer, Take louder, LinearityPoint[] points, bool isDriveInLoopback, double medianCompressionDb) =>
        (Softer, Louder, _points, IsDriveInLoopback, MedianCompressionDb) = (softer, louder, points, isDriveInLoopback, medianCompressionDb);

    /// <summary>The take with the softer drive, the first of its repeats.</summary>
    public Take Softer { get; }

    /// <summary>The take with the louder drive, the first of its repeats.</summary>
    public Take Louder { get; }

    /// <summary>True where the loopback carries the drive, so that the response should not change at all.</summary>
    public bool IsDriveInLoopback { get; }

    /// <summary>The median over all frequencies of what is missing, in decibels: compression as a whole, or an error of the stated drives.</summary>
    public double MedianCompressionDb { get; }

    /// <summary>All points, rising in frequency, twelve to an octave.</summary>
    public IReadOnlyList<LinearityPoint> Points => [.. _points];
}
