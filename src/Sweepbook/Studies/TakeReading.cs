// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>A take's samples, read and checked against what the survey says about them.</summary>
/// <param name="Microphone">Samples of the microphone channel, full scale ±1.</param>
/// <param name="Reference">Samples of the loopback channel, or null where the survey names none.</param>
/// <param name="SampleRateHz">Sample rate in hertz.</param>
internal sealed record TakeReading(double[] Microphone, double[]? Reference, int SampleRateHz)
{
    private const double ClippedAboveRatio = 0.9999;   // one 16-bit step below full scale is 0.99997
    private const int FlatTop = 4;                     // equal samples in a row at the file's own maximum: clipped before the converter

    /// <summary>A channel that the survey calls another microphone, though it is the same to the last step; or null.</summary>
    internal int? SameAsChannel { get; private init; }

    /// <param name="take">The take to read.</param>
    /// <param name="stimulus">What it shall hold, or null.</param>
    /// <param name="otherChannels">Channels of the same file that the survey calls other microphones.</param>
    internal static TakeReading Of(Take take, Stimulus? stimulus, IReadOnlyList<int>? otherChannels = null)
    {
        var recording = WavFile.Read(take.Path, take.File);
        Channel(take, recording, take.MicrophoneChannel, "microphone_channel");
        if (take.ReferenceChannel is int reference) Channel(take, recording, reference, "reference_channel");
        if (stimulus is not null && recording.SampleRateHz != stimulus.SampleRateHz)
            throw new DataFault(take.File, null,
                $"recorded at {recording.SampleRateHz} Hz, but the stimulus was made for {stimulus.SampleRateHz} Hz{MixUp(recording.SampleRateHz, stimulus.SampleRateHz)}",
                "Set the recorder to the stimulus' rate and record again; sweepbook does not resample a take behind your back.");
        if (stimulus is not null && recording.Length < stimulus.SweepEnd)
            throw new DataFault(take.File, null,
                $"is {Seconds(recording.Length, recording.SampleRateHz)} s long, but the sweep alone ends after {Seconds(stimulus.SweepEnd, stimulus.SampleRateHz)} s",
                "The recording was stopped early or belongs to another stimulus; record again, and let the tail run out.");
        return new(recording.Channel(take.MicrophoneChannel),
            take.ReferenceChannel is int channel ? recording.Channel(channel) : null, recording.SampleRateHz)
        {
            SameAsChannel = Twin(recording, take.MicrophoneChannel, otherChannels ?? []),
        };
    }

    private static int? Twin(Recording recording, int own, IReadOnlyList<int> others)
    {
        foreach (var other in others)
            if (other >= 1 && other <= recording.ChannelCount && other != own && recording.ChannelSpan(own).SequenceEqual(recording.ChannelSpan(other)) && recording.ChannelSpan(own).IndexOfAnyExcept(0.0) >= 0)
                return other;
        return null;
    }

    /// <summary>The same without the converters' constant offset, which is what the silent lead-in averages to; cut off at the record's ends it would leak into the bass.</summary>
    internal TakeReading WithoutOffset(int silentSamples) =>
        this with { Microphone = Centred(Microphone, silentSamples), Reference = Reference is null ? null : Centred(Reference, silentSamples) };

    private static double[] Centred(double[] samples, int silentSamples)
    {
        var silence = samples.AsSpan(0, Math.Clamp(silentSamples, 0, samples.Length));
        var offset = 0.0;
        foreach (var sample in silence) offset += sample / silence.Length;
        return offset == 0 ? samples : [.. samples.Select(sample => sample - offset)];
    }

    internal double PeakDbfs => Decibels.FromAmplitude(Peak(Microphone));

    internal static double Peak(ReadOnlySpan<double> samples)
    {
        var peak = 0.0;
        foreach (var sample in samples) peak = Math.Max(peak, Math.Abs(sample));
        return peak;
    }

    internal static double RootMeanSquare(ReadOnlySpan<double> samples)
    {
        var (mean, sum) = (0.0, 0.0);
        foreach (var sample in samples) mean += sample / samples.Length;
        foreach (var sample in samples) sum += (sample - mean) * (sample - mean);   // an offset of the converter is neither sweep nor noise
        return Math.Sqrt(sum / Math.Max(1, samples.Length));
    }

    /// <summary>Indices of clipped samples: at full scale, or in a flat top of the file's own maximum.</summary>
    internal static List<int> ClippedSamples(ReadOnlySpan<double> samples)
    {
        var peak = Peak(samples);
        var clipped = new List<int>();
        var step = Step(samples);
        for (var n = 0; n < samples.Length;)
        {
            var end = n + 1;
            while (end < samples.Length && samples[end] == samples[n]) end++;
            var size = Math.Abs(samples[n]);
            if (size >= ClippedAboveRatio || (size == peak && peak > 0 && end - n >= FlatTop && IsCutOff(samples, n, end, step)))
                for (var k = n; k < end; k++) clipped.Add(k);
            n = end;
        }
        return clipped;
    }

    /// <summary>A cut top has steep sides; the top of a slow wave in coarse steps leaves its level one step at a time.</summary>
    private static bool IsCutOff(ReadOnlySpan<double> samples, int first, int end, double step)
    {
        const double SteepSteps = 8;   // noise of a few steps makes five equal samples at a crest now and then, but not that drop on both sides
        var size = Math.Abs(samples[first]);
        return (first == 0 || size - Math.Abs(samples[first - 1]) > SteepSteps * step) && (end == samples.Length || size - Math.Abs(samples[end]) > SteepSteps * step);
    }

    /// <summary>The smallest difference between neighbours: one step of the file's own resolution.</summary>
    internal static double Step(ReadOnlySpan<double> samples)
    {
        var step = double.PositiveInfinity;
        for (var n = 1; n < samples.Length; n++)
            if (samples[n] != samples[n - 1]) step = Math.Min(step, Math.Abs(samples[n] - samples[n - 1]));
        return step;
    }

    private static void Channel(Take take, Recording recording, int channel, string key)
    {
        if (channel < 1 || channel > recording.ChannelCount)
            throw new DataFault(take.File, null, $"has {Count(recording.ChannelCount)}, but {key} = {channel}",
                $"Channels are counted from 1; correct {key} in survey.toml (line {take.Line}), or record with more channels.");
    }

    private static string Count(int channels) => channels == 1 ? "1 channel" : $"{channels} channels";

    private static string MixUp(int one, int other) =>
        Math.Min(one, other) == 44100 && Math.Max(one, other) == 48000 ? " (a 44.1/48 kHz mix-up)" : "";

    private static string Seconds(int samples, int rate) => FormattableString.Invariant($"{(double)samples / rate:0.##}");
}
