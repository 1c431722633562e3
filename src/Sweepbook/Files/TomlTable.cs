// SPDX-License-Identifier: MIT
using System.Globalization;
using Tomlyn;

namespace Sweepbook.Files;

/// <summary>A value with the line it stands on.</summary>
internal sealed record TomlValue(string Key, int Line, object Value);

/// <summary>One table of a TOML file, optionally with another table behind it that supplies what this one leaves out.</summary>
/// <remarks>
/// Getters return null where the key is absent and throw a <see cref="DataFault"/> with the line where the value does not fit.
/// A key that was not announced through <see cref="RefuseUnknownKeys"/> is a mistake of the program, not of the file.
/// Own convention (design, survey folder); it needs no source.
/// </remarks>
internal sealed class TomlTable(string file, int line, string name, TomlTable? behind = null)
{
    private readonly Dictionary<string, TomlValue> _entries = new(StringComparer.Ordinal);
    private HashSet<string>? _known;

    internal string File { get; } = file;

    internal int Line { get; } = line;

    /// <summary>How faults call the table: <c>[room]</c>, <c>[[take]]</c>.</summary>
    internal string Name { get; } = name;

    /// <summary>True once a header or an inline table has defined it; false while only a longer key implied it.</summary>
    internal bool IsDefined { get; set; }

    /// <summary>True for an inline table: it may not be extended.</summary>
    internal bool IsClosed { get; set; }

    /// <summary>Keys in the order of the file, of this table alone.</summary>
    internal IReadOnlyCollection<string> Keys => _entries.Keys;

    internal void Add(string key, int line, object value) => _entries.Add(key, new(key, line, value));

    /// <summary>The entry of this table alone, whatever stands behind it.</summary>
    internal TomlValue? Entry(string key) => _entries.GetValueOrDefault(key);

    /// <summary>This table with <paramref name="defaults"/> behind it.</summary>
    internal TomlTable Over(TomlTable defaults)
    {
        var merged = new TomlTable(File, Line, Name, defaults);
        foreach (var entry in _entries.Values) merged._entries.Add(entry.Key, entry);
        return merged;
    }

    /// <summary>Refuses every key of this table (not of the one behind it) that is not among <paramref name="known"/>.</summary>
    /// <exception cref="DataFault">Names the key, its line and the nearest known key.</exception>
    internal void RefuseUnknownKeys(params ReadOnlySpan<string> known)
    {
        _known = new(StringComparer.Ordinal);
        foreach (var key in known) _known.Add(key);
        foreach (var entry in _entries.Values)
            if (!_known.Contains(entry.Key))
                throw new DataFault(File, entry.Line, $"{Name} has no key `{Shorten(entry.Key)}`", NearestName.Advice(entry.Key, _known));
    }

    internal bool Has(string key) => Find(key) is not null;

    /// <summary>Line of a key, or of the table where it is absent.</summary>
    internal int LineOf(string key) => Find(key)?.Line ?? Line;

    internal string? Text(string key) => Find(key) is { } entry ? AsText(entry) : null;

    internal double? Number(string key, TomlRange range) => Find(key) is { } entry ? AsNumber(entry, range) : null;

    internal int? Integer(string key, int from, int to, string unit = "") => Find(key) is not { } entry ? null
        : entry.Value is not long value ? throw WrongType(entry, "a whole number")
        : value >= from && value <= to ? (int)value
        : throw Fault(entry, $"must be a whole number from {from} to {to}{(unit.Length > 0 ? " " + unit : "")}, is {value}");

    internal bool? Flag(string key) => Find(key) is { } entry ? entry.Value as bool? ?? throw WrongType(entry, "true or false") : null;

    internal DateOnly? Date(string key) => Find(key) is not { } entry ? null
        : entry.Value is TomlDateTime { Kind: TomlDateTimeKind.LocalDate } date ? DateOnly.FromDateTime(date.DateTime.DateTime)
        : throw WrongType(entry, "a date without quotes such as 2026-10-18");

