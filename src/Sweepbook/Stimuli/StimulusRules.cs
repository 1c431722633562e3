// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;

namespace Sweepbook.Stimuli;

/// <summary>What a description must fulfil, whoever wrote it. Each broken rule names the key of the TOML file.</summary>
internal static class StimulusRules
{
    /// <summary>Longer stimuli are refused: 2^24 samples are 5.8 minutes at 48 kHz and 128 MiB in memory.</summary>
    internal const int LongestSamples = 1 << 24;

    /// <summary>Closer to half the sample rate the converters' filters have already begun to fall.</summary>
    internal const double HighestEndPerSampleRate = 0.49;

    internal static readonly TomlRange Frequency = TomlRange.Above0UpTo(384_000, "Hz");
    internal static readonly TomlRange Sweep = new(0.05, 300, "s");
    internal static readonly TomlRange Silence = new(0, 60, "s");
    internal static readonly TomlRange Fade = new(0, 300, "s");
    internal static readonly TomlRange Level = new(-100, 0, "dBFS");
    internal static readonly TomlRange Instant = new(0, 600, "s");
    internal const int LowestRateHz = 1_000, HighestRateHz = 768_000, MostRepeats = 100, MostOutputs = 64;

    /// <summary>The first broken rule, or null.</summary>
    internal static (string Key, string Problem, string Remedy)? FirstBroken(StimulusDescription d)
    {
        if (d.SampleRateHz is < LowestRateHz or > HighestRateHz) return ("sample_rate_hz", $"`sample_rate_hz` must lie in [{LowestRateHz}, {HighestRateHz}] Hz, is {d.SampleRateHz}", "Common are 44100, 48000 and 96000.");
        if (Outside("start_hz", d.StartHz, Frequency) is { } start) return start;
        if (Outside("end_hz", d.EndHz, Frequency) is { } end) return end;
        if (Outside("sweep_s", d.SweepSeconds, Sweep) is { } sweep) return sweep;
        if (Outside("lead_in_s", d.LeadInSeconds, Silence) is { } leadIn) return leadIn;
        if (Outside("tail_s", d.TailSeconds, Silence) is { } tail) return tail;
        if (Outside("level_dbfs", d.LevelDbfs, Level) is { } level) return level;
        if (Outside("fade_in_s", d.FadeInSeconds, Fade) is { } fadeIn) return fadeIn;
        if (Outside("fade_out_s", d.FadeOutSeconds, Fade) is { } fadeOut) return fadeOut;
        if (d.Repeats is < 1 or > MostRepeats) return ("repeats", $"`repeats` must lie in [1, {MostRepeats}], is {d.Repeats}", "Correct the value.");
        if (d.StartHz >= d.EndHz) return ("end_hz", Text($"the sweep ends at {d.EndHz} Hz, not above its start at {d.StartHz} Hz"), "Sweeps run upward: exchange start_hz and end_hz.");
        if (d.EndHz > HighestEndPerSampleRate * d.SampleRateHz)
            return ("end_hz", Text($"the sweep ends at {d.EndHz} Hz; a sample rate of {d.SampleRateHz} Hz carries at most {HighestEndPerSampleRate * d.SampleRateHz:0.###} Hz (0.49 of it)"), "Lower end_hz or raise sample_rate_hz.");
        if (d.FadeInSeconds + d.FadeOutSeconds > d.SweepSeconds)
            return ("fade_in_s", Text($"the fades take {d.FadeInSeconds + d.FadeOutSeconds} s of a sweep of {d.SweepSeconds} s"), "Fades lie inside the sweep: shorten them or lengthen it.");
        var length = (d.LeadInSeconds + d.Repeats * (d.SweepSeconds + d.TailSeconds)) * d.SampleRateHz;
        if (length > LongestSamples) return ("sweep_s", Text($"the stimulus has {length:0} samples, more than {LongestSamples}"), "Shorten the sweep or lower the sample rate.");
        return Outputs(d) ?? Marker(d);
    }

