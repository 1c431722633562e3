// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Surveys;

/// <summary>Turns the tables of <c>survey.toml</c> into a <see cref="Survey"/>, checking every key on the way.</summary>
internal sealed class SurveyReader(string folder, TomlTable root)
{
    internal const int LongestText = 4_000;
    private static readonly TomlRange RoomSide = new(0.5, 200, "m");
    private static readonly TomlRange Coordinate = new(-200, 200, "m");
    private static readonly TomlRange Frequency = TomlRange.Above0UpTo(400_000, "Hz");
    private readonly List<string> _notes = [];
    private readonly List<UnmatchedFile> _unmatched = [];

    internal Survey Read()
    {
        root.RefuseUnknownKeys("format", "title", "date", "takes", "room", "processor", "stimulus", "microphone", "source", "seat", "setting", "take-defaults", "take", "input-check", "calibrator", "box", "wanted", ComparisonReader.Key);
        const int ThisFormat = 1;
        var format = root.Integer("format", 0, int.MaxValue) ?? throw root.Missing("format", "1 (the version of this file format)");
        if (format != ThisFormat) throw root.Fault("format", $"the survey is written in format {format}; this version reads format {ThisFormat}", "Use the version of Sweepbook that wrote it, or write format = 1.");
        var stimuli = All("stimulus", ReadStimulus, item => item.Id, item => item.Line);
        var microphones = All("microphone", ReadMicrophone, item => item.Id, item => item.Line);
        ComparisonReader.RefuseTwoReferences(microphones);
        var (matchFromHz, matchToHz) = ComparisonReader.Read(root);
        var sources = All("source", ReadSource, item => item.Id, item => item.Line);
        var seats = All("seat", ReadSeat, item => item.Id, item => item.Line);
        var settingReader = new SettingReader(sources);
        var settings = All("setting", settingReader.Read, item => item.Id, item => item.Line);
        if (settings.All(setting => setting.Id != Setting.AsFoundId)) settings.Insert(0, new() { Id = Setting.AsFoundId });
        var room = root.Table("room") is { } roomTable ? ReadRoom(roomTable) : (Room?)null;
        NotePositions(room, sources, seats);
        var wanted = WantedReader.Read(root);
        var survey = new Survey
        {
            Folder = folder,
            Title = Words(root, "title") is { Length: > 0 } title ? title : Path.GetFileName(Path.TrimEndingDirectorySeparator(folder)),
            Date = root.Date("date"),
            Room = room,
            Processor = root.Table("processor") is { } processor ? ReadProcessor(processor) : null,
            Stimuli = stimuli,
            Microphones = microphones,
            Sources = sources,
            Boxes = BoxReader.Read(root, sources),
            Seats = seats,
            Settings = settings,
            Takes = new List<Take>(),
            WantedFromHz = wanted.FromHz,
            WantedToHz = wanted.ToHz,
            WantedWithinDb = wanted.WithinDb,
            InputCheck = InputCheckReader.Read(folder, stimuli, root),
            Calibrators = CalibratorReader.Read(folder, microphones, root),
            MatchFromHz = matchFromHz,
            MatchToHz = matchToHz,
            UnmatchedFiles = _unmatched,
            Notes = _notes,
        };
        ((List<Take>)survey.Takes).AddRange(new TakeReader(survey, root, _notes, _unmatched).Read());
        return survey;
    }

    /// <summary>A free text of bounded length.</summary>
    internal static string? Words(TomlTable table, string key) => table.Text(key) is not { } text ? null
        : text.Length > LongestText ? throw table.Fault(key, $"`{key}` has {text.Length} characters", $"Use at most {LongestText}.")
        : text.Any(letter => char.IsControl(letter) && letter is not ('\t' or '\n' or '\r')) ? throw table.Fault(key, $"`{key}` holds a control character", "Take it out; words and line breaks are fine.")
        : text;

    /// <summary>An id: it stands in file names and tables, so it holds letters, digits, hyphens, underscores and inner full stops only.</summary>
    internal static string Id(TomlTable table, string key)
    {
        var id = table.Required(key);
        const int Longest = 64;
        var isGood = id.Length is > 0 and <= Longest && id[0] != '.' && id[^1] != '.' && id.All(c => char.IsLetterOrDigit(c) || c is '-' or '_' or '.');
        return isGood ? id : throw table.Fault(key, $"`{key}` is \"{TomlTable.Shorten(id)}\"", $"Use 1 to {Longest} letters, digits, hyphens and underscores.");
    }

