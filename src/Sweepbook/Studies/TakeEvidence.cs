// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>What the detectors of faults look at: a take's samples and what dividing them by the stimulus gives. Each part is computed when first wanted.</summary>
/// <remarks>
/// The remainder is the microphone channel without what a linear, unchanging path from the stimulus explains: noise, distortion, and whatever happened
/// in the room or in the recorder while the sweep played. Source: derived from the linearity of the division.
/// </remarks>
internal sealed class TakeEvidence
{
    private const double LongestPathSeconds = 0.35;  // own choice: a longer path would take noise for the room's late sound and explain it away
    private const double LeftPeriods = 2.5;          // of the lowest frequency: the band limit's ringing before the peak
    private const double HarmonicLeadPart = 0.55;    // of the second harmonic's lead (fact sheet 5.2): the slope before the flat part ends short of it
    private readonly Deconvolution _plan;
    private readonly SweepLaw _law;
    private readonly Lazy<ImpulseResponse> _path;
    private readonly Lazy<ImpulseResponse?> _referencePath;
    private readonly Lazy<double[]> _remainder;
    private readonly Lazy<ClearBands> _bands;
    private readonly Lazy<int> _sound;
    private readonly Lazy<double> _sweep;
    private readonly Lazy<double> _step;
    private readonly Lazy<LoopbackTrack?> _track;
    private readonly Lazy<double> _leak;
    private readonly Lazy<MarkerTimes> _markers;

    /// <param name="stimulus">What was played.</param>
    /// <param name="raw">The take as it stands in the file.</param>
    /// <param name="reading">The same without the converters' offset.</param>
    /// <param name="plan">Division by the stimulus, for takes of this length.</param>
    /// <param name="byStimulus">The microphone channel divided by the stimulus, where that was done already.</param>
    internal TakeEvidence(Stimulus stimulus, TakeReading raw, TakeReading reading, Deconvolution plan, ImpulseResponse? byStimulus = null)
    {
        (Stimulus, Raw, Reading, _plan, _law) = (stimulus, raw, reading, plan, stimulus.Description.Law);
        _path = new(() => byStimulus ?? _plan.Of(Reading.Microphone));
        _referencePath = new(() => Reading.Reference is { } reference ? _plan.Of(reference) : null);
        _remainder = new(() => WithoutPath(Reading.Microphone, Path, Strongest(Path)));
        _bands = new(() => new ClearBands(this));
        _step = new(() => TakeReading.Step(Raw.Microphone));
        _track = new(() => Raw.Reference is null ? null : new LoopbackTrack(this));
        _leak = new(() => ReferencePath is { } reference ? ChannelFaults.LeakIntoLoopbackDb(Path, reference, ChannelFaults.WirePulseSeconds(this)) : double.NegativeInfinity);
        _markers = new(() => new MarkerTimes(Stimulus, (double)SoundSamples / SampleRateHz));
        _sound = new(() => Strongest(Path) - Origin(Path));
        _sweep = new(() => Sounding is var (first, end) ? TakeReading.RootMeanSquare(Reading.Microphone.AsSpan(first, end - first)) : 0);
    }

    internal Stimulus Stimulus { get; }

    internal TakeReading Raw { get; }

    /// <summary>The take without the converters' offset.</summary>
    internal TakeReading Reading { get; }

    internal Deconvolution Plan => _plan;

    internal int SampleRateHz => Raw.SampleRateHz;

    /// <summary>The microphone channel divided by the stimulus.</summary>
    internal ImpulseResponse Path => _path.Value;

    /// <summary>The loopback channel divided by the stimulus, or null.</summary>
    internal ImpulseResponse? ReferencePath => _referencePath.Value;

    /// <summary>The smallest step of the microphone channel.</summary>
    internal double Step => _step.Value;

    internal LoopbackTrack? Track => _track.Value;

    /// <summary>Level of the room in the loopback channel over its own pulse, in decibels; −∞ where there is none to be seen.</summary>
    internal double LeakDb => _leak.Value;

    internal double[] Remainder => _remainder.Value;

    internal ClearBands Bands => _bands.Value;

    /// <summary>When the strongest sound of the path arrives, in samples after it stands in the stimulus file; latency included.</summary>
    internal int SoundSamples => _sound.Value;

    internal int? ReferenceSamples => ReferencePath is { } path ? Strongest(path) - Origin(path) : null;

    /// <summary>First and last sample of the take at which the sweep sounds, cut to the record.</summary>
    internal (int First, int End) Sounding
    {
        get
        {
            var length = Raw.Microphone.Length;
            return (Math.Clamp(Stimulus.SweepStart + SoundSamples, 0, length), Math.Clamp(Stimulus.SweepEnd + SoundSamples, 0, length));
        }
    }

    /// <summary>When the markers sound in this take.</summary>
    internal MarkerTimes Markers => _markers.Value;

    /// <summary>Root mean square of the microphone channel while the sweep sounds.</summary>
    internal double SweepRatio => _sweep.Value;

    /// <summary>Frequency of the sweep at a sample of a channel that hears it so many samples late, in hertz.</summary>
    internal double FrequencyAt(double sample, double lateSamples) => _law.FrequencyHzAt((sample - lateSamples - Stimulus.SweepStart) / SampleRateHz);

    internal static int Strongest(ImpulseResponse path)
    {
        var best = 0;
        for (var n = 1; n < path.Length; n++)
            if (Math.Abs(path.Samples[n]) > Math.Abs(path.Samples[best])) best = n;
        return best;
    }

    internal static int Origin(ImpulseResponse path) => (int)Math.Round(path.TimeZeroSamples);

    /// <summary>How far before and after its strongest sample a path is kept, and the slope outside, in samples.</summary>
    internal (int Left, int Right, int Slope) Kept
    {
        get
        {
            var left = (int)(SampleRateHz * Math.Min(LeftPeriods / _plan.ExcitedFromHz, HarmonicLeadPart * _law.LeadSecondsOf(2)));
            return (left, (int)(LongestPathSeconds * SampleRateHz), Math.Max(1, left / 2));
        }
    }

    /// <summary>Samples less what the path, cut round one of its samples, makes of the sweep.</summary>
    internal double[] WithoutPath(double[] samples, ImpulseResponse path, int strongest)
    {
        var (left, right, slope) = Kept;
        var (first, end) = (Math.Max(0, strongest - left - slope), Math.Min(path.Length, strongest + right + slope));
        var kept = path.Samples[first..end].ToArray();
        for (var n = 0; n < Math.Min(slope, kept.Length); n++)
        {
            var weight = 0.5 - 0.5 * Math.Cos(Math.PI * (n + 0.5) / slope);
            if (first > 0) kept[n] *= weight;
            if (end < path.Length) kept[^(n + 1)] *= weight;
        }
        var sweep = Stimulus.Samples[Stimulus.SweepStart..Stimulus.SweepEnd];
        var explained = Convolution.Linear(sweep, kept);
        var remainder = (double[])samples.Clone();
        var offset = Stimulus.SweepStart + first - Origin(path);
        for (var n = Math.Max(0, -offset); n < explained.Length && n + offset < remainder.Length; n++) remainder[n + offset] -= explained[n];
        return remainder;
    }
}