    /// <summary>The first thing that is described rightly and cannot be used yet, as a sentence; or null.</summary>
    internal static (string Key, string Problem, string Remedy)? FirstUnsupported(StimulusDescription d) =>
        d.Kind != SweepKind.Exponential ? ("kind", $"a {d.Kind.ToString().ToLowerInvariant()} sweep is not supported yet", "Use kind = \"exponential\".")
        : d.Repeats > 1 ? ("repeats", $"a stimulus that repeats its sweep {d.Repeats} times is not supported yet", "Use repeats = 1 and record several takes: they are averaged.")
        : d.Marker is not null ? ("marker", "a marker is not supported yet", "Take [marker] out and use a loopback channel, or time_zero = \"unknown\".")
        : null;

    private static (string, string, string)? Outputs(StimulusDescription d)
    {
        foreach (var (name, channel) in d.DeviceOutputs)
            if (channel is < 1 or > MostOutputs) return ("device_outputs", $"the output \"{TomlTable.Shorten(name)}\" is channel {channel}; channels are counted from 1 to {MostOutputs}", "Correct the channel.");
        foreach (var (key, name) in new[] { ("loopback_output", d.LoopbackOutput), ("marker_output", d.MarkerOutput) })
            if (name is not null && !d.DeviceOutputs.ContainsKey(name))
                return (key, $"`{key}` names \"{TomlTable.Shorten(name)}\", which is not in device_outputs", NearestName.Advice(name, [.. d.DeviceOutputs.Keys]));
        if (d.LoopbackOutput is not null && d.LoopbackOutput == d.MarkerOutput) return ("marker_output", "the loopback and the marker share one output", "Give the marker an output of its own.");
        var shared = d.DeviceOutputs.GroupBy(output => output.Value).FirstOrDefault(group => group.Count() > 1);
        return shared is null ? null
            : ("device_outputs", $"channel {shared.Key} has several names: {string.Join(", ", shared.Select(output => TomlTable.Shorten(output.Key)))}", "Name each output once.");
    }

    private static (string, string, string)? Marker(StimulusDescription d)
    {
        if (d.Marker is not { } m) return d.MarkerOutput is null ? null : ("marker_output", "`marker_output` is given but there is no [marker] table", "Add the table or take the output out.");
        if (Outside("start_s", m.StartSeconds, Instant) is { } start) return start;
        if (Outside("length_s", m.LengthSeconds, Sweep) is { } length) return length;
        if (Outside("start_hz", m.StartHz, Frequency) is { } startHz) return startHz;
        if (Outside("end_hz", m.EndHz, Frequency) is { } endHz) return endHz;
        if (m.RepeatStartSeconds is { } again && Outside("repeat_start_s", again, Instant) is { } repeat) return repeat;
        if (m.StartHz >= m.EndHz) return ("marker", Text($"the marker ends at {m.EndHz} Hz, not above its start at {m.StartHz} Hz"), "Exchange the two.");
        if (m.EndHz > HighestEndPerSampleRate * d.SampleRateHz) return ("marker", Text($"the marker ends at {m.EndHz} Hz, above 0.49 of the sample rate"), "Lower its end_hz.");
        var total = d.LeadInSeconds + d.Repeats * (d.SweepSeconds + d.TailSeconds);
        var last = Math.Max(m.StartSeconds, m.RepeatStartSeconds ?? 0) + m.LengthSeconds;
        if (last > total) return ("marker", Text($"the marker ends at {last} s, the stimulus at {total} s"), "Let it begin earlier or lengthen the tail.");
        if (m.RepeatStartSeconds < m.StartSeconds + m.LengthSeconds) return ("marker", "the marker's repeat begins before the marker has ended", "Let repeat_start_s be later.");
        return null;
    }

    private static (string, string, string)? Outside(string key, double value, TomlRange range) =>
        range.Contains(value) ? null : (key, Text($"`{key}` must lie in {range}, is {value}"), "Correct the value");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
