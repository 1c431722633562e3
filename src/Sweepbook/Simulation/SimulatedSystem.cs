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
    private readonly Dictionary<string, MicrophoneModel> _microphones;
    private readonly Dictionary<string, BoxModel> _boxes;
    private readonly ConcurrentDictionary<string, Lazy<(ISimulatedSound Sound, double[] Pressure)>> _sounds = new();
    private readonly ConcurrentDictionary<string, Lazy<(RoomPath Path, double[] Pressure)>> _markers = new();

    public SimulatedSystem(PlannedSurvey plan)
    {
        Plan = plan;
        Stimulus = Stimulus.From(plan.Stimulus);
        // A recorder beside the player runs on, so the sound has to as well; with one interface for both it ends with the stimulus.
        var length = Stimulus.Length + (plan.Recorder is null ? 0 : plan.Interface.LongestLatency + (int)(PlannedRecorder.RunOnSeconds * SampleRateHz));
        (_sweep, _marker) = (Lengthened(Stimulus.Samples, length), Lengthened(Stimulus.MarkerSamples, length));
        IEnumerable<PlannedSource> speakers = plan.Recorder is { } recorder ? [.. plan.Sources, recorder.Marker] : plan.Sources;
        _sources = speakers.Where(source => source.Radiator is null).ToDictionary(source => source.Id, source => new SourceModel(source, SampleRateHz), StringComparer.Ordinal);
        _microphones = plan.Microphones.ToDictionary(microphone => microphone.Id, microphone => new MicrophoneModel(microphone, SampleRateHz), StringComparer.Ordinal);
        _boxes = plan.Boxes.ToDictionary(box => box.Id, box => new BoxModel(box, SampleRateHz), StringComparer.Ordinal);
        _coupling = plan.Interface.CouplingHz is { } cornerHz ? RecursiveFilter.HighPass(cornerHz, 1, SampleRateHz) : RecursiveFilter.None(SampleRateHz);
    }

    public PlannedSurvey Plan { get; }

    public Stimulus Stimulus { get; }

    /// <summary>The only microphone, or the reference.</summary>
    public MicrophoneModel Microphone => ModelOf(Plan.Microphone);

    public int SampleRateHz => Plan.Stimulus.SampleRateHz;

    public MicrophoneModel ModelOf(PlannedMicrophone microphone) => _microphones[microphone.Id];

    public BoxModel ModelOf(PlannedBox box) => _boxes[box.Id];

    /// <summary>What a pressure is multiplied by: the input's gain, and by how much a microphone is more sensitive than the reference.</summary>
    public double InputGainRatioOf(PlannedMicrophone microphone) => Decibels.ToAmplitudeRatio(Plan.Interface.InputGainDb + MoreSensitiveDb(microphone));

    /// <summary>Noise as a microphone's channel records it.</summary>
    public double[] NoiseOf(PlannedMicrophone microphone, double roomGainDb, int length, RandomNumbers random) => microphone.IsListed
        ? NoiseGenerator.ForMicrophone(Plan.Noise with { SelfDbfs = microphone.SelfDbfs ?? Plan.Noise.SelfDbfs }, roomGainDb + MoreSensitiveDb(microphone), length, SampleRateHz, random, ModelOf(microphone))
        : NoiseGenerator.ForMicrophone(Plan.Noise, roomGainDb, length, SampleRateHz, random);

    private double MoreSensitiveDb(PlannedMicrophone microphone) => microphone.SensitivityDbfs - Plan.Microphone.SensitivityDbfs;

    public SourceModel SourceOf(PlannedSource source) => _sources[source.Id];

    public RoomPath PathOf(PlannedSource source, PlannedSeat seat) =>
        new(Plan.Room, source.Place, seat.Place, source.Aim, source.BeamHz, SampleRateHz);

    /// <summary>Makes one take. Random numbers are drawn in a fixed order from a generator of the take's own: latency, then loopback noise or the recorder's clock and start, then microphone noise.</summary>
    public SimulatedTake Make(PlannedTake take)
    {
        var random = RandomNumbers.For(Plan.Seed, take.Name);
        var latency = random.NextWhole(Plan.Interface.ShortestLatency, Plan.Interface.LongestLatency);
        var (sound, pressure) = SoundOf(take);
        if (Plan.Recorder is { } recorder) return Recorded(take, recorder, random, latency, sound, pressure);

        var loopbackGain = take.Damage.Kind == DamageKind.SilentLoopback ? 0 : Decibels.ToAmplitudeRatio(Plan.Interface.LoopbackGainDb);
        var loopback = _coupling.Apply(Late(Stimulus.Samples, latency, loopbackGain));
        NoiseGenerator.AddWhite(loopback, Plan.Interface.LoopbackNoiseDbfs, random);

        var microphone = _coupling.Apply(ModelOf(take.Microphone).Apply(Late(pressure, latency, InputGainRatioOf(take.Microphone))));
        var noise = NoiseOf(take.Microphone, take.Seat.NoiseGainDb, microphone.Length, random);
        for (var n = 0; n < microphone.Length; n++) microphone[n] += noise[n];

        Damage.ToSamples(take.Damage, ref microphone, ref loopback, SampleRateHz);
        return new(this, take, sound, microphone, take.Microphone.HasLoopback ? loopback : [], latency);
    }

    private SimulatedTake Recorded(PlannedTake take, PlannedRecorder recorder, RandomNumbers random, int latency, ISimulatedSound sound, double[] pressure)
    {
        var (markerPath, markerPressure) = MarkerAt(take.Seat, recorder);
        var truth = new RecorderTruth(Between(recorder.SlowestPpm, recorder.FastestPpm), Between(recorder.EarliestStartSeconds, recorder.LatestStartSeconds),
            markerPath.ArrivalSeconds + recorder.Marker.DelaySeconds);
        var both = new double[pressure.Length];
        for (var n = 0; n < both.Length; n++) both[n] = pressure[n] + markerPressure[n];
        var electrical = _coupling.Apply(ModelOf(take.Microphone).Apply(Late(both, latency, InputGainRatioOf(take.Microphone))));
        var count = (int)Math.Round(((double)Stimulus.Length / SampleRateHz - truth.StartSeconds + PlannedRecorder.RunOnSeconds) * SampleRateHz * (1 + truth.FastPpm * 1e-6));
        var microphone = RecorderClock.Record(electrical, SampleRateHz, truth.StartSeconds, truth.FastPpm, count);
        var noise = NoiseOf(take.Microphone, take.Seat.NoiseGainDb, microphone.Length, random);
        for (var n = 0; n < microphone.Length; n++) microphone[n] += noise[n];
        var unused = (double[])microphone.Clone();
        Damage.ToSamples(take.Damage, ref microphone, ref unused, SampleRateHz);
        return new(this, take, sound, microphone, [], latency) { Recorder = truth };

        double Between(double first, double last) => first + (last - first) * random.NextUniform();
    }

    private (RoomPath Path, double[] Pressure) MarkerAt(PlannedSeat seat, PlannedRecorder recorder) =>
        _markers.GetOrAdd(seat.Id, _ => new(() =>
        {
            var path = PathOf(recorder.Marker, seat);
            return (path, path.Apply(SourceOf(recorder.Marker).Apply(_marker)));
        })).Value;

    /// <summary>The sound where the microphone stands; takes from one and the same place share it, since only noise and latency differ between them.</summary>
    private (ISimulatedSound Sound, double[] Pressure) SoundOf(PlannedTake take) =>
        _sounds.GetOrAdd(Plan.Substitution.PlacementMm > 0 ? take.Name : $"{take.Source.Id}_{take.Seat.Id}", _ => new(() =>
        {
            var sound = PlacedSoundOf(take);
            return (sound, sound.Apply(_sweep));
        })).Value;

    /// <summary>A microphone that is set up anew stands some millimetres off; where, is drawn from numbers of the take's own.</summary>
    private ISimulatedSound PlacedSoundOf(PlannedTake take)
    {
        const double ClosestMetres = 0.0005;   // it would touch
        var random = RandomNumbers.For(Plan.Seed, $"place of {take.Name}");
        var (x, y, z) = (Off(), Off(), Off());
        var room = Plan.Room.Room;
        if (take.Source.Radiator is { Kind: not BoxPart.Whole } radiator)
            return BoxSound.Near(ModelOf(radiator.Box), radiator, OtherOf(radiator), Math.Max(ClosestMetres, radiator.DistanceMm / 1000 + x), room.SpeedOfSoundMetresPerSecond, SampleRateHz);
        var seat = take.Seat with { Place = new(take.Seat.Place.XMetres + x, take.Seat.Place.YMetres + y, take.Seat.Place.ZMetres + z) };
        return take.Source.Radiator is { } whole
            ? BoxSound.Free(ModelOf(whole.Box), whole, take.Source.Place, seat.Place, room, SampleRateHz)
            : new RoomSound(SourceOf(take.Source), PathOf(take.Source, seat));

        double Off() => Plan.Substitution.PlacementMm / 1000 * random.NextGaussian();
    }

    /// <summary>The port on the same front as a cone, or the cone; null where a place is not stated, so that neither hears the other.</summary>
    private PlannedRadiator? OtherOf(PlannedRadiator radiator) => double.IsNaN(radiator.BaffleXMetres) ? null
        : Plan.Sources.Select(source => source.Radiator).FirstOrDefault(other =>
            other is { Kind: not BoxPart.Whole } && other.Kind != radiator.Kind && other.Box == radiator.Box && !double.IsNaN(other.BaffleXMetres));

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
