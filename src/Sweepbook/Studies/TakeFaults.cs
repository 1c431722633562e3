// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Everything that can be wrong with a take that holds its sweep, each with its remedy; those that cost the take first.</summary>
/// <remarks>A false alarm on a good take is worse than a mild fault that is missed: every detector stays silent where it cannot know. Source: own definition.</remarks>
internal static class TakeFaults
{
    private const double LowPeakDbfs = -50;       // common practice, no source: below it a 16-bit recording has less than 46 dB left
    private const double HumOverSweepDb = -30;    // a line that strong stands within 10 dB of the response in its own narrow place
    private const double RidingDb = 3;            // a loopback through two converters is flat within 0.5 dB from 40 Hz up
    private const double RidingFromHz = 40;
    private const double WrongSpeedMisfit = 0.3;  // of the power, in the middle block: a loopback at the right speed is far below
    private const double SharpPeakRatio = 35;     // a full-band sweep at the right speed correlates more sharply; subwoofers never do, and are looked at
    private const double SilentDbfs = -60;        // as for a loopback
    private const double LeakHidesDb = -22;       // a room that strong in the loopback makes any of its blocks misfit
    private const double CopyFromHz = 5000;       // a pulse of a narrower band lasts as long as sound needs for some metres

    /// <summary>What costs the take: its time zero or its response would be wrong. And how many interruptions there are.</summary>
    internal static (TakeFault? Fault, int Dropouts) Fatal(TakeEvidence evidence, TimeZero timeZero)
    {
        if (WrongSpeed(evidence) is { } speed) return (speed, 0);
        var step = evidence.Step;
        if (evidence.Reading.Reference is { } reference && timeZero == TimeZero.Loopback)
        {
            if (ChannelFaults.AreSame(evidence.Raw.Microphone, evidence.Raw.Reference!, step)) return (Identical, 0);
            if (ChannelFaults.AreExchanged(evidence.Path, evidence.ReferencePath!, ChannelFaults.WirePulseSeconds(evidence)))
                return (Exchanged, 0);
        }
        var gaps = Gaps(evidence, step);
        if (gaps.Count == 0) return (null, 0);
        return (InterruptionFaults.Words(evidence, gaps), gaps.Count);
    }

    /// <summary>The fault behind a loopback channel, or a microphone channel, in which the stimulus was not found; null where none is seen.</summary>
    internal static TakeFault? Behind(TakeEvidence evidence)
    {
        if (evidence.Raw.Reference is { } raw && ChannelFaults.AreSame(evidence.Raw.Microphone, raw, evidence.Step)) return Identical;
        if (WrongRate.Find(evidence.Stimulus, evidence.Reading.Reference ?? evidence.Reading.Microphone) is { } speed) return speed;
        if (evidence.Reading.Reference is not { } reference || Decibels.FromAmplitude(TakeReading.Peak(reference)) < SilentDbfs) return null;
        if (ChannelFaults.AreExchanged(evidence.Path, evidence.ReferencePath!, ChannelFaults.WirePulseSeconds(evidence))) return Exchanged;
        return evidence.Track is { IsLoopback: true } track && track.Breaks() is { Count: > 0 } breaks ? InterruptionFaults.Words(evidence, breaks) : null;
    }

    private static TakeFault Identical => new("identical", FaultCost.Take, "microphone and loopback channel are identical, so every response would be flat",
        "Name the right channels in survey.toml, and switch off whatever copies one input to both channels", double.NaN, "");

    private static TakeFault Exchanged => new("exchanged", FaultCost.Take, "the microphone channel holds the loopback, and the loopback channel holds a room",
        "Exchange microphone_channel and reference_channel in survey.toml, or the two cables", double.NaN, "");

    private static TakeFault? WrongSpeed(TakeEvidence evidence)
    {
        if (evidence.Track is { } track)
            return track.Misfit > WrongSpeedMisfit ? WrongRate.Find(evidence.Stimulus, evidence.Reading.Reference!) : null;
        return evidence.Plan.CorrelationPeakRatio(evidence.Reading.Microphone) < SharpPeakRatio ? WrongRate.Find(evidence.Stimulus, evidence.Reading.Microphone) : null;
    }

