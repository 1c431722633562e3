// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Stimuli;

namespace Sweepbook.Simulation;

/// <summary>Turns a plan file into a <see cref="PlannedSurvey"/>, checking every key on the way.</summary>
internal sealed class PlanReader
{
    private static readonly string[] OwnKeys = ["format", "title", "date", "copy_of", "takes", "damage", PlanChanges.Key, PlanChanges.SeedKey];
    private static readonly string[] SharedKeys =
        ["seed", "room", "decay", "processor", "stimulus", "microphone", "substitution", "calibrator", "interface", "noise", "box", "source", "marker-loudspeaker", "seat", "repeat"];

    private static readonly string[] SourceKeys = ["position_m", "aim_m", "beam_hz", "gain_db", "delay_ms", "inverted", "high_pass_hz", "high_pass_order",
        "low_pass_hz", "low_pass_order", "a2", "a3", "distortion_below_hz"];

    private static readonly TomlRange Length = new(0.5, 100, "m"), Coordinate = new(0, 100, "m"), Temperature = new(-40, 60, "°C");
    private static readonly TomlRange Decibel = new(-200, 200, "dB"), Level = new(-300, 0, "dBFS"), Part = new(-1, 1, "");
    private static readonly TomlRange Frequency = TomlRange.Above0UpTo(100_000, "Hz");

    private readonly TomlTable _root;
    private readonly int _sampleRateHz;
    private readonly StimulusDescription _stimulus;

    private PlanReader(TomlTable root)
    {
        _root = root;
        var table = Needed("stimulus");
        _stimulus = StimulusRules.Completed(StimulusToml.Read(table));
        if (StimulusRules.FirstUnsupported(_stimulus) is { } missing) throw table.Fault(missing.Key, missing.Problem, missing.Remedy);
        _sampleRateHz = _stimulus.SampleRateHz;
    }

    public static PlannedSurvey Read(string path)
    {
        var shownAs = Path.GetFileName(path);
        var own = TomlDocument.Read(path, shownAs);
        own.RefuseUnknownKeys([.. OwnKeys, .. SharedKeys]);
        if (own.Text("copy_of") is not { } original)
        {
            PlanChanges.RefuseIn(own);
            return new PlanReader(own).Read(own);
        }
        foreach (var key in SharedKeys)
            if (own.Has(key)) throw own.Fault(key, $"a copy takes `{key}` from {original}", "Take it out here, or take `copy_of` out.");
        var folder = Path.GetDirectoryName(Path.GetFullPath(path))!;
        var shared = TomlDocument.Read(PathInside.Resolve(folder, original, shownAs, own.LineOf("copy_of")), original);
        shared.RefuseUnknownKeys([.. OwnKeys, .. SharedKeys]);
        if (shared.Has("copy_of")) throw own.Fault("copy_of", $"{original} is a copy itself", "Name the plan that it copies.");
        return new PlanReader(shared).Read(own);
    }

