// SPDX-License-Identifier: MIT
using System.Globalization;
using CsvHelper;

namespace Sweepbook.Cli;

/// <summary>Reads back from the tables of a report what the first screen needs. A notebook of the user's own may write other tables, or none.</summary>
internal static class ResultTables
{
    /// <summary>The sentences of findings.csv with their ids, in their order.</summary>
    public static IReadOnlyList<(string Id, string Sentence)> Findings(string folder)
    {
        var findings = new List<(string, string)>();
        foreach (var csv in Rows(Path.Combine(folder, "findings.csv"))) findings.Add((csv.GetString("id"), csv.GetString("sentence")));
        return findings;
    }

    /// <summary>One bar per row of trusted-bands.csv.</summary>
    public static IReadOnlyList<TrustBar> Bars(string folder)
    {
        var bars = new List<TrustBar>();
        foreach (var csv in Rows(Path.Combine(folder, "trusted-bands.csv")))
            bars.Add(new(csv.GetString("source"), csv.GetString("seat") is { Length: > 0 } seat ? seat : csv.GetString("field") switch { "near" => "close up", "free" => "free field", _ => "" }, csv.GetString("setting"),
                Number(csv.GetString("level_from_hz")), Number(csv.GetString("level_to_hz")), csv.GetString("low_limit_reason"), csv.GetString("high_limit_reason"), csv.GetString("microphone")));
        return bars;
    }

    private static double Number(string text) => text.Length == 0 ? double.NaN : double.Parse(text, CultureInfo.InvariantCulture);

    private static IEnumerable<CsvReader> Rows(string path)
    {
        if (!File.Exists(path)) yield break;
        using var csv = CsvReader.Create(File.OpenRead(path));
        while (csv.Read()) yield return csv;
    }
}
