// SPDX-License-Identifier: MIT
using Tomlyn.Syntax;

namespace Sweepbook.Files;

/// <summary>Turns the parser's syntax tree into <see cref="TomlTable"/>s, refusing keys and tables given twice.</summary>
/// <remarks>Source: TOML 1.0.0 (toml.io/en/v1.0.0): a table is defined once, an inline table is closed, `[[x]]` appends, `[x.y]` goes into the last `x`.</remarks>
internal static class TomlTree
{
    internal static TomlTable Build(DocumentSyntax document, string file)
    {
        var root = new TomlTable(file, 1, "the file") { IsDefined = true };
        AddAll(root, document.KeyValues, file);
        foreach (var table in document.Tables)
        {
            var line = LineOf(table);
            var names = NamesOf(table.Name, file, line);
            var parent = Descend(root, names.AsSpan(0, names.Count - 1), line);
            AddAll(table is TableArraySyntax ? Append(parent, names[^1], line) : Define(parent, names[^1], line), table.Items, file);
        }
        return root;
    }

    private static TomlTable Define(TomlTable parent, string name, int line)
    {
        if (parent.Entry(name) is not { } entry)
        {
            var created = new TomlTable(parent.File, line, $"[{name}]") { IsDefined = true };
            parent.Add(name, line, created);
            return created;
        }
        if (entry.Value is not TomlTable { IsDefined: false } table) throw Twice(parent.File, line, name, entry.Line);
        table.IsDefined = true;
        return table;
    }

    private static TomlTable Append(TomlTable parent, string name, int line)
    {
        var created = new TomlTable(parent.File, line, $"[[{name}]]") { IsDefined = true };
        if (parent.Entry(name) is not { } entry) parent.Add(name, line, new List<TomlTable> { created });
        else if (entry.Value is List<TomlTable> tables) tables.Add(created);
        else throw Twice(parent.File, line, name, entry.Line);
        return created;
    }

    private static TomlTable Descend(TomlTable from, ReadOnlySpan<string> names, int line)
    {
        foreach (var name in names)
        {
            if (from.Entry(name) is not { } entry)
            {
                var created = new TomlTable(from.File, line, $"[{name}]");
                from.Add(name, line, created);
                from = created;
            }
            else from = entry.Value switch
            {
                TomlTable { IsClosed: false } table => table,
                List<TomlTable> tables => tables[^1],
                _ => throw Twice(from.File, line, name, entry.Line),
            };
        }
        return from;
    }

    private static void AddAll(TomlTable table, SyntaxList<KeyValueSyntax> items, string file)
    {
        foreach (var item in items) Add(table, item, file);
    }

    private static void Add(TomlTable table, KeyValueSyntax item, string file)
    {
        var line = LineOf(item);
        if (item.Key is null || item.Value is null) throw NotToml(file, line);
        var names = NamesOf(item.Key, file, line);
        var parent = Descend(table, names.AsSpan(0, names.Count - 1), line);
        if (parent.Entry(names[^1]) is { } earlier) throw Twice(file, line, names[^1], earlier.Line);
        parent.Add(names[^1], line, ValueOf(item.Value, names[^1], file, line));
    }

    private static object ValueOf(ValueSyntax value, string key, string file, int line) => value switch
    {
        StringValueSyntax text => text.Value ?? "",
        IntegerValueSyntax integer => integer.Value,
        FloatValueSyntax number => number.Value,
        BooleanValueSyntax flag => flag.Value,
        DateTimeValueSyntax date => date.Value,
        ArraySyntax array => ItemsOf(array, key, file, line),
        InlineTableSyntax inline => InlineOf(inline, key, file, line),
        _ => throw NotToml(file, line),
    };

    private static List<TomlValue> ItemsOf(ArraySyntax array, string key, string file, int line)
    {
        var items = new List<TomlValue>();
        foreach (var item in array.Items)
        {
            if (item.Value is null) throw NotToml(file, line);
            var itemLine = LineOf(item);
            items.Add(new(key, itemLine, ValueOf(item.Value, key, file, itemLine)));
        }
        return items;
    }

    private static TomlTable InlineOf(InlineTableSyntax inline, string key, string file, int line)
    {
        var table = new TomlTable(file, line, key) { IsDefined = true };
        foreach (var item in inline.Items) Add(table, item.KeyValue ?? throw NotToml(file, line), file);
        table.IsClosed = true;
        return table;
    }

    private static List<string> NamesOf(KeySyntax? key, string file, int line)
    {
        if (key?.Key is null) throw NotToml(file, line);
        var names = new List<string> { NameOf(key.Key) };
        foreach (var dotted in key.DotKeys) names.Add(NameOf(dotted.Key));
        return names.Count <= TomlDocument.DeepestNesting
            ? names
            : throw new DataFault(file, line, $"the key has {names.Count} parts", $"Use at most {TomlDocument.DeepestNesting}.");

        string NameOf(BareKeyOrStringValueSyntax? part) => part switch
        {
            BareKeySyntax bare => bare.Key?.Text ?? throw NotToml(file, line),
            StringValueSyntax text => text.Value ?? throw NotToml(file, line),
            _ => throw NotToml(file, line),
        };
    }

    private static Span<string> AsSpan(this List<string> names, int start, int length) =>
        System.Runtime.InteropServices.CollectionsMarshal.AsSpan(names).Slice(start, length);

    private static int LineOf(SyntaxNode node) => node.Span.Start.Line + 1;

    private static DataFault NotToml(string file, int line) => new(file, line, "this is not TOML", "Write `key = value`, texts in double quotes.");

    private static DataFault Twice(string file, int line, string name, int earlier) =>
        new(file, line, $"`{TomlTable.Shorten(name)}` is given twice, first on line {earlier}", "Keep one of the two.");
}