    internal static string? OptionalId(TomlTable table, string key) => table.Has(key) ? Id(table, key) : null;

    private List<T> All<T>(string key, Func<TomlTable, T> read, Func<T, string> idOf, Func<T, int> lineOf)
    {
        var items = new List<T>();
        var lines = new Dictionary<string, int>(StringComparer.Ordinal);
        foreach (var table in root.Tables(key))
        {
            var item = read(table);
            if (!lines.TryAdd(idOf(item), lineOf(item)))
                throw table.Fault("id", $"the {key} \"{idOf(item)}\" is given twice, first on line {lines[idOf(item)]}", "Give each one an id of its own.");
            items.Add(item);
        }
        return items;
    }

    private StimulusFile ReadStimulus(TomlTable table)
    {
        table.RefuseUnknownKeys("id", "file");
        var file = table.Required("file");
        return new(Id(table, "id"), file, Inside(table, "file", file), table.Line);
    }

    private Microphone ReadMicrophone(TomlTable table)
    {
        table.RefuseUnknownKeys("id", "calibration", "calibration_sign", "calibration_phase", "lowest_hz", "highest_hz", "tolerance_db", "max_spl_db", "calibrated_on", "calibration_uncertainty_db",
            "sensitivity_dbfs_at_94db", "input_gain_db", "reference", "noise_dba");
        var microphone = new Microphone
        {
            Id = Id(table, "id"),
            Calibrations = ReadCalibrations(table),
            CalibrationSign = table.Choice<CalibrationSign>("calibration_sign", ("response", CalibrationSign.Response), ("correction", CalibrationSign.Correction)) ?? CalibrationSign.Response,
            IsCalibrationPhaseMinimum = table.Choice<bool>("calibration_phase", ("file", false), ("minimum", true)) ?? false,
            LowestHz = table.Number("lowest_hz", Frequency),
            HighestHz = table.Number("highest_hz", Frequency),
            ToleranceDb = table.Number("tolerance_db", new(0, 20, "dB")),
            MaxSplDb = table.Number("max_spl_db", new(60, 200, "dB")),
            CalibratedOn = table.Date("calibrated_on"),
            CalibrationUncertaintyDb = table.Number("calibration_uncertainty_db", new(0, 20, "dB")),
            SensitivityDbfsAt94Db = table.Number("sensitivity_dbfs_at_94db", new(-200, 20, "dBFS")),
            InputGainDb = table.Number("input_gain_db", new(-120, 120, "dB")),
            NoiseDba = table.Number("noise_dba", new(-20, 100, "dB(A)")),
            IsReference = table.Flag("reference") ?? false,
            Line = table.Line,
        };
        if (microphone.LowestHz >= microphone.HighestHz)
            throw table.Fault("highest_hz", FormattableString.Invariant($"the data sheet's highest frequency, {microphone.HighestHz} Hz, is not above its lowest, {microphone.LowestHz} Hz"), "Exchange the two.");
        return microphone;
    }

    private IReadOnlyList<CalibrationFile> ReadCalibrations(TomlTable table)
    {
        if (table.Find("calibration") is not { } entry) return [];
        if (entry.Value is string file) return [new() { File = file, Path = Inside(table, "calibration", file), Line = entry.Line }];
        if (entry.Value is not (List<TomlTable> or List<TomlValue>)) throw table.WrongType(entry, "a file, or a list of { angle_deg = 0.0, file = \"…\" }");
        var files = new List<CalibrationFile>();
        foreach (var item in table.Tables("calibration"))
        {
            item.RefuseUnknownKeys("angle_deg", "file");
            var angle = item.Number("angle_deg", new(-360, 360, "°")) ?? throw item.Missing("angle_deg", "the angle of incidence, 0.0 on axis");
            if (files.Any(other => other.AngleDeg == angle)) throw item.Fault("angle_deg", FormattableString.Invariant($"{angle}° is given twice"), "Name one calibration file for each angle.");
            var name = item.Required("file");
            files.Add(new() { File = name, Path = Inside(item, "file", name), AngleDeg = angle, Line = item.Line });
        }
        return files;
    }