    private PlannedSurvey Read(TomlTable own)
    {
        if (own.Integer("format", 1, 1) is null) throw own.Missing("format", "1 (the version of this file format)");
        var room = Needed("room");
        room.RefuseUnknownKeys("length_m", "width_m", "height_m", "temperature_c", "crossover_hz", "leak_hz");
        var temperature = room.Number("temperature_c", Temperature) ?? Air.DefaultTemperatureCelsius;
        var box = new RectangularRoom(Number(room, "length_m", Length), Number(room, "width_m", Length), Number(room, "height_m", Length), temperature);
        var boxes = new PlanBoxes(_root);
        var microphones = new PlanMicrophones(_root, Audible);
        var listed = microphones.Read();
        var (sources, seats) = (All("source", table => ReadSource(table, box, boxes), source => source.Id), Seats(box, boxes));
        PlanBoxes.RefuseTwice(sources, _root);
        new PlanChanges(own, (table, key) => Place(table, key, box), (table, name, order) => RollOff(table, name, order, Audible)).Apply(sources, seats);
        var acoustics = sources.TrueForAll(source => source.Radiator is not null) ? new AcousticRoom(box, new([]), double.NaN, double.NaN)   // boxes play in the open
            : new AcousticRoom(box, ReadDecay(), Number(room, "crossover_hz", new(20, _sampleRateHz / 20.0, "Hz")), Number(room, "leak_hz", new(2, 30, "Hz")));
        var recorder = ReadRecorder(box);
        PlanLimits.Check(acoustics, recorder is null ? sources : [.. sources, recorder.Marker], seats, room);
        return new()
        {
            Title = own.Required("title"),
            Date = own.Date("date"),
            Seed = own.Integer(PlanChanges.SeedKey, 0, int.MaxValue) ?? _root.Integer("seed", 0, int.MaxValue) ?? throw _root.Missing("seed", "a whole number that chooses the noise"),
            Room = acoustics,
            TemperatureCelsius = temperature,
            Processor = _root.Table("processor") is { } processor ? ReadProcessor(processor) : null,
            StimulusId = StimulusId(),
            Stimulus = _stimulus,
            Microphones = listed,
            Substitution = microphones.Substitution(listed),
            Calibrator = microphones.Calibrator(listed),
            Boxes = boxes.All,
            Interface = ReadInterface(recorder is not null),
            Recorder = recorder,
            Noise = ReadNoise(),
            Sources = sources,
            Seats = seats,
            Takes = new PlannedTakes(_root, own, sources, seats, recorder is not null) { Microphones = listed, ReferenceTakes = microphones.Substitution(listed).ReferenceTakes }.Read(),
        };
    }

    private string StimulusId()
    {
        var id = Path.GetFileNameWithoutExtension(_stimulus.File!);
        return _stimulus.File == id + ".wav" && PlannedTakes.IsId(id)
            ? id
            : throw Needed("stimulus").Fault("file", $"`file` is \"{TomlTable.Shorten(_stimulus.File!)}\"", "Name it with letters, digits and hyphens and the ending .wav, for example full.wav.");
    }

    private DecayByFrequency ReadDecay()
    {
        var tables = _root.Tables("decay");
        if (tables.Count == 0) throw new DataFault(_root.File, null, "there is no [[decay]]", "Add one or more, each with frequency_hz and t60_s.");
        var points = new List<DecayPoint>();
        foreach (var table in tables)
        {
            table.RefuseUnknownKeys("frequency_hz", "t60_s");
            points.Add(new(Number(table, "frequency_hz", Frequency), Number(table, "t60_s", new(0.05, 5, "s"))));
            if (points.Count > 1 && !(points[^1].FrequencyHz > points[^2].FrequencyHz))
                throw table.Fault("frequency_hz", "the decay times do not rise in frequency", "Sort them, each frequency once.");
        }
        return new(points);
    }

    private static PlannedProcessor ReadProcessor(TomlTable table)
    {
        table.RefuseUnknownKeys("delay_step_ms", "delay_max_ms", "gain_step_db", "filter_bands");
        return new(Number(table, "delay_step_ms", new(0.001, 100, "ms")), Number(table, "delay_max_ms", new(0, 1000, "ms")),
            Number(table, "gain_step_db", new(0.01, 10, "dB")), table.Integer("filter_bands", 0, 100) ?? throw table.Missing("filter_bands", "a whole number"));
    }

