// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;

namespace Sweepbook.Tests.Studies;

/// <summary>A survey in a temporary folder, with takes made by convolving the stimulus with responses that the test knows.</summary>
internal sealed class SmallSurvey : IDisposable
{
    internal const int Rate = 48_000;
    internal const int LatencySamples = 777;
    private readonly List<string> _takes = [];

    internal SmallSurvey(string microphone = "", string top = "", string source = "", string seat = "")
    {
        Folder = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;
        Directory.CreateDirectory(Path.Combine(Folder, "stimuli"));
        Directory.CreateDirectory(Path.Combine(Folder, "takes"));
        (MicrophoneText, TopText, SourceText, SeatText) = (microphone, top, source, seat);
        Design.Write(Path.Combine(Folder, "stimuli", "full.toml"));
    }

    internal static Stimulus Design { get; } = Stimulus.From(new StimulusDescription
    {
        SampleRateHz = Rate,
        StartHz = 10,
        EndHz = 20_000,
        SweepSeconds = 3,
        LeadInSeconds = 0.5,
        TailSeconds = 0.8,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.002,
    });

    internal string Folder { get; }

    private string MicrophoneText { get; }

    private string TopText { get; }

    private string SourceText { get; }

    private string SeatText { get; }

    /// <summary>A take of a response given as (sample, value) pairs after the loopback, with white noise of a given root mean square.</summary>
    internal string Add(string name, (int Sample, double Value)[] response, double noise = 1e-5, string keys = "", ulong seed = 1, double loopback = 0.5, int rate = Rate, string source = "main", string seat = "sofa", double offset = 0)
    {
        var length = Design.Length;
        var impulse = new double[response.Max(entry => entry.Sample) + LatencySamples + 1];
        foreach (var (sample, value) in response) impulse[sample + LatencySamples] += value;
        var microphone = Signals.Convolved(Design.ToArray(), impulse, length);
        var hiss = Signals.Noise(length, seed);
        for (var n = 0; n < length; n++) microphone[n] = Math.Clamp(microphone[n] + offset + noise * hiss[n], -1, 1 - 1.0 / (1 << 23));
        var reference = new double[length];
        for (var n = 0; n < length; n++) reference[n] = Math.Clamp(offset + (n < LatencySamples ? 0 : loopback * Design[n - LatencySamples]), -1, 1 - 1.0 / (1 << 23));
        return Add(name, new Recording(rate, [microphone, reference]), keys, source, seat);
    }

    /// <summary>The same recording without an entry as a take.</summary>
    internal void WriteRecording(string name, (int Sample, double Value)[] response, double noise)
    {
        Add(name, response, noise);
        _takes.RemoveAt(_takes.Count - 1);
    }

    /// <summary>A take from a recording as it is.</summary>
    internal string Add(string name, Recording recording, string keys = "", string source = "main", string seat = "sofa")
    {
        WavFile.Write(Path.Combine(Folder, "takes", name), recording, WavEncoding.Integer24);
        return AddEntry(name, keys, source, seat);
    }

    /// <summary>A take of a plain gain, moved in time, as the recorder's start and stop would do it; both channels hold it.</summary>
    internal void AddMoved(string name, int lateSamples, int length, double noise = 1e-5, string keys = "")
    {
        var hiss = Signals.Noise(length, 3);
        var samples = Enumerable.Range(0, length).Select(n => noise * hiss[n] + (n + lateSamples >= 0 && n + lateSamples < Design.Length ? 0.25 * Design[n + lateSamples] : 0)).ToArray();
        Add(name, new Recording(Rate, [samples, samples]), keys);
    }

    /// <summary>An entry in the survey without writing its file.</summary>
    internal string AddEntry(string name, string keys = "", string source = "main", string seat = "sofa")
    {
        _takes.Add($"""

            [[take]]
            file = "takes/{name}"
            sources = ["{source}"]
            seat = "{seat}"
            {keys}
            """);
        return Path.Combine(Folder, "takes", name);
    }

    internal Survey Read()
    {
        File.WriteAllText(Path.Combine(Folder, "survey.toml"), $"""
            format = 1
            title = "Small"
            date = 2026-10-18
            {TopText}

            [[stimulus]]
            id = "full"
            file = "stimuli/full.toml"

            [[microphone]]
            id = "omni"
            {MicrophoneText}

            [[source]]
            id = "main"
            kind = "loudspeaker"
            {SourceText}

            [[source]]
            id = "sub"
            kind = "subwoofer"

            [[seat]]
            id = "sofa"
            {SeatText}

            [[seat]]
            id = "chair"

            [[setting]]
            id = "as-found"

            [take-defaults]
            microphone = "omni"
            stimulus = "full"
            setting = "as-found"
            microphone_channel = 1
            reference_channel = 2
            time_zero = "loopback"
            {string.Join("\n", _takes)}
            """);
        return Survey.Read(Folder);
    }

    internal void WriteCalibration(string text) => File.WriteAllText(Path.Combine(Folder, "omni.txt"), text);

    public void Dispose() => Directory.Delete(Folder, recursive: true);
}