    /// <summary>A date with time, as the clock on the wall showed it; an offset from UTC is dropped. A date alone is its midnight.</summary>
    internal DateTime? Moment(string key) => Find(key) is not { } entry ? null
        : entry.Value is TomlDateTime { Kind: not TomlDateTimeKind.LocalTime } moment ? moment.DateTime.DateTime
        : throw WrongType(entry, "a date with time without quotes such as 2026-10-18T20:15:00");

    internal TomlTable? Table(string key) => Find(key) is { } entry ? entry.Value as TomlTable ?? throw WrongType(entry, "a table") : null;

    /// <summary>The tables of `[[key]]` or of an array of inline tables; empty where absent.</summary>
    internal IReadOnlyList<TomlTable> Tables(string key) => Find(key) is not { } entry ? [] : entry.Value switch
    {
        List<TomlTable> tables => tables,
        List<TomlValue> items => [.. items.Select(item => item.Value as TomlTable ?? throw WrongType(item, "a list of tables"))],
        TomlTable => throw Fault(entry, $"must be a list: write [[{key}]] with two brackets on each side"),
        _ => throw WrongType(entry, "a list of tables"),
    };

    internal double[]? Numbers(string key, TomlRange range) => Items(key, "a list of numbers") is { } items ? [.. items.Select(item => AsNumber(item, range))] : null;

    internal IReadOnlyList<TomlValue>? Texts(string key)
    {
        var items = Items(key, "a list of texts such as [\"one\", \"two\"]");
        foreach (var item in items ?? []) AsText(item);
        return items;
    }

    /// <summary>One of several words.</summary>
    internal T? Choice<T>(string key, params ReadOnlySpan<(string Word, T Value)> choices) where T : struct
    {
        if (Find(key) is not { } entry) return null;
        var word = AsText(entry);
        foreach (var choice in choices) if (choice.Word == word) return choice.Value;
        var words = new List<string>();
        foreach (var choice in choices) words.Add(choice.Word);
        throw new DataFault(File, entry.Line, $"`{key}` must be one of {string.Join(", ", words)}; is \"{Shorten(word)}\"", NearestName.Advice(word, words));
    }

    internal TomlValue? Find(string key) =>
        _known is null || _known.Contains(key)
            ? Lookup(key)
            : throw new InvalidOperationException($"The key {key} was not announced for {Name}.");

    private TomlValue? Lookup(string key) => _entries.GetValueOrDefault(key) ?? behind?.Lookup(key);

    internal string Required(string key) => Text(key) ?? throw Missing(key, "a text");

    internal DataFault Missing(string key, string what) => new(File, Line, $"{Name} has no `{key}`", $"Add `{key}` = {what}.");

    internal DataFault Fault(string key, string problem, string remedy) => new(File, LineOf(key), problem, remedy);

    internal static string Shorten(string text)
    {
        var oneLine = string.Concat(text.Select(c => char.IsControl(c) ? ' ' : c));
        return oneLine.Length <= 60 ? oneLine : oneLine[..60] + "…";
    }

    internal DataFault WrongType(TomlValue entry, string wanted) => Fault(entry, $"must be {wanted}, is {Describe(entry.Value)}");

    private DataFault Fault(TomlValue entry, string problem) => new(File, entry.Line, $"`{Shorten(entry.Key)}` {problem}", "Correct the value.");

    private IReadOnlyList<TomlValue>? Items(string key, string wanted) =>
        Find(key) is { } entry ? entry.Value as List<TomlValue> ?? throw WrongType(entry, wanted) : null;

    private string AsText(TomlValue entry) => entry.Value as string ?? throw WrongType(entry, "a text in double quotes");

    private double AsNumber(TomlValue entry, TomlRange range)
    {
        var value = entry.Value switch { long whole => whole, double number => number, _ => throw WrongType(entry, "a number") };
        return range.Contains(value) ? value : throw Fault(entry, $"must lie in {range}, is {value.ToString(CultureInfo.InvariantCulture)}");
    }

    private static string Describe(object value) => value switch
    {
        string text => $"the text \"{Shorten(text)}\"",
        long whole => $"the number {whole.ToString(CultureInfo.InvariantCulture)}",
        double number => $"the number {number.ToString(CultureInfo.InvariantCulture)}",
        bool flag => flag ? "true" : "false",
        TomlDateTime => "a date or time",
        TomlTable => "a table",
        _ => "a list",
    };
}