    private static Source ReadSource(TomlTable table)
    {
        table.RefuseUnknownKeys("id", "kind", "position_m", "area_cm2", "effective_diameter_mm", "count", "part_of", "candidate_of", "baffle_position_m");
        var area = table.Number("area_cm2", TomlRange.Above0UpTo(100_000, "cm²"));
        var diameter = table.Number("effective_diameter_mm", TomlRange.Above0UpTo(3_000, "mm"));
        if (area is not null && diameter is not null)
            throw table.Fault("effective_diameter_mm", "both `area_cm2` and `effective_diameter_mm` are given", "Keep the one that you measured.");
        const double SquareMmPerSquareCm = 100;
        var onBaffle = BoxReader.ReadBafflePosition(table);
        return new()
        {
            Id = Id(table, "id"),
            Kind = table.Choice<SourceKind>("kind", ("subwoofer", SourceKind.Subwoofer), ("loudspeaker", SourceKind.Loudspeaker), ("cone", SourceKind.Cone), ("port", SourceKind.Port), ("passive-radiator", SourceKind.PassiveRadiator))
                ?? throw table.Missing("kind", "\"subwoofer\", \"loudspeaker\", \"cone\", \"port\" or \"passive-radiator\""),
            Position = ReadPosition(table),
            AreaCm2 = area ?? Math.PI / 4 * diameter * diameter / SquareMmPerSquareCm,
            Count = table.Integer("count", 1, 64) ?? 1,
            FromLeftMetres = onBaffle?.FromLeftMetres,
            FromBottomMetres = onBaffle?.FromBottomMetres,
            PartOf = OptionalId(table, "part_of"),
            CandidateOf = OptionalId(table, "candidate_of"),
            Line = table.Line,
        };
    }

    private static Seat ReadSeat(TomlTable table)
    {
        table.RefuseUnknownKeys("id", "position_m", "weight");
        return new() { Id = Id(table, "id"), Position = ReadPosition(table), Weight = table.Number("weight", new(0, 1_000, "")) ?? 1, Line = table.Line };
    }

    private static Room ReadRoom(TomlTable table)
    {
        table.RefuseUnknownKeys("length_m", "width_m", "height_m", "temperature_c");
        return new(Side("length_m"), Side("width_m"), Side("height_m"), table.Number("temperature_c", new(-40, 60, "°C")) ?? Air.DefaultTemperatureCelsius);

        double Side(string key) => table.Number(key, RoomSide) ?? throw table.Missing(key, "the distance between the two surfaces in metres, or take [room] out");
    }

    private static Processor ReadProcessor(TomlTable table)
    {
        table.RefuseUnknownKeys("delay_step_ms", "delay_max_ms", "gain_step_db", "filter_bands");
        return new(table.Number("delay_step_ms", TomlRange.Above0UpTo(1_000, "ms")), table.Number("delay_max_ms", new(0, 10_000, "ms")),
            table.Number("gain_step_db", TomlRange.Above0UpTo(20, "dB")), table.Integer("filter_bands", 0, 1_000));
    }

    private static Position? ReadPosition(TomlTable table) => table.Numbers("position_m", Coordinate) switch
    {
        null => null,
        [var x, var y, var z] => new(x, y, z),
        var numbers => throw table.Fault("position_m", $"`position_m` has {numbers.Length} number{(numbers.Length == 1 ? "" : "s")}", "Write three: along the length, along the width, above the floor, in metres."),
    };

    private void NotePositions(Room? room, List<Source> sources, List<Seat> seats)
    {
        if (room is not { } box) return;
        var places = sources.Select(source => (Kind: "source", source.Id, source.Position, source.Line))
            .Concat(seats.Select(seat => (Kind: "seat", seat.Id, seat.Position, seat.Line)));
        foreach (var (kind, id, position, line) in places)
            if (position is { } p && !(p.XMetres >= 0 && p.XMetres <= box.LengthMetres && p.YMetres >= 0 && p.YMetres <= box.WidthMetres && p.ZMetres >= 0 && p.ZMetres <= box.HeightMetres))
                _notes.Add($"{Survey.FileName}:{line}: the {kind} {id} stands outside the room. Check position_m and [room]: positions are counted from one floor corner.");
    }

    private string Inside(TomlTable table, string key, string file) => PathInside.Resolve(folder, file, Survey.FileName, table.LineOf(key));
}
