// SPDX-License-Identifier: MIT
namespace Sweepbook.Simulation;

/// <summary>One thing that a microphone does to the level: a resonance or a shelf.</summary>
internal enum ShapeKind
{
    Peak,
    LowShelf,
    HighShelf,
}

/// <summary>A resonance or a shelf of a microphone, with the gain at its centre or beyond its corner.</summary>
internal readonly record struct PlannedShape(ShapeKind Kind, double AtHz, double GainDb, double Q);

/// <summary>A measurement microphone: what it does, and what is known about it.</summary>
/// <param name="Id">Its name.</param>
/// <param name="HighPass">Its vent.</param>
/// <param name="RiseHz">Resonance of its capsule.</param>
/// <param name="RiseDb">Gain there.</param>
/// <param name="RiseQ">Its quality.</param>
/// <param name="CalibratedFromHz">Where its calibration file begins.</param>
/// <param name="CalibratedToHz">Where the file ends.</param>
/// <param name="CalibratedOn">Day of the file, or null.</param>
/// <param name="LowestHz">Lowest frequency of the data sheet, or null.</param>
/// <param name="HighestHz">Highest frequency of the data sheet, or null.</param>
/// <param name="ToleranceDb">Tolerance of the data sheet between these, or null.</param>
internal sealed record PlannedMicrophone(
    string Id, PlannedRollOff? HighPass, double? RiseHz, double RiseDb, double RiseQ,
    double CalibratedFromHz, double CalibratedToHz, DateOnly? CalibratedOn, double? LowestHz, double? HighestHz, double? ToleranceDb)
{
    /// <summary>What it did when it was calibrated, beside vent and capsule.</summary>
    public IReadOnlyList<PlannedShape> Shape { get; init; } = [];

    /// <summary>What its calibration file does not know of: it came later, or nobody wrote it down.</summary>
    public IReadOnlyList<PlannedShape> Since { get; init; } = [];

    /// <summary>False where no calibration file came with it.</summary>
    public bool IsCalibrated { get; init; } = true;

    /// <summary>Expanded uncertainty that its certificate states, or null.</summary>
    public double? CalibrationUncertaintyDb { get; init; }

    /// <summary>What its owner knows about it, a comment in survey.toml; empty where nothing.</summary>
    public string Note { get; init; } = "";

    /// <summary>True for the one that the others are compared with.</summary>
    public bool IsReference { get; init; }

    /// <summary>Highest level of the data sheet in dB re 20 µPa, or null.</summary>
    public double? MaxSplDb { get; init; }

    /// <summary>Self-noise of the data sheet in dB(A), or null.</summary>
    public double? NoiseDba { get; init; }

    /// <summary>White noise of its own as recorded; null: that of the plan's [noise].</summary>
    public double? SelfDbfs { get; init; }

    /// <summary>Reading at 94 dB and the planned input gain, 0 dBFS being a sine that just reaches full scale.</summary>
    public double SensitivityDbfs { get; init; }

    /// <summary>False for a microphone with a recorder of its own, which has no second input: nobody knows its time zero.</summary>
    public bool HasLoopback { get; init; } = true;

    /// <summary>True where it is one of several, whose takes carry its name.</summary>
    public bool IsListed { get; init; }
}

/// <summary>How microphones take turns at one place.</summary>
/// <param name="PlacementMm">How far a microphone that was set up anew stands from the place: standard deviation along each axis.</param>
/// <param name="ReferenceTakes">How often the reference is set up: first, between the others, and last.</param>
internal readonly record struct PlannedSubstitution(double PlacementMm, int ReferenceTakes);

/// <summary>A calibrator on the capsule of each microphone, one after the other.</summary>
/// <param name="LevelDb">Its level in dB re 20 µPa.</param>
/// <param name="FrequencyHz">Its frequency.</param>
/// <param name="LengthSeconds">How long it was recorded.</param>
internal sealed record PlannedCalibrator(double LevelDb, double FrequencyHz, double LengthSeconds);
