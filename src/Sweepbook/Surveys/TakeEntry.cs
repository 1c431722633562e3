// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;
using Sweepbook.Trust;

namespace Sweepbook.Surveys;

/// <summary>A [[take]] that is going to be written: only what is stated; the rest comes from the survey.</summary>
internal sealed record TakeEntry
{
    /// <summary>The recording, relative to the survey folder.</summary>
    internal string File { get; init; } = "";

    /// <summary>Ids of the sources that played together.</summary>
    internal required IReadOnlyList<string> Sources { get; init; }

    /// <summary>Id of the seat, or null.</summary>
    internal string? Seat { get; init; }

    /// <summary>Id of the setting, or null.</summary>
    internal string? Setting { get; init; }

    /// <summary>Id of the microphone, or null.</summary>
    internal string? Microphone { get; init; }

    /// <summary>Id of the stimulus, or null.</summary>
    internal string? Stimulus { get; init; }

    /// <summary>Channel of the microphone counted from 1, or null.</summary>
    internal int? MicrophoneChannel { get; init; }

    /// <summary>Channel of the loopback counted from 1, or null.</summary>
    internal int? ReferenceChannel { get; init; }

    /// <summary>How time zero is known, or null.</summary>
    internal TimeZero? TimeZero { get; init; }

    /// <summary>Name of the time group, or null.</summary>
    internal string? TimeGroup { get; init; }

    /// <summary>What surrounded the microphone, or null.</summary>
    internal SoundField? Field { get; init; }

    /// <summary>Distance to the source in millimetres, or null.</summary>
    internal double? DistanceMm { get; init; }

    /// <summary>Angle from the source's axis in degrees, or null.</summary>
    internal double? AngleDeg { get; init; }

    /// <summary>By how much the recorder's clock was fast, in parts per million, or null.</summary>
    internal double? ClockPpm { get; init; }

    /// <summary>True for an impulse response.</summary>
    internal bool IsImpulse { get; init; }

    /// <summary>Where time zero lies in an impulse response, in seconds from its start, or null.</summary>
    internal double? TimeZeroSeconds { get; init; }

    /// <summary>A remark, or empty.</summary>
    internal string Note { get; init; } = "";

    /// <summary>The table as TOML, lines ended by LF.</summary>
    internal string ToToml()
    {
        var text = new StringBuilder("[[take]]\n");
        Line("file", TomlText.Quoted(File));
        Line("sources", $"[{string.Join(", ", Sources.Select(TomlText.Quoted))}]");
        Words("seat", Seat);
        Words("setting", Setting);
        Words("microphone", Microphone);
        Words("stimulus", Stimulus);
        if (MicrophoneChannel is int microphone) Line("microphone_channel", microphone.ToString(CultureInfo.InvariantCulture));
        if (ReferenceChannel is int reference) Line("reference_channel", reference.ToString(CultureInfo.InvariantCulture));
        Words("time_zero", TimeZero?.ToString().ToLowerInvariant());
        Words("time_group", TimeGroup);
        Words("field", Field?.ToString().ToLowerInvariant());
        Number("distance_mm", DistanceMm);
        Number("angle_deg", AngleDeg);
        Number("clock_ppm", ClockPpm);
        if (IsImpulse) Line("impulse", "true");
        Number("time_zero_s", TimeZeroSeconds);
        Words("note", Note.Length > 0 ? Note : null);
        return text.ToString();

        void Line(string key, string value) => text.Append(key).Append(" = ").Append(value).Append('\n');
        void Words(string key, string? value)
        {
            if (value is not null) Line(key, TomlText.Quoted(value));
        }

        void Number(string key, double? value)
        {
            if (value is { } number) Line(key, number.ToString("0.0###############", CultureInfo.InvariantCulture));
        }
    }
}