    /// <summary>What costs quality only.</summary>
    internal static List<TakeFault> Mild(TakeEvidence evidence, Take take, int clipped, (int First, int Length) silence)
    {
        var faults = new List<TakeFault>();
        if (clipped > 0) faults.Add(new("clipped", FaultCost.Quality, $"{clipped} clipped samples", "lower the input gain by 6 dB and record again", clipped, "samples"));
        else if (SoftClipping.Of(evidence) is { IsFault: true } squeeze)
            faults.Add(new("soft-clipping", FaultCost.Quality, "the loudest waves are squeezed, as by an input close to its limit", "lower the input gain or the level by 6 dB and record again", 100 * squeeze.PartRatio, "percent"));
        if (silence.Length == 0)
            faults.Add(new("no-silence", FaultCost.Quality, "no silent block before the sweep, so the noise is not known", "use a stimulus with a lead-in of half a second or more", double.NaN, ""));
        var peak = evidence.Raw.PeakDbfs;
        if (peak < LowPeakDbfs) faults.Add(new("low-level", FaultCost.Quality, FormattableString.Invariant($"peak only {peak:0.0} dBFS"), "raise the input gain", peak, "dBFS"));
        if (evidence.Raw.SameAsChannel is { } twin)
            faults.Add(new("identical", FaultCost.Quality, $"channels {take.MicrophoneChannel} and {twin} are identical, though the survey says that they are two microphones",
                "take one of them out of survey.toml: a microphone with one capsule records the same on both", double.NaN, ""));
        faults.AddRange(Noises(evidence, silence));
        if (clipped > 0) return faults;   // flat tops are edges and leave everything else behind them too
        if (!faults.Exists(fault => fault.Kind == "soft-clipping")) faults.AddRange(Sounds(evidence));   // what the squeeze leaves behind is no noise from outside
        faults.AddRange(Wires(evidence, take));
        return faults;
    }

    private static List<Stretch> Gaps(TakeEvidence evidence, double step)
    {
        var (first, end) = evidence.Sounding;
        var raw = evidence.Raw;
        var found = new List<Stretch>();
        Add(Interruptions.Zeros(raw.Microphone, step));
        Add(Interruptions.Repeats(raw.Microphone, step));
        if (evidence.Track is { IsLoopback: true } track && !(evidence.LeakDb >= LeakHidesDb)) Add(track.Breaks());
        return [.. found.OrderBy(stretch => stretch.First)];

        void Add(IEnumerable<Stretch> stretches)
        {
            foreach (var stretch in stretches)
                if (stretch.First < end && stretch.First + stretch.Length > first && !found.Any(other => IsNear(other, stretch, evidence.Bands.FrameSamples))) found.Add(stretch);
        }
    }

    private static bool IsNear(Stretch one, Stretch other, int reach) =>
        one.First - reach < other.First + other.Length && other.First - reach < one.First + one.Length;

    private static IEnumerable<TakeFault> Noises(TakeEvidence evidence, (int First, int Length) silence)
    {
        var lines = Hum.LinesHz(evidence.Reading.Microphone.AsSpan(silence.First, silence.Length), evidence.SampleRateHz);
        var hum = Hum.RootMeanSquare(lines);
        if (hum > evidence.SweepRatio * Decibels.ToAmplitudeRatio(HumOverSweepDb))
            yield return new("hum", FaultCost.Quality,
                FormattableString.Invariant($"mains hum at {StudyFindings.Listed(lines.OrderByDescending(line => line.PowerRatio).Take(3).Select(line => FormattableString.Invariant($"{line.FrequencyHz:0} Hz")))}, only {Decibels.FromAmplitude(evidence.SweepRatio / hum):0} dB under the sweep"),
                "feed computer, interface and loudspeaker from one socket, use balanced cables, keep the microphone cable away from mains leads", Decibels.FromAmplitude(hum), "dBFS");
        var change = NoiseProcessing.ChangeDb(evidence);
        if (NoiseProcessing.IsGate(change))
            yield return new("gate", FaultCost.Quality, FormattableString.Invariant($"the noise jumps by {change:0} dB when the sweep starts, so that the silence is no measure of it"),
                "switch off noise suppression and other enhancements of the input in the operating system, then record again", change, "dB");
        if (NoiseProcessing.IsRiding(change))
            yield return new("level-riding", FaultCost.Quality, FormattableString.Invariant($"the noise falls by {-change:0} dB when the sweep starts, as where the input's level is adjusted automatically"),
                "switch off automatic level control of the input in the operating system, then record again", change, "dB");
    }

