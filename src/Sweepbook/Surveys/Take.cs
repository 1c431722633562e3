// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Trust;

namespace Sweepbook.Surveys;

/// <summary>One recording of one stimulus: one or several sources, one setting, one seat, one microphone. Defaults are already filled in.</summary>
public sealed class Take
{
    /// <summary>The recording, relative to the survey folder.</summary>
    public required string File { get; init; }

    /// <summary>The recording, absolute. It need not exist: a missing recording is a fault of the take, not of the survey.</summary>
    public required string Path { get; init; }

    /// <summary>Ids of the sources that played together, in the order of the survey.</summary>
    public required IReadOnlyList<string> Sources { get; init; }

    /// <summary>The sources joined by "+".</summary>
    public string SourceName => string.Join('+', Sources);

    /// <summary>Id of the seat; empty for a near or free-field take that states none.</summary>
    public required string Seat { get; init; }

    /// <summary>Id of the setting.</summary>
    public required string Setting { get; init; }

    /// <summary>Id of the microphone.</summary>
    public required string Microphone { get; init; }

    /// <summary>Channel of the microphone in the recording, counted from 1.</summary>
    public int MicrophoneChannel { get; init; } = 1;

    /// <summary>Channel of the loopback in the recording, counted from 1; null where there is none.</summary>
    public int? ReferenceChannel { get; init; }

    /// <summary>Id of the stimulus; null where <see cref="IsImpulse"/>.</summary>
    public string? Stimulus { get; init; }

    /// <summary>How the take knows when the stimulus left.</summary>
    public TimeZero TimeZero { get; init; }

    /// <summary>Distance from the marker's loudspeaker to the microphone in metres, so that time zero is the moment the marker left; or null.</summary>
    public double? MarkerDistanceMetres { get; init; }

    /// <summary>By how much the recorder's clock is fast, in parts per million, where the survey states it; or null.</summary>
    public double? ClockPpm { get; init; }

    /// <summary>Takes of the same group, and only they, may be added as complex numbers.</summary>
    public TimeGroup TimeGroup { get; init; }

    /// <summary>What surrounded the microphone.</summary>
    public SoundField Field { get; init; }

    /// <summary>Distance between microphone and source in millimetres, for near and free field; or null.</summary>
    public double? DistanceMm { get; init; }

    /// <summary>Angle from the source's axis in degrees, for near and free field; or null.</summary>
    public double? AngleDeg { get; init; }

    /// <summary>Gain of the input in decibels, or null.</summary>
    public double? InputGainDb { get; init; }

    /// <summary>Drive relative to the other takes in decibels, or null.</summary>
    public double? DriveDb { get; init; }

    /// <summary>False where the survey sets the take aside.</summary>
    public bool Use { get; init; } = true;

    /// <summary>A remark; empty where there is none.</summary>
    public string Note { get; init; } = "";

    /// <summary>When it was recorded, as the clock on the wall showed it; or null.</summary>
    public DateTime? RecordedAt { get; init; }

    /// <summary>True where the file already is an impulse response, or a clap.</summary>
    public bool IsImpulse { get; init; }

    /// <summary>Where time zero lies in such a file, in seconds from its start; or null.</summary>
    public double? TimeZeroSeconds { get; init; }

    /// <summary>Level that the calibrator produced, in decibels re 20 µPa; null unless the take is one of <see cref="Survey.Calibrators"/>.</summary>
    public double? CalibratorLevelDb { get; init; }

    /// <summary>Frequency of the calibrator's tone in hertz; null unless the take is one of <see cref="Survey.Calibrators"/>.</summary>
    public double? CalibratorHz { get; init; }

    /// <summary>Number of the repeat in the file's name, or null.</summary>
    public int? Repeat { get; init; }

    /// <summary>Line of the survey that brought the take in: its own table, or the pattern.</summary>
    public int Line { get; init; }

    /// <summary>
    /// Equal for repeats: sources, setting, seat, microphone, channel, stimulus, field, distance and angle agree, and so do the drive and the
    /// input gain, because takes of different level are not repeats.
    /// </summary>
    public string RepeatKey => string.Create(CultureInfo.InvariantCulture,
        $"{SourceName}|{Setting}|{Seat}|{Microphone}|{MicrophoneChannel}|{Stimulus}|{TimeZero}|{Field}|{DistanceMm}|{AngleDeg}|{DriveDb}|{InputGainDb}|{IsImpulse}");
}
