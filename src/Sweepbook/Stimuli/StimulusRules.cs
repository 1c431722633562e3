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

    /// <summary>The least stretch before the sweep that a marker must leave silent: the noise is measured there.</summary>
    internal const double ShortestSilenceSeconds = 0.25;

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
        if (d.Kind == SweepKind.Synchronised && IsTooShortToSynchronise(d))
            return ("sweep_s", Text($"a sweep from {d.StartHz} Hz in {d.SweepSeconds} s is too short for its harmonics to be kept in phase"), "Lengthen the sweep, or use kind = \"exponential\".");
        if (d.FadeInSeconds + d.FadeOutSeconds > d.SweepSeconds)
            return ("fade_in_s", Text($"the fades take {d.FadeInSeconds + d.FadeOutSeconds} s of a sweep of {d.SweepSeconds} s"), "Fades lie inside the sweep: shorten them or lengthen it.");
        var length = (d.LeadInSeconds + d.Repeats * (d.SweepSeconds + d.TailSeconds)) * d.SampleRateHz;
        if (length > LongestSamples) return ("sweep_s", Text($"the stimulus has {length:0} samples, more than {LongestSamples}"), "Shorten the sweep or lower the sample rate.");
        return Outputs(d) ?? Marker(d);
    }

    /// <summary>The first thing that is described rightly and cannot be used yet, as a sentence; or null.</summary>
    internal static (string Key, string Problem, string Remedy)? FirstUnsupported(StimulusDescription d) =>
        d.Repeats > 1 ? ("repeats", $"a stimulus that repeats its sweep {d.Repeats} times is not supported yet", "Use repeats = 1 and record several takes: they are averaged.")
        : null;

    /// <summary>The same with what follows from it: the length that a synchronised sweep takes, and the outputs of a marker that has none.</summary>
    internal static StimulusDescription Completed(StimulusDescription d)
    {
        var fits = d.Kind == SweepKind.Synchronised && Frequency.Contains(d.StartHz) && d.EndHz > d.StartHz && Sweep.Contains(d.SweepSeconds) && !IsTooShortToSynchronise(d);
        return d with
        {
            SweepSeconds = fits ? d.Law.Seconds : d.SweepSeconds,
            DeviceOutputs = d.Marker is not null && d.DeviceOutputs.Count == 0 ? StimulusChannels.UsualOutputs : d.DeviceOutputs,
            MarkerOutput = d.Marker is not null && d.DeviceOutputs.Count == 0 ? d.MarkerOutput ?? StimulusChannels.UsualMarkerOutput : d.MarkerOutput,
        };
    }

    /// <summary>f₁L would be rounded to zero cycles.</summary>
    private static bool IsTooShortToSynchronise(StimulusDescription d) => d.StartHz * d.SweepSeconds / Math.Log(d.EndHz / d.StartHz) < 0.5;

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
        if (d.DeviceOutputs.Count > 0 && d.MarkerOutput is null) return ("marker", "the marker has no output of its own", "Name one in device_outputs and say marker_output: a second loudspeaker plays it.");
        if (d.DeviceOutputs.Count == 1) return ("marker", "the marker's is the only output, and the sweep has none", "Name the sweep's output in device_outputs as well.");
        if (d.DeviceOutputs.Values.Any(channel => channel > Recording.MostChannels))
            return ("device_outputs", $"a stimulus with a marker has one channel for each output, and a WAV file has at most {Recording.MostChannels} here", "Name outputs with lower numbers.");
        var (end, sweepEnd) = (m.StartSeconds + m.LengthSeconds, total - d.TailSeconds);
        if (end > d.LeadInSeconds) return ("marker", Text($"the marker ends at {end} s and the sweep begins at {d.LeadInSeconds} s: they would be heard together"), "Let the marker begin earlier or lengthen lead_in_s.");
        if (m.RepeatStartSeconds < sweepEnd) return ("marker", Text($"the marker's repeat begins at {m.RepeatStartSeconds} s and the sweep ends at {sweepEnd} s: they would be heard together"), "Let repeat_start_s be later, after the room has decayed.");
        if (Math.Max(m.StartSeconds, d.LeadInSeconds - end) < ShortestSilenceSeconds)
            return ("marker", Text($"the marker leaves no {ShortestSilenceSeconds} s of silence before the sweep, and the noise is measured there"), "Lengthen lead_in_s.");
        return null;
    }

    private static (string, string, string)? Outside(string key, double value, TomlRange range) =>
        range.Contains(value) ? null : (key, Text($"`{key}` must lie in {range}, is {value}"), "Correct the value");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
