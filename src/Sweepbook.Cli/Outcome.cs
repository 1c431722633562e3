// SPDX-License-Identifier: MIT
using System.Globalization;
using CsvHelper;
using Sweepbook.Studies;
using Sweepbook.Trust;

namespace Sweepbook.Cli;

/// <summary>The first screen: five sentences and one picture. Read back from the tables of a report, or taken from a study in hand.</summary>
internal static class Outcome
{
    /// <summary>Prints the first screen of a results folder, and on standard error each take that was left out.</summary>
    public static void Print(Terminal terminal, string results)
    {
        var (findings, takes) = (Rows(Path.Combine(results, "findings.csv")), Rows(Path.Combine(results, "takes.csv")));
        foreach (var finding in findings.Where(finding => finding["id"] == DetailIds.LeftOut)) terminal.Complain($"Left out: {finding["sentence"]}");
        Print(terminal, findings.Take(Study.Headlines).Select(finding => finding["sentence"]), [.. takes.Where(take => take["used"] == "true").Select(Bar).DistinctBy(bar => (bar.Source, bar.Seat, bar.Setting))]);
    }

    /// <summary>Prints the first screen of a study.</summary>
    public static void Print(Terminal terminal, Study study)
    {
        foreach (var finding in study.Findings.Where(finding => finding.Id == DetailIds.LeftOut)) terminal.Complain($"Left out: {finding.Sentence}");
        Print(terminal, study.Findings.Take(Study.Headlines).Select(finding => finding.Sentence), Bars(study));
    }

    /// <summary>One bar per response.</summary>
    public static IReadOnlyList<TrustBar> Bars(Study study) => [.. study.Responses.Select(result =>
        new TrustBar(result.Source, result.Seat, result.Setting, result.LevelBand.FromHz, result.LevelBand.ToHz, result.LevelBand.LowReason.Sentence, result.LevelBand.HighReason.Sentence))];

    private static void Print(Terminal terminal, IEnumerable<string> sentences, IReadOnlyList<TrustBar> bars)
    {
        terminal.Say();
        foreach (var (k, sentence) in sentences.Index()) terminal.SayWrapped(sentence, $"{k + 1}. ", "   ");
        terminal.Say();
        foreach (var line in TrustPicture.Lines(bars, terminal.Width)) terminal.Say(line);
        terminal.Say();
    }

    private static TrustBar Bar(IReadOnlyDictionary<string, string> take) => new(
        take["source"], take["seat"], take["setting"], Number(take["trusted_from_hz"]), Number(take["trusted_to_hz"]), take["low_limit_reason"], take["high_limit_reason"]);

    private static double Number(string text) => text.Length == 0 ? double.NaN : double.Parse(text, CultureInfo.InvariantCulture);

    private static List<IReadOnlyDictionary<string, string>> Rows(string path)
    {
        if (!File.Exists(path)) return [];   // a notebook of the user's own may write other tables
        using var csv = CsvReader.Create(File.OpenRead(path));
        var rows = new List<IReadOnlyDictionary<string, string>>();
        while (csv.Read()) rows.Add(csv.Headers.ToDictionary(name => name, csv.GetString));
        return rows;
    }

    private static class DetailIds
    {
        public const string LeftOut = "take-left-out";
    }
}
