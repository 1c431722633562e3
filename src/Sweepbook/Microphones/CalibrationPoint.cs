// SPDX-License-Identifier: MIT
namespace Sweepbook.Microphones;

/// <summary>One line of a calibration file.</summary>
/// <param name="FrequencyHz">Frequency in hertz, above zero.</param>
/// <param name="LevelDb">What the file says there, in decibels, with the file's own sign.</param>
/// <param name="PhaseDegrees">Phase in degrees, continuous over frequency; NaN where the file has none.</param>
public readonly record struct CalibrationPoint(double FrequencyHz, double LevelDb, double PhaseDegrees);
