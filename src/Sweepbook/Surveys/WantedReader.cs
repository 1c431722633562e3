// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;

namespace Sweepbook.Surveys;

/// <summary>Reads [wanted], the range that the job needs of every microphone.</summary>
internal static class WantedReader
{
    internal const double LowestHz = 1, HighestHz = 100_000, MostDb = 20;

    internal static (double? FromHz, double? ToHz, double? WithinDb) Read(TomlTable root)
    {
        if (root.Table("wanted") is not { } table) return default;
        table.RefuseUnknownKeys("from_hz", "to_hz", "within_db");
        var frequency = new TomlRange(LowestHz, HighestHz, "Hz");
        var fromHz = table.Number("from_hz", frequency) ?? throw table.Missing("from_hz", "the lowest frequency that the job needs, or take [wanted] out");
        var toHz = table.Number("to_hz", frequency) ?? throw table.Missing("to_hz", "the highest frequency that the job needs, or take [wanted] out");
        if (fromHz >= toHz)
            throw table.Fault("to_hz", FormattableString.Invariant($"the wanted range ends at {toHz} Hz, which is not above its beginning at {fromHz} Hz"), "Exchange the two.");
        return (fromHz, toHz, table.Number("within_db", TomlRange.Above0UpTo(MostDb, "dB")));
    }

    /// <summary>Reads "5:120".</summary>
    /// <param name="text">Two frequencies in hertz with a colon between them; blanks beside it do not matter.</param>
    /// <param name="problem">What is wrong with it and what to write, as a sentence; empty where nothing is.</param>
    internal static (double FromHz, double ToHz) Parse(string text, out string problem)
    {
        const string Example = "write two frequencies in hertz with a colon between them, for example 5:120";
        var parts = text.Split(':');
        problem = "";
        if (parts.Length != 2 || !TryNumber(parts[0], out var fromHz) || !TryNumber(parts[1], out var toHz))
            problem = $"`{TomlTable.Shorten(text)}` is not a range; {Example}.";
        else if (!(fromHz >= LowestHz && fromHz <= HighestHz && toHz >= LowestHz && toHz <= HighestHz))
            problem = FormattableString.Invariant($"`{TomlTable.Shorten(text)}` reaches outside {LowestHz} to {HighestHz} Hz; {Example}.");
        else if (fromHz >= toHz)
            problem = FormattableString.Invariant($"`{TomlTable.Shorten(text)}` does not rise; {(fromHz > toHz ? $"did you mean {toHz}:{fromHz}?" : $"{Example}.")}");
        else
            return (fromHz, toHz);
        return (double.NaN, double.NaN);
    }

    private static bool TryNumber(string text, out double value) => double.TryParse(text.Trim(), NumberStyles.Float, CultureInfo.InvariantCulture, out value) && double.IsFinite(value);
}
