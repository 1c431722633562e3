// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;

namespace Sweepbook.Cli;

/// <summary>The first screen: five sentences and one picture; what is wrong with a take goes to standard error.</summary>
internal static class Outcome
{
    private static readonly string[] TakeFaults = ["take-left-out", "take-fault"];

    /// <summary>Prints the first screen of a results folder.</summary>
    public static void Print(Terminal terminal, string results)
    {
        var findings = ResultTables.Findings(results);
        foreach (var finding in findings.Where(finding => TakeFaults.Contains(finding.Id))) terminal.Complain(finding.Sentence);
        PrintHeadlines(terminal, findings);
        foreach (var line in TrustPicture.Lines(ResultTables.Bars(results), terminal.Width)) terminal.Say(line);
        terminal.Say();
    }

    /// <summary>Prints the sentences of the first screen, with a blank line on either side.</summary>
    public static void PrintHeadlines(Terminal terminal, IReadOnlyList<(string Id, string Sentence)> findings)
    {
        terminal.Say();
        foreach (var (k, finding) in findings.Take(Study.Headlines).Index()) terminal.SayWrapped(finding.Sentence, $"{k + 1}. ", "   ");
        terminal.Say();
    }

    /// <summary>Prints what studies of one take each say about it, in one picture for all.</summary>
    public static void PrintTakes(Terminal terminal, IReadOnlyList<Study> looks)
    {
        foreach (var finding in looks.SelectMany(look => look.Findings).Where(finding => TakeFaults.Contains(finding.Id))) terminal.Complain(finding.Sentence);
        var bars = looks.SelectMany(look => look.Responses).Select(result => Bar(Path.GetFileNameWithoutExtension(result.Takes[0].File), result.LevelBand)).ToList();
        foreach (var line in TrustPicture.Lines(bars, terminal.Width)) terminal.Say(line);
    }

    private static TrustBar Bar(string name, TrustedBand band) => new(name, "", "", band.FromHz, band.ToHz, band.LowReason.Sentence, band.HighReason.Sentence);
}
