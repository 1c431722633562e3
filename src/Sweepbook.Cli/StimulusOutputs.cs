// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Stimuli;

namespace Sweepbook.Cli;

/// <summary>Options that say which channel of the interface plays what.</summary>
internal sealed class StimulusOutputs
{
    private const string SweepName = StimulusChannels.UsualSweepOutput, MarkerName = StimulusChannels.UsualMarkerOutput, LoopbackName = StimulusChannels.UsualLoopbackOutput;

    public Option<int?> Sweep { get; } = NumberOption.Channel("--sweep-output", "Output of the interface that plays the sweep; 1 unless said. The WAV then has a channel for each output.");

    public Option<int?> Marker { get; } = NumberOption.Channel("--marker-output", "Output that plays the marker; 2 unless said.");

    public Option<int?> Loopback { get; } = NumberOption.Channel("--loopback-output", "Output that is wired back into an input; it gets the sweep as well.");

    /// <summary>Every output gets its channel where one was asked for.</summary>
    public StimulusLayout Layout(ParseResult parsed) => AnyGiven(parsed) ? StimulusLayout.EveryOutput : StimulusLayout.Shortest;

    /// <summary>Outputs by name, or null where none was asked for.</summary>
    public IReadOnlyDictionary<string, int>? Given(ParseResult parsed, bool isMarked)
    {
        if (!AnyGiven(parsed)) return null;
        var outputs = new Dictionary<string, int> { [SweepName] = parsed.GetValue(Sweep) ?? 1 };
        if (isMarked) outputs[MarkerName] = parsed.GetValue(Marker) ?? 2;
        if (parsed.GetValue(Loopback) is { } loopback) outputs[LoopbackName] = loopback;
        return outputs;
    }

    /// <summary>A description with these outputs.</summary>
    public static StimulusDescription Named(StimulusDescription description, IReadOnlyDictionary<string, int> outputs) => description with
    {
        DeviceOutputs = outputs,
        MarkerOutput = outputs.ContainsKey(MarkerName) ? MarkerName : null,
        LoopbackOutput = outputs.ContainsKey(LoopbackName) ? LoopbackName : null,
    };

    private bool AnyGiven(ParseResult parsed) => parsed.GetValue(Sweep) is not null || parsed.GetValue(Marker) is not null || parsed.GetValue(Loopback) is not null;
}
