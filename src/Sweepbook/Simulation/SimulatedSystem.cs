// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Simulation;

/// <summary>Everything a plan describes, ready to make takes: each take by itself, so that the order and the number of processors do not matter.</summary>
internal sealed class SimulatedSystem
{
    private readonly Dictionary<string, SourceModel> _sources;
    private readonly RecursiveFilter _coupling;
    private readonly double[] _sweep, _marker;
    private readonly ConcurrentDictionary<(string Source, string Seat), Lazy<(RoomPath Path, double[] Pressure)>> _sounds = new();
    private readonly ConcurrentDictionary<string, Lazy<(RoomPath Path, double[] Pressure)>> _markers = new();

    public SimulatedSystem(PlannedSurvey plan)
    {
        Plan = plan;
        Stimulus = Stimulus.From(plan.Stimulus);
        // A recorder beside the player runs on, so the sound has to as well; with one interface for both it ends with the stimulus.
        var length = Stimulus.Length + (plan.Recorder is null ? 0 : plan.Interface.LongestLatency + (int)(PlannedRecorder.RunOnSeconds * SampleRateHz));
        (_sweep, _marker) = (Lengthened(Stimulus.Samples, length), Lengthened(Stimulus.MarkerSamples, length));
        IEnumerable<PlannedSource> speakers = plan.Recorder is { } recorder ? [.. plan.Sources, recorder.Marker] : plan.Sources;
        _sources = speakers.ToDictionary(source => source.Id, source => new SourceModel(source, SampleRateHz), StringComparer.Ordinal);
        Microphone = new MicrophoneModel(plan.Microphone, SampleRateHz);
        _coupling = plan.Interface.CouplingHz is { } cornerHz ? RecursiveFilter.HighPass(cornerHz, 1, SampleRateHz) : RecursiveFilter.None(SampleRateHz);
    }

    public PlannedSurvey Plan { get; }

    public Stimulus Stimulus { get; }

    public MicrophoneModel Microphone { get; }

    public int SampleRateHz => Plan.Stimulus.SampleRateHz;

    public SourceModel SourceOf(PlannedSource source) => _sources[source.Id];

    public RoomPath PathOf(PlannedSource source, PlannedSeat seat) =>
        new(Plan.Room, source.Place, seat.Place, source.Aim, source.BeamHz, SampleRateHz);

    /// <summary>Makes one take. Random numbers are drawn in a fixed order from a generator of the take's own: latency, then loopback noise or the recorder's clock and start, then microphone noise.</summary>
    public SimulatedTake Make(PlannedTake take)
    {
        var random = RandomNumbers.For(Plan.Seed, take.Name);
        var latency = random.NextWhole(Plan.Interface.ShortestLatency, Plan.Interface.LongestLatency);
        var (path, pressure) = SoundOf(take);
        if (Plan.Recorder is { } recorder) return Recorded(take, recorder, random, latency, path, pressure);

        var loopbackGain = take.Damage.Kind == DamageKind.SilentLoopback ? 0 : Decibels.ToAmplitudeRatio(Plan.Interface.LoopbackGainDb);
        var loopback = _coupling.Apply(Late(Stimulus.Samples, latency, loopbackGain));
        NoiseGenerator.AddWhite(loopback, Plan.Interface.LoopbackNoiseDbfs, random);

        var microphone = _coupling.Apply(Microphone.Apply(Late(pressure, latency, Decibels.ToAmplitudeRatio(Plan.Interface.InputGainDb))));
        var noise = NoiseGenerator.ForMicrophone(Plan.Noise, take.Seat.NoiseGainDb, microphone.Length, SampleRateHz, random);
        for (var n = 0; n < microphone.Length; n++) microphone[n] += noise[n];

        Damage.ToSamples(take.Damage, ref microphone, ref loopback, SampleRateHz);
        return new(this, take, path, microphone, loopback, latency);
    }

    private SimulatedTake Recorded(PlannedTake take, PlannedRecorder recorder, RandomNumbers random, int latency, RoomPath path, double[] pressure)
    {
        var (markerPath, markerPressure) = MarkerAt(take.Seat, recorder);
        var truth = new RecorderTruth(Between(recorder.SlowestPpm, recorder.FastestPpm), Between(recorder.EarliestStartSeconds, recorder.LatestStartSeconds),
            markerPath.ArrivalSeconds + recorder.Marker.DelaySeconds);
        var both = new double[pressure.Length];
        for (var n = 0; n < both.Length; n++) both[n] = pressure[n] + markerPressure[n];
        var electrical = _coupling.Apply(Microphone.Apply(Late(both, latency, Decibels.ToAmplitudeRatio(Plan.Interface.InputGainDb))));
        var count = (int)Math.Round(((double)Stimulus.Length / SampleRateHz - truth.StartSeconds + PlannedRecorder.RunOnSeconds) * SampleRateHz * (1 + truth.FastPpm * 1e-6));
        var microphone = RecorderClock.Record(electrical, SampleRateHz, truth.StartSeconds, truth.FastPpm, count);
        var noise = NoiseGenerator.ForMicrophone(Plan.Noise, take.Seat.NoiseGainDb, microphone.Length, SampleRateHz, random);
        for (var n = 0; n < microphone.Length; n++) microphone[n] += noise[n];
        var unused = (double[])microphone.Clone();
        Damage.ToSamples(take.Damage, ref microphone, ref unused, SampleRateHz);
        return new(this, take, path, microphone, [], latency) { Recorder = truth };

        double Between(double first, double last) => first + (last - first) * random.NextUniform();
    }

    private (RoomPath Path, double[] Pressure) MarkerAt(PlannedSeat seat, PlannedRecorder recorder) =>
        _markers.GetOrAdd(seat.Id, _ => new(() =>
        {
            var path = PathOf(recorder.Marker, seat);
            return (path, path.Apply(SourceOf(recorder.Marker).Apply(_marker)));
        })).Value;

    /// <summary>The sound of a source at a seat; repeats share it, since only noise and latency differ between them.</summary>
    private (RoomPath Path, double[] Pressure) SoundOf(PlannedTake take) =>
        _sounds.GetOrAdd((take.Source.Id, take.Seat.Id), _ => new(() =>
        {
            var path = PathOf(take.Source, take.Seat);
            return (path, path.Apply(SourceOf(take.Source).Apply(_sweep)));
        })).Value;

    private static double[] Lengthened(ReadOnlySpan<double> samples, int length)
    {
        var longer = new double[length];
        samples.CopyTo(longer);
        return longer;
    }

    private static double[] Late(ReadOnlySpan<double> samples, int latencySamples, double gainRatio)
    {
        var result = new double[samples.Length];
        for (var n = latencySamples; n < result.Length; n++) result[n] = gainRatio * samples[n - latencySamples];
        return result;
    }
}