    private PlannedInterface ReadInterface(bool isMarked)
    {
        var table = Needed("interface");
        table.RefuseUnknownKeys("latency_samples", "loopback_gain_db", "loopback_noise_dbfs", "input_gain_db", "coupling_hz", "recorder_ppm", "recorder_start_s");
        foreach (var key in isMarked ? ["loopback_gain_db", "loopback_noise_dbfs"] : new[] { "recorder_ppm", "recorder_start_s" })
            if (table.Has(key))
                throw table.Fault(key, isMarked ? $"a recorder that needs a marker has no loopback, so `{key}` means nothing" : $"`{key}` is for a recorder beside the player, which needs a marker",
                    isMarked ? "Take it out, or take [marker-loudspeaker] and the stimulus' marker out." : "Take it out, or add a marker to [stimulus] and a [marker-loudspeaker].");
        var latency = table.Numbers("latency_samples", new(0, 48000, "samples")) ?? throw table.Missing("latency_samples", "the shortest and the longest: [240, 900]");
        if (latency is not [var shortest, var longest] || shortest > longest || shortest % 1 != 0 || longest % 1 != 0)
            throw table.Fault("latency_samples", "`latency_samples` must be two whole numbers, the shorter first", "Write for example [240, 900].");
        if (longest > _stimulus.TailSamples)
            throw table.Fault("latency_samples", $"a latency of {longest} samples pushes the end of the sweep out of the take", $"Stay below the tail of the stimulus, {_stimulus.TailSamples} samples.");
        return new((int)shortest, (int)longest, table.Number("loopback_gain_db", Decibel) ?? 0, isMarked ? double.NegativeInfinity : Number(table, "loopback_noise_dbfs", Level),
            table.Number("input_gain_db", Decibel) ?? 0, table.Number("coupling_hz", Audible));
    }

    private PlannedRecorder? ReadRecorder(RectangularRoom room)
    {
        if (_root.Table("marker-loudspeaker") is not { } speaker)
            return _stimulus.Marker is null ? null : throw Needed("stimulus").Fault("marker", "the stimulus has a marker, and no loudspeaker plays it", "Add [marker-loudspeaker] with its position_m, or take the marker out.");
        if (_stimulus.Marker is null) throw new DataFault(_root.File, speaker.Line, "the marker's loudspeaker has nothing to play", "Add a marker to [stimulus], or take [marker-loudspeaker] out.");
        speaker.RefuseUnknownKeys(SourceKeys);
        var table = Needed("interface");
        var (ppm, start) = (Pair(table, "recorder_ppm", new(-2000, 2000, "ppm")), Pair(table, "recorder_start_s", new(-10, 10, "s")));
        if (start.Last > _stimulus.Marker.StartSeconds) throw table.Fault("recorder_start_s", "the recorder may start after the marker", FormattableString.Invariant($"Stay below {_stimulus.Marker.StartSeconds} s, where it begins."));
        return new(ReadSource(speaker, room, PlannedRecorder.MarkerId, "loudspeaker"), ppm.First, ppm.Last, start.First, start.Last);
    }

    private static (double First, double Last) Pair(TomlTable table, string key, TomlRange range) => table.Numbers(key, range) switch
    {
        null => default,
        [var first, var last] when first <= last => (first, last),
        _ => throw table.Fault(key, $"`{key}` must be two numbers, the lower first", "Write for example [-50, 50]; each take draws its own between the two."),
    };

    private PlannedNoise ReadNoise()
    {
        var table = Needed("noise");
        table.RefuseUnknownKeys("room_dbfs", "self_dbfs", "mains_hz", "mains_dbfs");
        return new(Number(table, "room_dbfs", Level), Number(table, "self_dbfs", Level), table.Number("mains_hz", new(10, 100, "Hz")) ?? 50,
            table.Numbers("mains_dbfs", Level) ?? []);
    }

    private PlannedSource ReadSource(TomlTable table, RectangularRoom room, PlanBoxes boxes)
    {
        if (table.Has("part_of")) return boxes.Source(table, (item, key) => Place(item, key, room));
        table.RefuseUnknownKeys(["id", "kind", .. SourceKeys]);
        var kind = table.Choice<bool>("kind", ("subwoofer", false), ("loudspeaker", true)) ?? throw table.Missing("kind", "\"subwoofer\" or \"loudspeaker\"");
        return ReadSource(table, room, PlannedTakes.Id(table), kind ? "loudspeaker" : "subwoofer");
    }

