// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Trust;

namespace Sweepbook.Surveys;

/// <summary>Reads [[calibrator]], recordings of a calibrator's tone, with input gain, microphone and its channel taken from [take-defaults] where they are left open.</summary>
internal static class CalibratorReader
{
    private const double DefaultHz = 1000;
    private const double NominalWithinDb = 0.5;   // own choice: what a certificate states lies within that of what is printed on the device
    private static readonly double[] NominalDb = [94, 104, 114, 124];
    private static readonly TomlRange ToneHz = new(31.5, 16_000, "Hz");
    private static readonly TomlRange Level = new(40, 160, "dB");

    internal static IReadOnlyList<Take> Read(string folder, IReadOnlyList<Microphone> microphones, TomlTable root)
    {
        var takes = new List<Take>();
        foreach (var table in root.Tables("calibrator")) takes.Add(One(folder, microphones, root, table));
        if (takes.GroupBy(take => (take.Path, take.MicrophoneChannel)).FirstOrDefault(group => group.Count() > 1)?.ToList() is [var first, var second, ..])
            throw new DataFault(root.File, second.Line, $"channel {second.MicrophoneChannel} of {TomlTable.Shorten(second.File)} is a calibrator's recording twice, first on line {first.Line}", "Keep one of the two, or correct file or microphone_channel.");
        return takes;
    }

    private static Take One(string folder, IReadOnlyList<Microphone> microphones, TomlTable root, TomlTable own)
    {
        own.RefuseUnknownKeys("file", "microphone", "microphone_channel", "level_db", "frequency_hz", "input_gain_db");
        var table = root.Table("take-defaults") is { } defaults ? own.Over(defaults) : own;
        var file = own.Required("file");
        string[] known = [.. microphones.Select(item => item.Id)];
        var microphone = table.Text("microphone") ?? (known is [var only] ? only : throw own.Missing("microphone", known.Length == 0 ? "the id of a [[microphone]]" : $"one of {string.Join(", ", known.Take(8))}"));
        if (!known.Contains(microphone)) throw table.Fault("microphone", $"there is no microphone \"{TomlTable.Shorten(microphone)}\"", NearestName.Advice(microphone, known));
        var levelDb = own.Number("level_db", Level) ?? throw own.Missing("level_db", "94.0 or 114.0, as the calibrator says");
        if (!NominalDb.Any(nominal => Math.Abs(levelDb - nominal) <= NominalWithinDb))
            throw own.Fault("level_db", FormattableString.Invariant($"`level_db` is {levelDb}, but calibrators give 94 or 114 dB (a few 104 or 124)"),
                FormattableString.Invariant($"Write what is printed on the calibrator, or the value of its certificate, which lies within {NominalWithinDb} dB of that."));
        return new()
        {
            File = file,
            Path = PathInside.Resolve(folder, file, root.File, own.LineOf("file")),
            Sources = [],
            Seat = "",
            Setting = "",
            Microphone = microphone,
            MicrophoneChannel = table.Integer("microphone_channel", 1, TakeReader.MostChannels, "(channels are counted from 1)") ?? 1,
            TimeZero = TimeZero.Unknown,
            InputGainDb = table.Number("input_gain_db", new(-120, 120, "dB")),
            CalibratorLevelDb = levelDb,
            CalibratorHz = own.Number("frequency_hz", ToneHz) ?? DefaultHz,
            Line = own.Line,
        };
    }
}
