// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Simulation;

/// <summary>Which takes a plan asks for: every source at every seat, repeats where named, or only those listed; and what is damaged.</summary>
internal sealed class PlannedTakes(TomlTable root, TomlTable own, IReadOnlyList<PlannedSource> sources, IReadOnlyList<PlannedSeat> seats, bool isMarked)
{
    private const int LongestId = 64;
    private static readonly (string, DamageKind)[] DamageWords =
    [
        ("clipped", DamageKind.Clipped), ("silent-loopback", DamageKind.SilentLoopback), ("wrong-rate", DamageKind.WrongRate), ("cut-short", DamageKind.CutShort),
        ("length-zero", DamageKind.LengthZero), ("lost-samples", DamageKind.LostSamples), ("repeated-buffer", DamageKind.RepeatedBuffer), ("zeros", DamageKind.Zeros),
        ("soft-clipped", DamageKind.SoftClipped), ("bump", DamageKind.Bump), ("exchanged-channels", DamageKind.ExchangedChannels), ("identical-channels", DamageKind.IdenticalChannels),
        ("leaking-loopback", DamageKind.LeakingLoopback), ("noise-suppression", DamageKind.NoiseSuppression), ("level-riding", DamageKind.LevelRiding),
    ];

    private readonly List<PlannedTake> _takes = [];

    public IReadOnlyList<PlannedTake> Read()
    {
        foreach (var source in sources)
            foreach (var seat in PlacesOf(source))
                AddTurns(source, seat);
        foreach (var table in root.Tables("repeat")) AddRepeats(table);
        if (own.Texts("takes") is { } names)
        {
            var wanted = names.Select(name => _takes[IndexOf((string)name.Value, own.File, name.Line)].Name).ToHashSet(StringComparer.Ordinal);
            _takes.RemoveAll(take => !wanted.Contains(take.Name));
        }
        foreach (var table in own.Tables("damage")) Damage(table);
        return _takes;
    }

    /// <summary>One, or several that take turns.</summary>
    public required IReadOnlyList<PlannedMicrophone> Microphones { get; init; }

    /// <summary>How often the reference is set up at each place.</summary>
    public int ReferenceTakes { get; init; } = 1;

    /// <summary>Where a source is heard: a cone or port close to it, anything else at every seat and place.</summary>
    private IEnumerable<PlannedSeat> PlacesOf(PlannedSource source) => source.Radiator switch
    {
        null => seats.Where(seat => seat.Field != PlannedField.Free),
        { Kind: BoxPart.Whole } => seats.Where(seat => seat.Field == PlannedField.Free),
        var radiator => [new(PlannedRadiator.PlaceId, default, null, 0) { Field = PlannedField.Near, DistanceMm = radiator.DistanceMm }],
    };

    /// <summary>The reference first and last and evenly between, the others once each in their order.</summary>
    private void AddTurns(PlannedSource source, PlannedSeat seat)
    {
        var (reference, others) = (Microphones.FirstOrDefault(microphone => microphone.IsReference), Microphones.Where(microphone => !microphone.IsReference).ToList());
        for (int repeat = 1, next = 0; repeat <= ReferenceTakes; repeat++)
        {
            if (reference is not null) _takes.Add(new(source, seat, repeat, default) { Microphone = reference });
            var until = ReferenceTakes == 1 ? others.Count : (int)Math.Ceiling((double)others.Count * repeat / (ReferenceTakes - 1));
            for (; next < Math.Min(until, others.Count); next++) _takes.Add(new(source, seat, 1, default) { Microphone = others[next] });
        }
    }

    /// <summary>An id: it stands in file names and tables.</summary>
    public static string Id(TomlTable table)
    {
        var id = table.Required("id");
        return IsId(id) ? id : throw table.Fault("id", $"`id` is \"{TomlTable.Shorten(id)}\"", $"Use 1 to {LongestId} letters, digits and hyphens.");
    }

    public static bool IsId(string text) => text.Length is > 0 and <= LongestId && text.All(c => char.IsAsciiLetterOrDigit(c) || c == '-');

    private void AddRepeats(TomlTable table)
    {
        table.RefuseUnknownKeys("source", "seat", "takes");
        if (Microphones[0].IsListed) throw new DataFault(table.File, table.Line, "microphones that take turns repeat by `reference_takes`", "Take [[repeat]] out, and state reference_takes in [substitution].");
        var first = IndexOf($"{table.Required("source")}_{table.Required("seat")}", table.File, table.Line);
        var count = table.Integer("takes", 2, 100) ?? throw table.Missing("takes", "how many in all, 2 or more");
        for (var repeat = 2; repeat <= count; repeat++) _takes.Insert(first + repeat - 1, _takes[first] with { Repeat = repeat });
    }

    private void Damage(TomlTable table)
    {
        table.RefuseUnknownKeys("take", "kind", "amount");
        var index = IndexOf(table.Required("take"), table.File, table.LineOf("take"));
        var kind = table.Choice("kind", DamageWords) ?? throw table.Missing("kind", $"one of {string.Join(", ", DamageWords.Select(word => $"\"{word.Item1}\""))}");
        if (isMarked && kind is DamageKind.SilentLoopback or DamageKind.ExchangedChannels or DamageKind.IdenticalChannels or DamageKind.LeakingLoopback)
            throw table.Fault("kind", "a take that is timed by a marker has no loopback to damage", "Choose another kind.");
        TomlRange? range = kind switch
        {
            DamageKind.Clipped => new(0.1, 60, "dB above full scale"),
            DamageKind.WrongRate => new(1_000, 768_000, "Hz"),
            DamageKind.CutShort => new(0.01, 0.99, "of the length"),
            DamageKind.LostSamples or DamageKind.RepeatedBuffer or DamageKind.Zeros => new(0.02, 500, "ms"),
            DamageKind.SoftClipped => new(0.1, 20, "dB of compression"),
            DamageKind.Bump or DamageKind.LeakingLoopback => new(-80, 20, "dB"),
            DamageKind.NoiseSuppression or DamageKind.LevelRiding => new(0.1, 80, "dB"),
            _ => null,
        };
        if (range is null && table.Has("amount")) throw table.Fault("amount", "this kind of damage has no amount", "Take `amount` out.");
        var amount = range is { } allowed ? table.Number("amount", allowed) ?? throw table.Missing("amount", $"a number in {allowed}") : 0;
        _takes[index] = _takes[index] with { Damage = new(kind, amount) };
    }

    private int IndexOf(string name, string file, int line)
    {
        var index = _takes.FindIndex(take => take.Name == name);
        return index >= 0 ? index
            : throw new DataFault(file, line, $"there is no take \"{TomlTable.Shorten(name)}\"", NearestName.Advice(name, [.. _takes.Select(take => take.Name)]));
    }
}