    private PlannedSource ReadSource(TomlTable table, RectangularRoom room, string id, string kind)
    {
        var aim = table.Has("aim_m") ? Place(table, "aim_m", room) : (Position?)null;
        var source = new PlannedSource(id, kind, Place(table, "position_m", room), aim,
            table.Number("beam_hz", Audible) ?? (aim is null ? 0 : throw table.Missing("beam_hz", "where it becomes directional, in hertz")),
            table.Number("gain_db", Decibel) ?? 0, (table.Number("delay_ms", new(0, 1000, "ms")) ?? 0) / 1000, table.Flag("inverted") ?? false,
            RollOff(table, "high_pass", 2, Audible), RollOff(table, "low_pass", 4, Audible), table.Number("a2", Part) ?? 0, table.Number("a3", Part) ?? 0,
            table.Number("distortion_below_hz", Audible));
        if (aim == source.Place) throw table.Fault("aim_m", "the source aims at itself", "Name a point in front of it.");
        var highestDistorted = source.DistortionBelowHz ?? source.LowPass?.CornerHz ?? double.PositiveInfinity;
        if ((source.SecondOrderRatio, source.ThirdOrderRatio) != (0, 0) && highestDistorted > _sampleRateHz / 20.0)
            throw table.Fault("a2", $"harmonics of the upper treble would fold back below half the sample rate", $"Add distortion_below_hz, at most {_sampleRateHz / 20}.");
        return source;
    }

    /// <summary>The seats; a plan that only goes close to the parts of a box needs none.</summary>
    private List<PlannedSeat> Seats(RectangularRoom room, PlanBoxes boxes) =>
        boxes.All.Count > 0 && !_root.Has("seat") ? [] : All("seat", table => ReadSeat(table, room), seat => seat.Id);

    private static PlannedSeat ReadSeat(TomlTable table, RectangularRoom room)
    {
        table.RefuseUnknownKeys("id", "position_m", "weight", "noise_gain_db", "field");
        var field = table.Choice<PlannedField>("field", ("room", PlannedField.Room), ("near", PlannedField.Near), ("free", PlannedField.Free)) ?? PlannedField.Room;
        if (field == PlannedField.Near && table.Has("weight")) throw table.Fault("weight", "a place in front of a source is no seat, and counts in no mean", "Take `weight` out.");
        return new(PlannedTakes.Id(table), Place(table, "position_m", room), table.Number("weight", new(0, 1000, "")), table.Number("noise_gain_db", Decibel) ?? 0) { Field = field };
    }

    private TomlRange Audible => TomlRange.Above0UpTo(_sampleRateHz / 2.0 - 1, "Hz");

    public static PlannedRollOff? RollOff(TomlTable table, string name, int usualOrder, TomlRange audible) =>
        table.Number($"{name}_hz", audible) is { } cornerHz ? new(cornerHz, table.Integer($"{name}_order", 1, 8) ?? usualOrder) : null;

    private static Position Place(TomlTable table, string key, RectangularRoom room)
    {
        var numbers = table.Numbers(key, Coordinate) ?? throw table.Missing(key, "[along the length, along the width, above the floor] in metres");
        if (numbers is not [var x, var y, var z]) throw table.Fault(key, $"`{key}` has {numbers.Length} numbers", "Write three.");
        var place = new Position(x, y, z);
        return room.Contains(place) ? place : throw table.Fault(key, "that point lies outside the room", "Positions are counted from one floor corner.");
    }

    private List<T> All<T>(string key, Func<TomlTable, T> read, Func<T, string> idOf)
    {
        var items = new List<T>();
        foreach (var table in _root.Tables(key))
        {
            var item = read(table);
            if (items.Any(other => idOf(other) == idOf(item))) throw table.Fault("id", $"the {key} \"{idOf(item)}\" is given twice", "Give each an id of its own.");
            items.Add(item);
        }
        return items.Count > 0 ? items : throw new DataFault(_root.File, null, $"there is no [[{key}]]", "Add one or more.");
    }

    private TomlTable Needed(string key) => _root.Table(key) ?? throw new DataFault(_root.File, null, $"there is no table [{key}]", "Add it; the plans under data-demo show its keys.");

    private static double Number(TomlTable table, string key, TomlRange range) =>
        table.Number(key, range) ?? throw table.Missing(key, $"a number in {range}");
}
