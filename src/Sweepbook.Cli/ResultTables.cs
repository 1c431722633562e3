// SPDX-License-Identifier: MIT
using System.Globalization;
using CsvHelper;
using Sweepbook.Trust;

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

    /// <summary>One bar per response of responses.csv: the mask is read back, and its longest band taken as the study takes it.</summary>
    public static IReadOnlyList<TrustBar> Bars(string folder)
    {
        var responses = new Dictionary<(string Source, string Seat, string Setting, string Microphone), (List<double> FrequenciesHz, List<Reason> Reasons)>();
        foreach (var csv in Rows(Path.Combine(folder, "responses.csv")))
        {
            var key = (csv.GetString("source"), csv.GetString("seat"), csv.GetString("setting"), csv.GetString("microphone"));
            if (!responses.TryGetValue(key, out var points)) responses[key] = points = ([], []);
            points.FrequenciesHz.Add(double.Parse(csv.GetString("frequency_hz"), CultureInfo.InvariantCulture));
            // The table keeps the sentence and not the kind of doubt; any kind but none says "not believed".
            points.Reasons.Add(csv.GetString("trusted_level") == "true" ? Reason.None : new(Doubt.Recording, csv.GetString("reason")));
        }
        return [.. responses.Select(response => Bar(response.Key, new TrustMask([.. response.Value.FrequenciesHz], [.. response.Value.Reasons]).LongestBand()))];
    }

    private static TrustBar Bar((string Source, string Seat, string Setting, string Microphone) key, TrustedBand band) =>
        new(key.Source, key.Seat, key.Setting, band.FromHz, band.ToHz, band.LowReason.Sentence, band.HighReason.Sentence);

    private static IEnumerable<CsvReader> Rows(string path)
    {
        if (!File.Exists(path)) yield break;
        using var csv = CsvReader.Create(File.OpenRead(path));
        while (csv.Read()) yield return csv;
    }
}
