// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;

namespace Sweepbook.Cli;

/// <summary>Options that take a day, written as 2026-10-18 whatever the language.</summary>
internal static class DateOption
{
    /// <summary>An option for a day; nothing where it is not given.</summary>
    public static Option<DateOnly?> Of(string name, string description) => new(name)
    {
        Description = description,
        HelpName = "date",
        CustomParser = result =>
        {
            var text = result.Tokens.Count > 0 ? result.Tokens[^1].Value : "";
            if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)) return day;
            result.AddError($"{name}: `{text}` is not a day here; write year, month and day, for example 2026-10-18.");
            return null;
        },
    };
}
