// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Trust;

namespace Sweepbook.Surveys;

/// <summary>Reads [[take]], lays it over what the file's name says and over [take-defaults], and adds the files that only the pattern names.</summary>
internal sealed class TakeReader(Survey survey, TomlTable root, List<string> notes, List<UnmatchedFile> unmatched)
{
    internal const int MostChannels = 1_024;
    private const int MostTakes = 20_000;

    private static readonly string[] SharedKeys =
    [
        "sources", "seat", "setting", "microphone", "stimulus", "microphone_channel", "reference_channel", "time_zero", "time_group", "marker_distance_m", "clock_ppm", "field",
        "distance_mm", "angle_deg", "input_gain_db", "drive_db", "use", "note", "recorded_at", "impulse", "time_zero_s",
    ];

    internal IReadOnlyList<Take> Read()
    {
        var defaults = root.Table("take-defaults") ?? new TomlTable(root.File, 1, "[take-defaults]");
        defaults.RefuseUnknownKeys(SharedKeys);
        var tables = root.Tables("take");
        if (tables.Count > MostTakes) throw root.Fault("take", $"the survey has {tables.Count} takes", $"Split it: at most {MostTakes} are read.");
        var finder = new TakeFinder(survey, root, notes, unmatched);
        var (takes, described) = (new List<Take>(), new HashSet<string>(StringComparer.Ordinal));
        if (survey.InputCheck is { } check) described.Add(check.Path);
        described.UnionWith(survey.Calibrators.Select(take => take.Path));
        foreach (var table in tables)
        {
            table.RefuseUnknownKeys(["file", .. SharedKeys]);
            var file = table.Required("file");
            var path = PathInside.Resolve(survey.Folder, file, root.File, table.LineOf("file"));
            described.Add(path);
            var named = finder.ByName(path);
            takes.Add(One(file, path, table, named?.Values is { } values ? values.Over(defaults) : defaults, named?.Repeat));
        }
        foreach (var take in finder.Find(described))
        {
            if (take.Values is null) throw root.Fault("takes", take.Ambiguity!, "Rename the file, or describe it in a [[take]] of its own.");
            takes.Add(One(take.File, take.Path, take.Values, defaults, take.Repeat));
        }
        RefuseSameChannelTwice(takes);
        MarkerKeys.RefuseMixedZeros(root.File, takes);
        return takes;
    }

    private Take One(string file, string path, TomlTable own, TomlTable behind, int? repeat)
    {
        var table = own.Over(behind);
        table.RefuseUnknownKeys(["file", .. SharedKeys]);
        var isImpulse = table.Flag("impulse") ?? false;
        var field = table.Choice<SoundField>("field", ("room", SoundField.Room), ("near", SoundField.Near), ("free", SoundField.Free)) ?? SoundField.Room;
        var channel = table.Integer("microphone_channel", 1, MostChannels, "(channels are counted from 1)") ?? 1;
        var reference = table.Integer("reference_channel", 1, MostChannels, "(channels are counted from 1)");
        var zero = ReadTimeZero(own, table, isImpulse, channel, ref reference);
        var seat = ReadSeat(table, field);
        return new()
        {
            File = file,
            Path = path,
            Sources = ReadSources(table),
            Seat = seat,
            Setting = Named(table, "setting", "setting", [.. survey.Settings.Select(item => item.Id)]) ?? Setting.AsFoundId,
            Microphone = Only(table, "microphone", [.. survey.Microphones.Select(item => item.Id)]),
            MicrophoneChannel = channel,
            ReferenceChannel = reference,
            Stimulus = isImpulse ? RefuseOwn<string>(own, "stimulus", "an impulse take has no stimulus") : Only(table, "stimulus", [.. survey.Stimuli.Select(item => item.Id)]),
            TimeZero = zero,
            TimeGroup = ReadTimeGroup(own, table, zero, seat) with { Survey = System.IO.Path.GetFullPath(survey.Folder) },
            MarkerDistanceMetres = MarkerKeys.Distance(own, table, zero),
            ClockPpm = MarkerKeys.ClockPpm(own, table, zero, isImpulse),
            Field = field,
            DistanceMm = NotInRoom(own, table, "distance_mm", new(0, 100_000, "mm"), field),
            AngleDeg = NotInRoom(own, table, "angle_deg", new(-360, 360, "°"), field),
            InputGainDb = table.Number("input_gain_db", new(-120, 120, "dB")),
            DriveDb = table.Number("drive_db", new(-120, 60, "dB")),
            Use = table.Flag("use") ?? true,
            Note = SurveyReader.Words(table, "note") ?? "",
            RecordedAt = table.Moment("recorded_at"),
            IsImpulse = isImpulse,
            TimeZeroSeconds = ReadTimeZeroSeconds(own, table, isImpulse),
            Repeat = repeat,
            Line = own.Line,
        };
    }

