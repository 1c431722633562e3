// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Tests.Studies;

/// <summary>An evening's recording: plays of a stimulus at known moments, talk and bangs between them, a recorder with a clock of its own.</summary>
internal sealed class LongRecording
{
    private const double BangAmplitude = 0.8;
    private readonly double[] _samples;
    private readonly int _rate;

    internal LongRecording(double seconds, double noise = 1e-4, ulong seed = 11, int rate = SmallSurvey.Rate)
    {
        (_samples, _rate) = (Signals.Noise((int)(seconds * rate), seed), rate);
        for (var n = 0; n < _samples.Length; n++) _samples[n] *= noise;
    }

    /// <summary>Plays the sweep so that it begins at a moment, through a response given as (sample, value) pairs.</summary>
    internal LongRecording Play(Stimulus stimulus, double atSeconds, params (int Sample, double Value)[] response)
    {
        var first = (long)(atSeconds * _rate) - stimulus.SweepStart;
        foreach (var (sample, value) in response.Length > 0 ? response : [(0, 0.2)])
            for (var n = 0; n < stimulus.Length; n++)
                if (first + sample + n is var at && at >= 0 && at < _samples.Length) _samples[at] += value * stimulus[n];
        return this;
    }

    /// <summary>Syllables: bursts of 60 to 300 ms of the first harmonics of a rising voice, as loud as the sweep.</summary>
    internal LongRecording Talk(double fromSeconds, double toSeconds, double amplitude = 0.1, int seed = 5)
    {
        var random = new Random(seed);   // fixed seed
        for (var at = fromSeconds; at < toSeconds;)
        {
            var (length, pitch) = (0.06 + 0.24 * random.NextDouble(), 90 + 120 * random.NextDouble());
            var phases = Enumerable.Range(0, 15).Select(_ => 2 * Math.PI * random.NextDouble()).ToArray();
            for (var n = 0; n < length * _rate && at * _rate + n < _samples.Length; n++)
            {
                var (t, sum) = (n / (double)_rate, 0.0);
                for (var k = 0; k < 15; k++) sum += Math.Sin(2 * Math.PI * pitch * (k + 1) * (t + 0.2 * t * t) + phases[k]) / (1 + k);
                _samples[(int)(at * _rate) + n] += amplitude * 0.3 * sum * Math.Sin(Math.PI * t / length);
            }
            at += length + 0.15 * random.NextDouble();
        }
        return this;
    }

    /// <summary>A door: a click that fades within 30 ms.</summary>
    internal LongRecording Bang(double atSeconds)
    {
        var hiss = Signals.Noise(_rate / 5, 17);
        for (var n = 0; n < hiss.Length; n++) _samples[(int)(atSeconds * _rate) + n] += BangAmplitude * 0.3 * hiss[n] * Math.Exp(-n / (0.03 * _rate));
        return this;
    }

    /// <summary>What a recorder writes whose clock is fast by so many parts per million.</summary>
    internal double[] RecordedAt(double clockFastPpm) => Resampling.ByPpm(_samples, 1e6 * (1 / (1 + clockFastPpm * 1e-6) - 1));

    /// <summary>The same as a file of one channel.</summary>
    internal string Write(string path, double clockFastPpm = 0, WavEncoding encoding = WavEncoding.Integer24)
    {
        var samples = RecordedAt(clockFastPpm);
        for (var n = 0; n < samples.Length; n++) samples[n] = Math.Clamp(samples[n], -1, 1 - 1.0 / (1 << 15));
        WavFile.Write(path, new Recording(_rate, [samples]), encoding);
        return path;
    }
}
