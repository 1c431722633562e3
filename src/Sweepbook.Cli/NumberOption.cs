// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Parsing;
using System.Globalization;

namespace Sweepbook.Cli;

/// <summary>Options that take a number: read with a point whatever the language, and a comma is never taken for a separator of thousands.</summary>
internal static class NumberOption
{
    /// <summary>An option for any number.</summary>
    public static Option<double> Of(string name, string description, double usual) => new(name)
    {
        Description = description,
        DefaultValueFactory = _ => usual,
        HelpName = "number",
        CustomParser = result => Parse<double>(result, name, text => TryNumber(text, out var value) ? value : null, "a number", "1.5"),
    };

    /// <summary>An option for a whole number.</summary>
    public static Option<int> Whole(string name, string description, int usual) => new(name)
    {
        Description = description,
        DefaultValueFactory = _ => usual,
        HelpName = "whole number",
        CustomParser = result => Parse<int>(result, name, text => int.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var value) ? value : null,
            "a whole number", usual.ToString(CultureInfo.InvariantCulture)),
    };

    /// <summary>An option for a channel, counted from 1; nothing where it is not given.</summary>
    public static Option<int?> Channel(string name, string description) => new(name)
    {
        Description = description,
        HelpName = "channel",
        CustomParser = result => Parse<int>(result, name, text => int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var value) && value > 0 ? value : null, "a channel", "2"),
    };

    /// <summary>An option for any number that has no usual value.</summary>
    public static Option<double?> OrNone(string name, string description) => new(name)
    {
        Description = description,
        HelpName = "number",
        CustomParser = result => Parse<double>(result, name, text => TryNumber(text, out var value) ? value : null, "a number", "1.5"),
    };

    private static T Parse<T>(ArgumentResult result, string name, Func<string, T?> read, string kind, string example) where T : struct
    {
        var text = result.Tokens.Count > 0 ? result.Tokens[^1].Value : "";
        if (read(text) is { } value) return value;
        result.AddError($"{name}: `{text}` is not {kind} here; write {Meant(text, read) ?? $"for example {example}"}.");
        return default;
    }

    // What a comma was meant for, a point or nothing, cannot be known where three digits follow it, so both are offered.
    private static string? Meant<T>(string text, Func<string, T?> read) where T : struct
    {
        if (!text.Contains(',')) return null;
        var offers = new List<string>();
        if (text.Split(',') is { Length: > 1 } parts && parts.Skip(1).All(part => part.Split('.')[0].Length == 3)) offers.Add(text.Replace(",", ""));
        offers.Add(text.Replace(',', '.'));
        var readable = offers.Where(offer => read(offer) is not null).ToList();
        return readable.Count > 0 ? string.Join(" or ", readable) : null;
    }

    private static bool TryNumber(string text, out double value) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
}
