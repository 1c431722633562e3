// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Surveys;

/// <summary>Reads [[setting]]: each adjustment is one value for every source, or a table by source id.</summary>
internal sealed class SettingReader(IReadOnlyList<Source> sources)
{
    private static readonly TomlRange Gain = new(-120, 60, "dB");
    private static readonly TomlRange Delay = new(0, 10_000, "ms");

    internal Setting Read(TomlTable table)
    {
        table.RefuseUnknownKeys("id", "note", "gain_db", "delay_ms", "polarity", "filters");
        return new()
        {
            Id = SurveyReader.Id(table, "id"),
            Note = SurveyReader.Words(table, "note") ?? "",
            GainDb = BySource(table, "gain_db", (at, key) => at.Number(key, Gain)!.Value),
            DelayMs = BySource(table, "delay_ms", (at, key) => at.Number(key, Delay)!.Value),
            InvertedSources = [.. BySource(table, "polarity", (at, key) => at.Choice<bool>(key, ("normal", false), ("inverted", true))!.Value).Where(pair => pair.Value).Select(pair => pair.Key)],
            Filters = BySource(table, "filters", ReadFilters),
            Line = table.Line,
        };
    }

    private Dictionary<string, T> BySource<T>(TomlTable table, string key, Func<TomlTable, string, T> read)
    {
        var values = new Dictionary<string, T>(StringComparer.Ordinal);
        if (table.Find(key) is not { } entry) return values;
        if (entry.Value is not TomlTable bySource)
        {
            var shared = read(table, key);
            foreach (var source in sources) values.Add(source.Id, shared);
            return values;
        }
        string[] known = [.. sources.Select(source => source.Id)];
        foreach (var id in bySource.Keys)
            if (!known.Contains(id))
                throw new DataFault(bySource.File, bySource.Entry(id)!.Line, $"there is no source \"{TomlTable.Shorten(id)}\"", NearestName.Advice(id, known));
        foreach (var id in known.Where(id => bySource.Entry(id) is not null)) values.Add(id, read(bySource, id));
        return values;
    }

    private static IReadOnlyList<FilterSetting> ReadFilters(TomlTable table, string key)
    {
        const int MostFilters = 200;
        var tables = table.Tables(key);
        return tables.Count <= MostFilters ? [.. tables.Select(ReadFilter)] : throw table.Fault(key, $"{tables.Count} filters are given", $"Give at most {MostFilters}.");
    }

    private static FilterSetting ReadFilter(TomlTable table)
    {
        table.RefuseUnknownKeys("type", "frequency_hz", "gain_db", "q");
        var kind = table.Choice<FilterKind>("type", ("peak", FilterKind.Peak), ("low-shelf", FilterKind.LowShelf), ("high-shelf", FilterKind.HighShelf),
            ("low-pass", FilterKind.LowPass), ("high-pass", FilterKind.HighPass), ("all-pass", FilterKind.AllPass)) ?? throw table.Missing("type", "\"peak\" or another kind of filter");
        var gain = table.Number("gain_db", Gain);
        var hasGain = kind is FilterKind.Peak or FilterKind.LowShelf or FilterKind.HighShelf;
        if (hasGain && gain is null) throw table.Missing("gain_db", "the gain at its frequency, for example -4.0");
        if (!hasGain && gain is not null) throw table.Fault("gain_db", "this type of filter has no gain", "Take gain_db out.");
        return new()
        {
            Kind = kind,
            FrequencyHz = table.Number("frequency_hz", TomlRange.Above0UpTo(400_000, "Hz")) ?? throw table.Missing("frequency_hz", "its frequency"),
            GainDb = gain ?? 0,
            Q = table.Number("q", TomlRange.Above0UpTo(1_000, "")) ?? Math.Sqrt(0.5),
        };
    }
}