    private static TimeZero ReadTimeZero(TomlTable own, TomlTable table, bool isImpulse, int channel, ref int? reference)
    {
        var stated = table.Choice<TimeZero>("time_zero", ("loopback", TimeZero.Loopback), ("marker", TimeZero.Marker), ("unknown", TimeZero.Unknown));
        if (isImpulse)
        {
            if (own.Entry("time_zero") is not null && stated != TimeZero.Unknown)
                throw own.Fault("time_zero", "an impulse take has no loopback and no marker", "Say where time zero lies with time_zero_s, or take time_zero out.");
            reference = RefuseOwn<int?>(own, "reference_channel", "an impulse take has no reference channel.");
            return table.Has("time_zero_s") && stated != TimeZero.Unknown || own.Entry("time_zero_s") is not null ? TimeZero.Stated : TimeZero.Unknown;
        }
        var zero = stated ?? (reference is null ? TimeZero.Unknown : TimeZero.Loopback);
        if (zero != TimeZero.Loopback) reference = RefuseOwn<int?>(own, "reference_channel", $"time_zero is {zero.ToString().ToLowerInvariant()}, which uses no reference channel");
        else if (reference is null) throw table.Fault("time_zero", "time_zero is loopback but the take has no `reference_channel`", "Add reference_channel = the channel the loopback is recorded on, for example 2.");
        else if (reference == channel) throw table.Fault("reference_channel", $"microphone and loopback are both said to be channel {channel}", "Correct microphone_channel or reference_channel.");
        return zero;
    }

    private static TimeGroup ReadTimeGroup(TomlTable own, TomlTable table, TimeZero zero, string seat)
    {
        var name = SurveyReader.OptionalId(table, "time_group");
        if (zero == TimeZero.Unknown)
            return own.Entry("time_group") is null ? TimeGroup.None
                : throw own.Fault("time_group", "the take's time zero is unknown, so it can belong to no time group", "Take time_group out, or say how time zero is known.");
        return (zero, name) switch
        {
            (TimeZero.Loopback, null) => new("loopback"),
            (TimeZero.Loopback, _) => new($"loopback/{name}"),
            (TimeZero.Marker, null) => new($"marker@{seat}"),
            (TimeZero.Marker, _) => new($"marker/{name}"),
            (_, null) => TimeGroup.None,
            _ => new($"stated/{name}"),
        };
    }

    private static double? ReadTimeZeroSeconds(TomlTable own, TomlTable table, bool isImpulse)
    {
        var seconds = table.Number("time_zero_s", new(0, 3_600, "s"));
        return isImpulse ? seconds : RefuseOwn<double?>(own, "time_zero_s", "only an impulse take may state its time zero");
    }

    private string ReadSeat(TomlTable table, SoundField field)
    {
        string[] known = [.. survey.Seats.Select(item => item.Id)];
        var seat = Named(table, "seat", "seat", known);
        return seat ?? (field == SoundField.Room ? throw table.Missing("seat", known.Length > 0 ? $"one of {string.Join(", ", known.Take(8))}" : "the id of a [[seat]]") : "");
    }

    private IReadOnlyList<string> ReadSources(TomlTable table)
    {
        string[] known = [.. survey.Sources.Select(item => item.Id)];
        var items = table.Texts("sources") ?? throw table.Missing("sources", "[\"…\"] with the sources that played together");
        if (items.Count == 0) throw table.Fault("sources", "`sources` is empty", "Name the source that played.");
        foreach (var item in items)
            if (!known.Contains((string)item.Value)) throw Unknown(table, "source", (string)item.Value, item.Line, known);
        var ids = items.Select(item => (string)item.Value).ToHashSet(StringComparer.Ordinal);
        if (ids.Count < items.Count) throw table.Fault("sources", "`sources` names the same source twice", "Name each source once.");
        return [.. known.Where(ids.Contains)];
    }

    /// <summary>A declared id; where it is not stated, the only one declared.</summary>
    private static string Only(TomlTable table, string key, string[] known) =>
        Named(table, key, key, known) ?? (known is [var only] ? only
            : throw (known.Length == 0
                ? table.Fault(key, $"the survey declares no {key}", $"Add a [[{key}]] table with an id.")
                : table.Missing(key, $"one of {string.Join(", ", known.Take(8))}, in the take or in [take-defaults]")));

    private static string? Named(TomlTable table, string key, string kind, string[] known) =>
        table.Text(key) is not { } id ? null : known.Contains(id) ? id : throw Unknown(table, kind, id, table.LineOf(key), known);

    private static DataFault Unknown(TomlTable table, string kind, string id, int line, string[] known) =>
        new(table.File, line, $"there is no {kind} \"{TomlTable.Shorten(id)}\"", NearestName.Advice(id, known));

    /// <summary>Nothing where the key is absent or only inherited; a fault where the take itself states it.</summary>
    private static T? RefuseOwn<T>(TomlTable own, string key, string problem) =>
        own.Entry(key) is null ? default : throw own.Fault(key, problem, $"Take {key} out.");

    private static double? NotInRoom(TomlTable own, TomlTable table, string key, TomlRange range, SoundField field)
    {
        var value = table.Number(key, range);
        return field != SoundField.Room ? value : RefuseOwn<double?>(own, key, $"`{key}` belongs to near and free-field takes, and this one is in the room");
    }

    private void RefuseSameChannelTwice(List<Take> takes)
    {
        var lines = new Dictionary<(string, int), int>();
        foreach (var take in takes)
            if (!lines.TryAdd((take.Path, take.MicrophoneChannel), take.Line))
                throw new DataFault(root.File, take.Line,
                    $"channel {take.MicrophoneChannel} of {TomlTable.Shorten(take.File)} is a take twice, first on line {lines[(take.Path, take.MicrophoneChannel)]}",
                    "Keep one of the two, or correct file or microphone_channel.");
    }
}
