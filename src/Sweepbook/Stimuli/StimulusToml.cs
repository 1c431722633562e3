// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Sweepbook.Files;

namespace Sweepbook.Stimuli;

/// <summary>A stimulus description from and to TOML; the keys are those of the design.</summary>
internal static class StimulusToml
{
    internal static StimulusDescription Read(TomlTable table)
    {
        table.RefuseUnknownKeys("file", "sha256", "kind", "sample_rate_hz", "start_hz", "end_hz", "sweep_s", "lead_in_s", "tail_s", "level_dbfs",
            "fade_in_s", "fade_out_s", "repeats", "device_outputs", "loopback_output", "marker_output", "marker");
        var marker = table.Table("marker");
        var description = new StimulusDescription
        {
            File = table.Required("file"),
            Sha256 = Sha256(table),
            Kind = table.Choice<SweepKind>("kind", ("exponential", SweepKind.Exponential), ("synchronised", SweepKind.Synchronised), ("linear", SweepKind.Linear)) ?? SweepKind.Exponential,
            SampleRateHz = table.Integer("sample_rate_hz", StimulusRules.LowestRateHz, StimulusRules.HighestRateHz, "Hz") ?? throw table.Missing("sample_rate_hz", "the sample rate of the WAV, for example 48000"),
            StartHz = table.Number("start_hz", StimulusRules.Frequency) ?? throw table.Missing("start_hz", "the first frequency, for example 10.0"),
            EndHz = table.Number("end_hz", StimulusRules.Frequency) ?? throw table.Missing("end_hz", "the last frequency, for example 22000.0"),
            SweepSeconds = table.Number("sweep_s", StimulusRules.Sweep) ?? throw table.Missing("sweep_s", "the length of the sweep in seconds"),
            LeadInSeconds = table.Number("lead_in_s", StimulusRules.Silence) ?? throw table.Missing("lead_in_s", "the silence before the sweep in seconds"),
            TailSeconds = table.Number("tail_s", StimulusRules.Silence) ?? throw table.Missing("tail_s", "the silence after the sweep in seconds"),
            LevelDbfs = table.Number("level_dbfs", StimulusRules.Level) ?? throw table.Missing("level_dbfs", "the peak level of the sweep, for example -12.0"),
            FadeInSeconds = table.Number("fade_in_s", StimulusRules.Fade) ?? 0,
            FadeOutSeconds = table.Number("fade_out_s", StimulusRules.Fade) ?? 0,
            Repeats = table.Integer("repeats", 1, StimulusRules.MostRepeats) ?? 1,
            DeviceOutputs = Outputs(table.Table("device_outputs")),
            LoopbackOutput = table.Text("loopback_output"),
            MarkerOutput = table.Text("marker_output"),
            Marker = marker is null ? null : Marker(marker),
        };
        if (StimulusRules.FirstBroken(description) is { } broken) throw table.Fault(broken.Key, broken.Problem, broken.Remedy);
        return description;
    }

    internal static string Write(StimulusDescription d)
    {
        var text = new StringBuilder("# What was played. The WAV beside this file holds the exact samples.\n");
        if (d.File is not null) Line($"file = {Quoted(d.File)}");
        if (d.Sha256 is not null) Line($"sha256 = {Quoted(d.Sha256)}");
        Line($"kind = {Quoted(d.Kind.ToString().ToLowerInvariant())}");
        Line($"sample_rate_hz = {d.SampleRateHz}");
        Line($"start_hz = {Number(d.StartHz)}");
        Line($"end_hz = {Number(d.EndHz)}");
        Line($"sweep_s = {Number(d.SweepSeconds)}");
        Line($"lead_in_s = {Number(d.LeadInSeconds)}");
        Line($"tail_s = {Number(d.TailSeconds)}");
        Line($"level_dbfs = {Number(d.LevelDbfs)}");
        Line($"fade_in_s = {Number(d.FadeInSeconds)}");
        Line($"fade_out_s = {Number(d.FadeOutSeconds)}");
        Line($"repeats = {d.Repeats}");
        if (d.LoopbackOutput is not null) Line($"loopback_output = {Quoted(d.LoopbackOutput)}");
        if (d.MarkerOutput is not null) Line($"marker_output = {Quoted(d.MarkerOutput)}");
        if (d.DeviceOutputs.Count > 0)
        {
            Line($"\n[device_outputs]   # name = channel of the interface, counted from 1");
            foreach (var (name, channel) in d.DeviceOutputs.OrderBy(output => output.Value).ThenBy(output => output.Key, StringComparer.Ordinal)) Line($"{Quoted(name)} = {channel}");
        }
        if (d.Marker is { } m)
        {
            Line($"\n[marker]");
            Line($"start_s = {Number(m.StartSeconds)}");
            Line($"length_s = {Number(m.LengthSeconds)}");
            Line($"start_hz = {Number(m.StartHz)}");
            Line($"end_hz = {Number(m.EndHz)}");
            if (m.RepeatStartSeconds is { } again) Line($"repeat_start_s = {Number(again)}");
        }
        return text.ToString();

        void Line(FormattableString line) => text.Append(line.ToString(CultureInfo.InvariantCulture)).Append('\n');
    }

    private static MarkerDescription Marker(TomlTable marker)
    {
        marker.RefuseUnknownKeys("start_s", "length_s", "start_hz", "end_hz", "repeat_start_s");
        return new(
            marker.Number("start_s", StimulusRules.Instant) ?? throw marker.Missing("start_s", "where the marker begins, in seconds"),
            marker.Number("length_s", StimulusRules.Sweep) ?? throw marker.Missing("length_s", "how long it lasts, in seconds"),
            marker.Number("start_hz", StimulusRules.Frequency) ?? throw marker.Missing("start_hz", "its first frequency"),
            marker.Number("end_hz", StimulusRules.Frequency) ?? throw marker.Missing("end_hz", "its last frequency"),
            marker.Number("repeat_start_s", StimulusRules.Instant));
    }

    private static Dictionary<string, int> Outputs(TomlTable? table)
    {
        var outputs = new Dictionary<string, int>(StringComparer.Ordinal);
        if (table is null) return outputs;
        if (table.Keys.Count > StimulusRules.MostOutputs) throw new DataFault(table.File, table.Line, $"{table.Keys.Count} outputs are named", $"Name at most {StimulusRules.MostOutputs}.");
        foreach (var name in table.Keys) outputs.Add(name, table.Integer(name, 1, StimulusRules.MostOutputs, "(channels are counted from 1)")!.Value);
        return outputs;
    }

    private static string? Sha256(TomlTable table)
    {
        if (table.Text("sha256") is not { } text) return null;
        return text.Length == 64 && text.All(char.IsAsciiHexDigit)
            ? text.ToLowerInvariant()
            : throw table.Fault("sha256", "`sha256` must have 64 hexadecimal digits", "Copy the whole sum of the WAV file.");
    }

    private static string Number(double value) => value.ToString("0.0################", CultureInfo.InvariantCulture) is var text
        && double.Parse(text, CultureInfo.InvariantCulture) == value ? text : value.ToString("R", CultureInfo.InvariantCulture);

    private static string Quoted(string text) => TomlText.Quoted(text);
}
