// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Trust;

namespace Sweepbook.Surveys;

/// <summary>Reads [input-check], the recording of one signal in both inputs, with what it leaves open taken from [take-defaults].</summary>
internal static class InputCheckReader
{
    internal static Take? Read(string folder, IReadOnlyList<StimulusFile> stimuli, TomlTable root)
    {
        if (root.Table("input-check") is not { } own) return null;
        own.RefuseUnknownKeys("file", "stimulus", "microphone_channel", "reference_channel");
        var table = root.Table("take-defaults") is { } defaults ? own.Over(defaults) : own;
        var file = own.Required("file");
        var (channel, reference) = (table.Integer("microphone_channel", 1, TakeReader.MostChannels, "(channels are counted from 1)") ?? 1, table.Integer("reference_channel", 1, TakeReader.MostChannels, "(channels are counted from 1)"));
        if (reference is null) throw own.Missing("reference_channel", "the channel that the loopback is recorded on, for example 2");
        if (reference == channel) throw own.Fault("reference_channel", $"microphone and loopback are both said to be channel {channel}", "An input check compares two inputs: correct one of the two.");
        string[] known = [.. stimuli.Select(item => item.Id)];
        var stimulus = table.Text("stimulus") ?? (known is [var only] ? only : throw own.Missing("stimulus", known.Length == 0 ? "the id of a [[stimulus]]" : $"one of {string.Join(", ", known.Take(8))}"));
        if (!known.Contains(stimulus)) throw table.Fault("stimulus", $"there is no stimulus \"{TomlTable.Shorten(stimulus)}\"", NearestName.Advice(stimulus, known));
        return new()
        {
            File = file,
            Path = PathInside.Resolve(folder, file, root.File, own.LineOf("file")),
            Sources = [],
            Seat = "",
            Setting = "",
            Microphone = "",
            MicrophoneChannel = channel,
            ReferenceChannel = reference,
            Stimulus = stimulus,
            TimeZero = TimeZero.Loopback,
            Line = own.Line,
        };
    }
}
