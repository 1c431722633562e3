// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Which row of one table is which of another, by the cells of their key columns.</summary>
/// <remarks>First rows whose keys have the same text, in their order where several do; of what is left, rows whose key texts are the same and whose key numbers agree in their last printed digit.</remarks>
internal sealed class RowPairs
{
    private const char Between = '\u001f';
    private readonly TableComparison.Shared[] _keys;

    public RowPairs(IReadOnlyList<string[]> was, IReadOnlyList<string[]> now, TableComparison.Shared[] keys)
    {
        _keys = keys;
        var both = new List<(string[] Was, string[] Is)>();
        var waiting = new Dictionary<string, Queue<string[]>>(StringComparer.Ordinal);
        foreach (var row in was) Enqueue(waiting, Key(row, key => key.Was, _ => true), row);
        var fresh = new List<string[]>();
        foreach (var row in now)
            if (waiting.TryGetValue(Key(row, key => key.Is, _ => true), out var same) && same.TryDequeue(out var old)) both.Add((old, row));
            else fresh.Add(row);

        var left = new Dictionary<string, Queue<string[]>>(StringComparer.Ordinal);
        foreach (var row in waiting.Values.SelectMany(rows => rows)) Enqueue(left, Key(row, key => key.Was, IsText), row);
        var added = new List<string>();
        foreach (var row in fresh)
        {
            if (left.TryGetValue(Key(row, key => key.Is, IsText), out var candidates) && Near(candidates, row) is { } old) both.Add((old, row));
            else added.Add(NameOf(row));
        }
        Both = both;
        Added = added;
        Missing = [.. left.Values.SelectMany(rows => rows).Select(row => Name(row, key => key.Was))];
    }

    /// <summary>The rows that both tables have.</summary>
    public IReadOnlyList<(string[] Was, string[] Is)> Both { get; }

    /// <summary>The names of the rows that only the old table has.</summary>
    public IReadOnlyList<string> Missing { get; }

    /// <summary>The names of the rows that only the new table has.</summary>
    public IReadOnlyList<string> Added { get; }

    /// <summary>What a row of the new table is about: "sub-left, as-found, 31.5 Hz".</summary>
    public string NameOf(string[] row) => Name(row, key => key.Is);

    private string Name(string[] row, Func<TableComparison.Shared, int> place) => string.Join(", ", _keys.Where(key => row[place(key)].Length > 0).Select(key => Shown(row[place(key)], key)));

    private static string Shown(string cell, TableComparison.Shared key)
    {
        if (IsText(key)) return cell;
        var number = cell.Contains('.', StringComparison.Ordinal) ? cell.TrimEnd('0').TrimEnd('.') : cell;
        return TableComparison.UnitOf(key.Kind.Name) is { Length: > 0 } unit ? $"{number} {unit}" : number;
    }

    private string[]? Near(Queue<string[]> candidates, string[] row)
    {
        for (var n = candidates.Count; n > 0; n--)
        {
            var old = candidates.Dequeue();
            if (_keys.All(key => key.Compare(old[key.Was], row[key.Is]).Agrees)) return old;
            candidates.Enqueue(old);
        }
        return null;
    }

    private static bool IsText(TableComparison.Shared key) => key.Kind.LastDigitOf is null;

    private string Key(string[] row, Func<TableComparison.Shared, int> place, Func<TableComparison.Shared, bool> counts) => string.Join(Between, _keys.Where(counts).Select(key => row[place(key)]));

    private static void Enqueue(Dictionary<string, Queue<string[]>> rows, string key, string[] row)
    {
        if (!rows.TryGetValue(key, out var same)) rows.Add(key, same = new());
        same.Enqueue(row);
    }
}