    private static IEnumerable<TakeFault> Sounds(TakeEvidence evidence)
    {
        var edge = Breaks.FirstEdge(evidence);
        if (edge >= 0) yield return Broken(evidence, edge);
        else if (Disturbances.Loudest(evidence) is { } burst)
            yield return new("disturbance", FaultCost.Quality,
                FormattableString.Invariant($"a bump or another short noise {burst.Seconds:0.0} s into the recording, {Math.Abs(burst.LevelDb):0} dB {(burst.LevelDb < 0 ? "under" : "above")} the sweep"),
                "keep still, shut the doors and record again", burst.Seconds, "s");
        else if (Breaks.FirstBurst(evidence) is var at and >= 0) yield return Broken(evidence, at);
    }

    private static TakeFault Broken(TakeEvidence evidence, int sample)
    {
        var seconds = (double)sample / evidence.SampleRateHz;
        return new("break", FaultCost.Quality, FormattableString.Invariant($"the recording breaks for an instant {seconds:0.00} s after its start: {(evidence.Track is null ? "lost samples, " : "")}a crackling plug or a knock"),
            "check plugs and stand, use larger buffers and record again", seconds, "s");
    }

    /// <summary>Level of the room in the loopback; close to a cone there is no room to tell by, and its short ringing looks like the wire's own band limits.</summary>
    private static double LeakDb(TakeEvidence evidence, Take take) => take.Field == SoundField.Near ? double.NegativeInfinity : evidence.LeakDb;

    private static IEnumerable<TakeFault> Wires(TakeEvidence evidence, Take take)
    {
        if (evidence.Raw.Reference is not { } reference) yield break;
        if (take.TimeZero != TimeZero.Loopback)
        {
            if (ChannelFaults.AreSame(evidence.Raw.Microphone, reference, evidence.Step))
                yield return new("identical", FaultCost.Quality, $"channels {take.MicrophoneChannel} and {take.ReferenceChannel} are identical, so one of them is no signal of its own",
                    "take reference_channel out of survey.toml, or switch off whatever copies one input to both channels", double.NaN, "");
            yield break;
        }
        var leak = LeakDb(evidence, take);
        if (ChannelFaults.IsLeak(leak))
            yield return new("leaking-loopback", FaultCost.Quality, FormattableString.Invariant($"the loopback channel holds the room as well, {-leak:0} dB under its own signal"),
                "switch off direct monitoring and any mixing of the inputs, and keep the loopback cable away from the microphone's", leak, "dB");
        var copy = take.Field == SoundField.Room && evidence.Plan.ExcitedToHz >= CopyFromHz ? ChannelFaults.CopyInMicrophoneDb(evidence.Path, evidence.ReferencePath!) : double.NegativeInfinity;
        if (ChannelFaults.IsCopy(copy))
            yield return new("copy-in-microphone", FaultCost.Quality, FormattableString.Invariant($"the microphone channel holds an electrical copy of the loopback, {0 - copy:0} dB under the sound"),
                "lower the level of the loopback, use another input for it, or separate the cables, then record again", copy, "dB");
        if (ChannelFaults.IsLeak(leak)) yield break;
        var gains = evidence.Track!.Blocks.Where(block => block.FrequencyHz >= RidingFromHz && block.GainRatio > 0).Select(block => block.GainRatio).ToList();
        if (gains.Count > 0 && Decibels.FromAmplitude(gains.Max() / gains.Min()) is var range && range >= RidingDb)
            yield return new("level-riding", FaultCost.Quality, FormattableString.Invariant($"the level of the loopback changes by {range:0.0} dB while the sweep passes"),
                "switch off automatic level control and equalisers of input and output in the operating system, then record again", range, "dB");
    }
}
