// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>One take after deconvolution: its impulse response uncut and windowed, its noise, and what limits it.</summary>
internal sealed record TakeAnalysis(
    TakeResult Result, ImpulseResponse? Uncut, ImpulseResponse? Windowed, ImpulseWindow Window, LogGrid? Grid, double[] NoisePower, double SilenceSeconds, double[] LoopbackSnrDb, TakeLimits Limits)
{
    /// <summary>The noise, hiss and hum apart; null where there is no silent block.</summary>
    internal MeasurementNoise? Noise { get; init; }

    /// <summary>By how much the noise may be underestimated, a power ratio per grid point.</summary>
    internal double[] NoiseMarginRatio { get; init; } = [];

    /// <summary>Third-octave power of what the window's right end cut off.</summary>
    internal double[] LostPower { get; init; } = [];

    /// <summary>Power of harmonics 2 to 5 over that of the linear response, for each fundamental, the microphone's calibration in it.</summary>
    internal double[] HarmonicPowerRatio { get; init; } = [];

    /// <summary>Harmonics as read from this take; null where there is no sweep.</summary>
    internal HarmonicReading? Harmonics { get; init; }

    /// <summary>Level of the sweep in dBFS as this take's divisor heard it; NaN where the microphone's sensitivity is not known, because nobody needs it then.</summary>
    internal double PlayedDbfs { get; init; } = double.NaN;

    internal const double LongestWindowSeconds = 1.0;    // 1 Hz resolution; a room's bass has decayed by 60 dB within it, or the tail is cut anyway
    internal const double LongestUncutSeconds = 10.0;    // no room that anybody lives in decays longer; a recorder left running costs no memory
    private const double ShortestWindowSeconds = 0.05;
    private const double ShortestSilenceSeconds = 0.1;
    private const double GuardSeconds = 0.01;           // kept free between the silent block and the first sound

    internal static TakeAnalysis LeftOut(Take take, string why, int? dropouts = null) =>
        new(new TakeResult(take) { WhyNot = why, TimeZero = take.TimeZero, Dropouts = dropouts }, null, null, default, null, [], 0, [], TakeLimits.None);

    internal static TakeAnalysis Of(Take take, StudyContext context)
    {
        if (!take.Use) return LeftOut(take, "left out in survey.toml (use = false)");
        try
        {
            return take.IsImpulse ? RecordedImpulse.Analyse(take, context) : Sweep(take, context);
        }
        catch (DataFault fault)
        {
            return LeftOut(take, fault.Message);
        }
    }

    private static TakeAnalysis Sweep(Take take, StudyContext context)
    {
        var stimulus = context.StimulusOf(take);
        var raw = TakeReading.Of(take, stimulus, context.OtherMicrophones(take));
        var clipped = TakeReading.ClippedSamples(raw.Microphone);
        var reading = raw.WithoutOffset(stimulus.SweepStart - (int)(GuardSeconds * raw.SampleRateHz));
        var (peakDbfs, step) = (raw.PeakDbfs, TakeReading.Step(raw.Microphone));
        var timing = TakeTiming.Of(take, stimulus, reading, context.SpeedOfSoundMetresPerSecond);
        (raw, reading) = timing.Corrected(raw, reading);
        var plan = context.PlanOf(take, reading.Microphone.Length);
        var markers = MarkerTimes.In(stimulus, reading, timing);
        reading = markers.Muted(reading);
        var evidence = new TakeEvidence(stimulus, raw, reading, plan);
        if (timing.Refusal is { } refusal)
            throw TakeFaults.Behind(evidence) is { } behind ? behind.For(take) : new DataFault(take.File, null, refusal, "The take is left out, because it has no time zero.");
        var (latency, inputs, byStimulus) = (timing.LateSeconds, (InputRatio?)null, plan);
        if (take.TimeZero == TimeZero.Loopback)
        {
            var loopback = Loopback.Judge(plan, reading.Reference!);
            if (!loopback.IsUsable)
                throw TakeFaults.Behind(evidence) is { } behind ? behind.For(take) : new DataFault(take.File, null, loopback.Sentence, "The take is left out, because its time zero would be wrong.");
            if (ChannelFaults.ClippedLoopback(take, raw.Reference!) is { } clippedLoopback) throw clippedLoopback;
            latency = loopback.LatencySeconds;
            inputs = context.InputsOf(take, reading.SampleRateHz);
            plan = plan.DividedBy(reading.Reference!, take.TimeGroup, inputs);
        }
        var divided = plan.Of(reading.Microphone);
        var whole = timing.Timed(divided, take);
        var arrival = Arrival.AtFirstPeak(take.TimeZero switch
        {
            TimeZero.Loopback => whole.Between(-GuardSeconds, context.LongestArrivalSeconds),
            TimeZero.Marker => whole.Between(-EarliestBeforeMarkerSeconds, context.LongestArrivalSeconds),
            _ => whole,
        });
        if (arrival.Polarity == 0)
            throw new DataFault(take.File, null, $"channel {take.MicrophoneChannel} is silent", "Check the microphone's cable and phantom power, then record again.");

        if (plan.CorrelationPeakRatio(reading.Microphone) < FoundRatio)
            throw TakeFaults.Behind(evidence) is { } behind ? behind.For(take) : new DataFault(take.File, null, "the sweep was not found in this recording, which holds only noise",
                "Check that the source was on and that the take belongs to this stimulus, then record again.");
        if (context.IsFullBand(take) && take.TimeZero == TimeZero.Loopback && arrival.Seconds < EarliestArrivalSeconds)
            throw TakeFaults.Behind(evidence) is { } behind ? behind.For(take) : new DataFault(take.File, null, FormattableString.Invariant($"the sound arrives {-arrival.Seconds * 1000:0.0} ms before it left"),
                "Microphone and loopback channels may be exchanged: compare microphone_channel and reference_channel with the cables.");
        RefuseCutSweep(take, stimulus, reading, latency + arrival.Seconds);
        var (fatal, dropouts) = TakeFaults.Fatal(evidence, take.TimeZero);
        if (fatal is { } fault) return LeftOut(take, fault.For(take).Message, dropouts);
        var gate = FreeFieldGate.Of(take, context);
        var ungated = WindowFor(stimulus, plan, reading, latency + arrival.Seconds);
        var window = gate.Cut(ungated);
        var grid = context.GridOf(take);
        var silence = Silence(stimulus, reading, latency + arrival.Seconds);
        var noise = silence.Length == 0 ? null : plan.NoiseOf(reading.Microphone.AsSpan(silence.First, silence.Length), window, grid, step);
        var loopbackSnr = reading.Reference is null || silence.Length == 0 || take.TimeZero != TimeZero.Loopback
            ? []
            : plan.LoopbackSnrDb(reading.Reference, reading.Reference.AsSpan(silence.First, silence.Length), grid);
        var isTimed = take.TimeZero != TimeZero.Unknown && context.IsFullBand(take);
        var isAbsolute = take.TimeZero == TimeZero.Loopback || take.MarkerDistanceMetres is not null;
        var result = new TakeResult(take)
        {
            TimeZero = take.TimeZero,
            TimeGroup = whole.TimeGroup,
            Arrival = isTimed ? arrival : null,
            DistanceMetres = isTimed && isAbsolute ? arrival.Seconds * context.SpeedOfSoundMetresPerSecond : double.NaN,
            PeakDbfs = peakDbfs,
            SnrDb = silence.Length == 0 ? double.NaN : SnrDb(stimulus, reading, silence, latency + arrival.Seconds),
            ClippedSamples = clipped.Count,
            ClockPpm = timing.Clock.Ppm,
            ClockUncertaintyPpm = timing.Clock.UncertaintyPpm,
            ClockMethod = timing.Clock.Method,
            PhaseCostDegrees = PhaseCostDegrees(stimulus, plan),
            TimeZeroUncertaintySeconds = take.TimeZero == TimeZero.Marker ? timing.UncertaintySeconds : TimeZeroMask.UncertaintySecondsOf(loopbackSnr, grid, (double)reading.Microphone.Length / reading.SampleRateHz),
            Named = TakeFaults.Mild(evidence, take, clipped.Count, silence),
            Dropouts = dropouts,
            IsInputCorrected = inputs is not null,
            SilentNoise = silence.Length == 0 || context.Sensitivities.Of(take) is null ? null
                : BlockNoise.Of(reading.Microphone.AsSpan(silence.First, silence.Length), reading.SampleRateHz, context.CorrectionDbAt(take)),
            LoopbackDb = take.TimeZero == TimeZero.Loopback ? SourceWatch.LevelsDb(evidence) : SourceWatch.Nothing,
        };
        var clock = new SweepClock(stimulus, latency + arrival.Seconds);
        var limits = TakeLimits.Of(clock, plan, window, gate, timing.Placed(clipped).FindAll(sample => !markers.SoundsIn(sample, sample + 1)), MicrophoneMask.TooLoud(context, take, reading.Microphone, clock));
        var uncut = whole.Between(arrival.Seconds - window.LeftSeconds, arrival.Seconds + Math.Min(TailSeconds(stimulus, reading, latency + arrival.Seconds), LongestUncutSeconds));
        var harmonics = HarmonicReading.Of(byStimulus, reading.Microphone, reading.Microphone.AsSpan(silence.First, silence.Length), step,
            ReferenceEquals(plan, byStimulus) ? divided : byStimulus.Of(reading.Microphone), latency + arrival.Seconds, ungated);
        return (new TakeAnalysis(result, uncut, window.Cut(whole, arrival.Seconds), window, grid, noise?.Total ?? [], (double)silence.Length / reading.SampleRateHz, loopbackSnr, limits)
            .WithNoise(noise, whole, arrival.Seconds)
            .WithHarmonics(new(whole, arrival.Seconds, stimulus.Description.Law, limits.HighestHz), context)) with
        {
            Harmonics = harmonics,
            PlayedDbfs = context.Sensitivities.Of(take) is null ? double.NaN
                : stimulus.Description.LevelDbfs + (take.TimeZero == TimeZero.Loopback ? Decibels.FromAmplitude(byStimulus.GainRatioOf(reading.Reference!)) : 0),
        };
    }

    /// <summary>The same with its noise, and with what the window cut off judged against it.</summary>
    internal TakeAnalysis WithNoise(MeasurementNoise? noise, ImpulseResponse whole, double arrivalSeconds)
    {
        var marginRatio = Grid!.ToArray().Select(frequencyHz => Decibels.ToPowerRatio(NoiseMargin.DecibelsAt(frequencyHz, SilenceSeconds))).ToArray();
        return this with
        {
            Noise = noise,
            NoiseMarginRatio = marginRatio,
            LostPower = TruncationLoss.PowerOf(whole, Window, arrivalSeconds, noise, marginRatio, Grid!),
            HarmonicPowerRatio = new double[Grid!.Count],
        };
    }

    private TakeAnalysis WithHarmonics(SweepDistortion distortion, StudyContext context)
    {
        var linear = GridSpectrum.ThirdOctavePowerOf(Windowed!, Grid!);
        return this with
        {
            HarmonicPowerRatio = distortion.PowerRatio(Grid!, linear, Noise, Window.EnergySamples(Windowed!.SampleRateHz), NoiseMarginRatio,
                context.CorrectionDbAt(Result.Take)),
        };
    }

    /// <summary>The whole sweep must lie inside the recording: what is missing of it at either end would be read as a response.</summary>
    private static void RefuseCutSweep(Take take, Stimuli.Stimulus stimulus, TakeReading reading, double soundSeconds)
    {
        var rate = (double)reading.SampleRateHz;
        var (before, after) = (-(stimulus.SweepStart / rate + soundSeconds), stimulus.SweepEnd / rate + soundSeconds - reading.Microphone.Length / rate);
        if (before > CutSweepSeconds)
            throw new DataFault(take.File, null, FormattableString.Invariant($"the recording begins {before:0.00} s after the sweep did, so its lowest frequencies are missing"), "Start the recorder first, then play the stimulus; record again.");
        if (after > CutSweepSeconds)
            throw new DataFault(take.File, null, FormattableString.Invariant($"the recording ends {after:0.00} s before the sweep does, so its highest frequencies are missing"), "Let the recorder run until the tail is over; record again.");
    }

    private static double PhaseCostDegrees(Stimuli.Stimulus stimulus, Deconvolution plan) => stimulus.Description.Marker is { } marker
        ? ClockFindings.CostDegrees(stimulus.SweepEnd / (double)stimulus.SampleRateHz - marker.StartSeconds, plan.ExcitedToHz)
        : double.NaN;

    private const double EarliestBeforeMarkerSeconds = 0.25;   // a source may stand nearer than the marker, and processors delay either
    private const double FoundRatio = 8;            // noise reaches five standard deviations in half a million samples, never eight
    private const double EarliestArrivalSeconds = -0.001;   // converters of one interface agree to far less
    private const double CutSweepSeconds = 0.05;   // a subwoofer's peak comes that much later than its sound

    /// <summary>As much before the arrival as the band limit rings, short of the second harmonic; as much after it as the tail allows.</summary>
    private static ImpulseWindow WindowFor(Stimuli.Stimulus stimulus, Deconvolution plan, TakeReading reading, double soundSeconds)
    {
        var left = Math.Min(2.5 / plan.ExcitedFromHz, 0.9 * stimulus.Description.Law.LeadSecondsOf(2));
        return new(left, Math.Clamp(TailSeconds(stimulus, reading, soundSeconds), ShortestWindowSeconds, LongestWindowSeconds));
    }

    /// <summary>How long the recording goes on after the sweep was heard, until a marker comes: later than this the response of the highest frequencies was not recorded.</summary>
    private static double TailSeconds(Stimuli.Stimulus stimulus, TakeReading reading, double soundSeconds) =>
        (double)(new MarkerTimes(stimulus, soundSeconds).EndOfTail(reading.Microphone.Length) - stimulus.SweepEnd) / reading.SampleRateHz - soundSeconds;

    /// <summary>The silent block before the sweep reaches the microphone, clear of markers, or nothing where it is too short to say anything.</summary>
    private static (int First, int Length) Silence(Stimuli.Stimulus stimulus, TakeReading reading, double soundSeconds) =>
        new MarkerTimes(stimulus, soundSeconds).Silence(reading.Microphone.Length, (int)Math.Ceiling(ShortestSilenceSeconds * reading.SampleRateHz));

    private static double SnrDb(Stimuli.Stimulus stimulus, TakeReading reading, (int First, int Length) silence, double soundSeconds)
    {
        var first = Math.Clamp(stimulus.SweepStart + (int)(soundSeconds * reading.SampleRateHz), 0, reading.Microphone.Length);
        var length = Math.Min(stimulus.SweepEnd - stimulus.SweepStart, reading.Microphone.Length - first);
        var noise = TakeReading.RootMeanSquare(reading.Microphone.AsSpan(silence.First, silence.Length));
        var sweep = TakeReading.RootMeanSquare(reading.Microphone.AsSpan(first, length));
        return noise == 0 ? double.PositiveInfinity : Decibels.FromAmplitude(sweep / noise);
    }
}
