// SPDX-License-Identifier: MIT
using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Runtime.CompilerServices;
using System.Text;

namespace Sweepbook.Notebook;

/// <summary>Any value a cell shows as plain text: the same in the runner, in Jupyter and in an exported program, so that two runs can be compared.</summary>
internal static class ShownText
{
    private const int ShownItems = 30;

    /// <summary>The value in lines of text, without a line feed at the end: the parts that the page shows, or what the value says of itself.</summary>
    public static string Of(object? value) => Shown.Parts(value) is { } parts
        ? string.Join("\n\n", parts.Select(part => part.ToText()).Where(text => text.Length > 0))
        : Inner(value, 0);

    private static string Inner(object? value, int depth) => value switch
    {
        null => "nothing",
        string text => text,
        double or float => ((IFormattable)value).ToString("R", CultureInfo.InvariantCulture),
        IFormattable number => number.ToString(null, CultureInfo.InvariantCulture),
        ITuple tuple => "(" + string.Join(", ", Enumerable.Range(0, tuple.Length).Select(k => Inner(tuple[k], depth + 1))) + ")",
        DictionaryEntry entry => $"{Inner(entry.Key, depth + 1)}: {Inner(entry.Value, depth + 1)}",
        Type type => type.ToString(),
        IEnumerable items when !SaysItself(value.GetType()) => depth == 0 ? Lines(items) : "[" + Lines(items).Replace("\n", ", ") + "]",
        _ when depth > 0 && ShownFacts.InOneLine(value) is { } line => line,
        _ when SaysItself(value.GetType()) || depth > 0 => string.Create(CultureInfo.InvariantCulture, $"{value}"),
        _ => Properties(value),
    };

    private static string Lines(IEnumerable items)
    {
        var text = new StringBuilder();
        var count = 0;
        foreach (var item in items)
        {
            if (count > 0) text.Append('\n');
            if (count++ == ShownItems) return text.Append("… and more").ToString();   // a sequence may have no end
            text.Append(Inner(item, 1));
        }
        return count == 0 ? "none" : text.ToString();
    }

    private static bool SaysItself(Type type) =>
        type.GetMethod(nameof(ToString), Type.EmptyTypes)?.DeclaringType is { } says && says != typeof(object) && says != typeof(ValueType);

    private static string Properties(object value)
    {
        var text = new StringBuilder(value.GetType().Name);
        foreach (var property in value.GetType().GetProperties(BindingFlags.Public | BindingFlags.Instance).Where(property => property.GetIndexParameters().Length == 0))
            text.Append("\n  ").Append(property.Name).Append(": ").Append(Read(property, value));
        return text.ToString();
    }

    private static string Read(PropertyInfo property, object value)
    {
        try
        {
            return Inner(property.GetValue(value), 1);
        }
        catch (TargetInvocationException refused)
        {
            return $"not given ({refused.InnerException?.Message})";
        }
    }
}
