// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>Whose limit it is.</summary>
internal enum RangeLimit
{
    /// <summary>No limit: the readings serve.</summary>
    None,

    /// <summary>The microphone's: another take changes nothing.</summary>
    Microphone,

    /// <summary>Nobody's: nothing is known about the microphone there.</summary>
    Unknown,

    /// <summary>The measurement's: another take may show more.</summary>
    Measurement,
}

/// <summary>What is stated about a microphone: its calibration file and its data sheet.</summary>
internal sealed record StatedRange
{
    internal double? CalibrationFromHz { get; init; }

    internal double? CalibrationToHz { get; init; }

    /// <summary>Standard uncertainty of the calibration in decibels.</summary>
    internal double CalibrationStandardDb { get; init; }

    internal double? LowestHz { get; init; }

    internal double? HighestHz { get; init; }

    internal double? ToleranceDb { get; init; }

    /// <summary>Age of the calibration when the survey was made, in years; NaN where it is not known.</summary>
    internal double CalibrationYears { get; init; } = double.NaN;

    internal bool HasCalibration => CalibrationFromHz is not null;

    internal bool HasDataSheet => LowestHz is not null || HighestHz is not null || ToleranceDb is not null;

    /// <summary>The frequencies that a person would write at the end of a band.</summary>
    internal IEnumerable<double> EndsHz => new[] { CalibrationFromHz, CalibrationToHz, LowestHz, HighestHz }.OfType<double>();
}

/// <summary>Everything that a range is made from, on one grid.</summary>
internal sealed record RangeEvidence(string Microphone, LogGrid Grid, StatedRange Stated)
{
    /// <summary>Where the takes show anything, the best of them deciding.</summary>
    internal required TrustMask Shown { get; init; }

    /// <summary>± decibels of the best take, 95 %; NaN where nothing was shown.</summary>
    internal required double[] RepeatabilityDb { get; init; }

    /// <summary>Third octaves against the reference; empty where no reference took the same take.</summary>
    internal IReadOnlyList<BandDeviation> Deviations { get; init; } = [];

    /// <summary>Name of the reference.</summary>
    internal string Reference { get; init; } = "";

    /// <summary>Standard uncertainty of the reference itself, in decibels; empty where there is none.</summary>
    internal double[] ReferenceStandardDb { get; init; } = [];
}
