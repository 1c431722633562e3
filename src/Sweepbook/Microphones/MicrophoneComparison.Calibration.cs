// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Microphones;

/// <content>The calibration of the tested microphone that a comparison gives.</content>
public sealed partial class MicrophoneComparison
{
    /// <summary>What is known about the comparison besides its readings.</summary>
    internal ComparisonFacts Facts { get; }

    /// <summary>The calibration that makes the tested microphone read as the reference does: the reference's own calibration and the smoothed difference, inside the trusted band only.</summary>
    /// <returns>Deviation from flat in decibels, 0 dB on the mean of the middle band, twelve points an octave.</returns>
    /// <exception cref="InvalidOperationException">Less than two points lie in the trusted band.</exception>
    /// <remarks>
    /// The tested microphone's readings are taken without its own calibration, the reference's with. The difference of the two powers is smoothed over a sixth of an octave: wide
    /// enough to hold many independent values of a room at high frequencies, where placement shows, and narrow against what a capsule does (a peak of Q = 2 loses 0.04 dB of 4). Towards the ends the
    /// mean becomes narrower, so that it stays symmetric and a slope is not bent. Misleads at an angle of incidence other than that of the comparison, and where the reference's calibration is wrong.
    /// Source: substitution, see the class; smoothing is an own choice.
    /// </remarks>
    public TransferCalibration Calibration() => TransferCalibration.Of(this, _levels, Facts);
}

/// <summary>What a comparison knows besides its readings.</summary>
/// <param name="TestedCorrectionDbAt">The decibels that were added to the tested microphone's readings at a frequency in hertz.</param>
/// <param name="ReferenceStandardDb">Standard uncertainty of the reference's response in decibels, per grid point; NaN where nothing is stated.</param>
/// <param name="ReferenceFile">The reference's calibration file, or null.</param>
/// <param name="ReferenceCalibratedOn">Day of the reference's calibration, or null.</param>
/// <param name="MeasuredOn">Day of the comparison, or null.</param>
internal sealed record ComparisonFacts(
    Func<double, double> TestedCorrectionDbAt, Func<int, double> ReferenceStandardDb, string? ReferenceFile, DateOnly? ReferenceCalibratedOn, DateOnly? MeasuredOn)
{
    internal static ComparisonFacts None { get; } = new(_ => 0, _ => double.NaN, null, null, null);
}
