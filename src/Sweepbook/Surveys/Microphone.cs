// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Surveys;

/// <summary>A calibration file of a microphone, for one angle of incidence where that is stated.</summary>
public sealed record CalibrationFile
{
    /// <summary>The file, relative to the survey folder.</summary>
    public required string File { get; init; }

    /// <summary>The file, absolute.</summary>
    public required string Path { get; init; }

    /// <summary>Angle of incidence in degrees, 0 on axis; null where the survey states none.</summary>
    public double? AngleDeg { get; init; }

    /// <summary>Where the survey names it, counted from 1.</summary>
    public int Line { get; init; }
}

/// <summary>A measurement microphone: its calibration and what its data sheet promises.</summary>
public sealed class Microphone
{
    /// <summary>Its name in files and tables.</summary>
    public required string Id { get; init; }

    /// <summary>Calibration files, one per angle; empty where there is none.</summary>
    public IReadOnlyList<CalibrationFile> Calibrations { get; init; } = [];

    /// <summary>What the files state.</summary>
    public CalibrationSign CalibrationSign { get; init; } = CalibrationSign.Response;

    /// <summary>True where the phase that the calibration's levels imply as a minimum phase is taken out, whatever the file states.</summary>
    public bool IsCalibrationPhaseMinimum { get; init; }

    /// <summary>Lowest frequency of the data sheet in hertz, or null.</summary>
    public double? LowestHz { get; init; }

    /// <summary>Highest frequency of the data sheet in hertz, or null.</summary>
    public double? HighestHz { get; init; }

    /// <summary>Tolerance of the data sheet between those, ± decibels, or null.</summary>
    public double? ToleranceDb { get; init; }

    /// <summary>Highest sound pressure level it takes, in decibels re 20 µPa, or null.</summary>
    public double? MaxSplDb { get; init; }

    /// <summary>Day of the calibration, or null.</summary>
    public DateOnly? CalibratedOn { get; init; }

    /// <summary>Expanded uncertainty of the calibration as its certificate states it (± decibels, coverage factor 2), or null.</summary>
    public double? CalibrationUncertaintyDb { get; init; }

    /// <summary>Reading in dBFS at 94 dB re 20 µPa, valid for <see cref="InputGainDb"/> only; or null.</summary>
    public double? SensitivityDbfsAt94Db { get; init; }

    /// <summary>Input gain in decibels at which the sensitivity holds, or null.</summary>
    public double? InputGainDb { get; init; }

    /// <summary>Self-noise of the data sheet in dB(A), or null.</summary>
    public double? NoiseDba { get; init; }

    /// <summary>True for the microphone that others are compared with.</summary>
    public bool IsReference { get; init; }

    /// <summary>Where the survey declares it, counted from 1.</summary>
    public int Line { get; init; }
}
