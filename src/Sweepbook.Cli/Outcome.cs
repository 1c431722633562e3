// SPDX-License-Identifier: MIT
using System.Globalization;
using CsvHelper;
using Sweepbook.Files;
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

    /// <summary>Prints what studies of one take each say about it: faults on standard error, one picture for all.</summary>
    public static void PrintTakes(Terminal terminal, IReadOnlyList<Study> looks)
    {
        foreach (var take in looks.SelectMany(look => look.Takes))
        {
            if (take.WhyNot is { } why) terminal.Complain($"Left out: {(why.StartsWith(take.Take.File, StringComparison.Ordinal) ? "" : $"{take.Take.File}: ")}{why}");
            foreach (var fault in take.Faults) terminal.Complain($"{take.Take.File}: {fault}");
        }
        var bars = looks.SelectMany(look => look.Responses).Select(result => Bar(Path.GetFileNameWithoutExtension(result.Takes[0].File), result.LevelBand)).ToList();
        foreach (var line in TrustPicture.Lines(bars, terminal.Width)) terminal.Say(line);
    }

    /// <summary>Refuses to write into a survey.</summary>
    public static void RefuseInside(string survey, string target)
    {
        var inside = Path.GetRelativePath(survey, Path.GetFullPath(target));
        if (inside == "." || !inside.StartsWith("..", StringComparison.Ordinal) && !Path.IsPathRooted(inside))
            throw new DataFault(target, null, "this lies inside the survey folder, and a survey is never written into", "Choose another place with --out.");
    }

    private static TrustBar Bar(string name, TrustedBand band) => new(name, "", "", band.FromHz, band.ToHz, band.LowReason.Sentence, band.HighReason.Sentence);

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
