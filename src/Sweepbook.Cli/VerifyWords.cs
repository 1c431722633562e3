// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Studies;

namespace Sweepbook.Cli;

/// <summary>Says how results compare with the same results computed again.</summary>
internal static class VerifyWords
{
    private const int MostNamed = 12;      // files: a screen; the rest is counted
    private const int MostRows = 3;
    private const int LongestText = 72;    // a line of a terminal: of a longer text, what stands round the first difference
    private const int Before = 24;

    /// <summary>The input files and versions that are not as they were.</summary>
    public static void SayWhatChanged(Terminal terminal, StudyVerification verification)
    {
        if (verification.Inputs.Count == 0) terminal.SayWrapped($"Input files: all {verification.Stated.Files.Count} are as they were.");
        else terminal.SayWrapped($"Input files that are not as they were ({verification.Inputs.Count}):");
        foreach (var change in verification.Inputs.Take(MostNamed)) terminal.Say($"  {change.How,-8} {change.File}");
        if (verification.Inputs.Count > MostNamed) terminal.Say($"  and {verification.Inputs.Count - MostNamed} more");
        if (verification.Versions.Count == 0) terminal.SayWrapped($"Versions: Sweepbook {verification.Stated.Sweepbook} and all it computes with, as they were.");
        else terminal.SayWrapped($"Versions that are not as they were: {string.Join("; ", verification.Versions.Select(Change))}.");
        if (verification.Stated.Wanted.Length > 0) terminal.SayWrapped($"Option taken from the results: {WantedOption.Name} {verification.Stated.Wanted}.");
    }

    /// <summary>One line a table, with the differences below it, and the verdict last.</summary>
    public static void SayTables(Terminal terminal, StudyVerification verification)
    {
        if (verification.Options.Count > 0) terminal.SayWrapped($"Settings of the analysis that are not as they were: {string.Join("; ", verification.Options.Select(Change))}.");
        terminal.Say();
        var width = verification.Tables.Select(table => table.Name.Length).DefaultIfEmpty().Max() + 2;
        foreach (var table in verification.Tables) SayTable(terminal, table, width);
        terminal.Say();
        terminal.SayWrapped(Verdict(verification));
    }

    private static void SayTable(Terminal terminal, TableVerdict table, int width)
    {
        var indent = new string(' ', width);
        if (table.Comparison is not { } comparison)
        {
            terminal.SayWrapped($"differs: {table.Problem}.", table.Name.PadRight(width), indent);
            return;
        }
        terminal.SayWrapped(comparison.Agreement switch
        {
            TableAgreement.Equal => "equal",
            TableAgreement.Agrees when comparison.LargestThatAgrees is { } largest => $"agrees within the last printed digit (largest difference {Size(largest)} in {largest.Column} of {largest.Row})",
            _ => $"differs: {Counts(comparison)}",
        }, table.Name.PadRight(width), indent);
        if (comparison.Agreement != TableAgreement.Differs) return;
        foreach (var cell in comparison.Worst) terminal.SayWrapped($"{cell.Row}: {cell.Column} was {Shown(cell, cell.Was)}, is {Shown(cell, cell.Is)}", $"{indent}- ", $"{indent}  ");
        SayRows(terminal, "no longer computed", comparison.MissingRows, indent);
        SayRows(terminal, "not among the results", comparison.AddedRows, indent);
        SayRows(terminal, "column no longer written", comparison.MissingColumns, indent);
        SayRows(terminal, "column not among the results", comparison.AddedColumns, indent);
    }

    private static void SayRows(Terminal terminal, string what, IReadOnlyList<string> rows, string indent)
    {
        foreach (var row in rows.Take(MostRows)) terminal.SayWrapped($"{what}: {row}", $"{indent}- ", $"{indent}  ");
    }

    private static string Counts(TableComparison comparison) => string.Join(", ", new[]
    {
        comparison.DifferentCells > 0 ? Many(comparison.DifferentCells, "value") : "",
        comparison.MissingRows.Count > 0 ? $"{Many(comparison.MissingRows.Count, "row")} no longer computed" : "",
        comparison.AddedRows.Count > 0 ? $"{Many(comparison.AddedRows.Count, "row")} not among the results" : "",
        comparison.MissingColumns.Count > 0 ? $"{Many(comparison.MissingColumns.Count, "column")} no longer written" : "",
        comparison.AddedColumns.Count > 0 ? $"{Many(comparison.AddedColumns.Count, "column")} not among the results" : "",
    }.Where(part => part.Length > 0));

    private static string Verdict(StudyVerification verification)
    {
        var differ = verification.Tables.Count(table => !table.Agrees);
        var changed = verification.Inputs.Count;
        var files = changed == 1 ? "1 input file is not as it was" : $"{changed} input files are not as they were";
        if (differ == 0)
            return changed == 0 ? $"The numbers agree: {Counted.Of(verification.Tables.Count, "table")} computed again." : $"The numbers agree, although {files}.";
        var reason = changed > 0 ? $"the likely reason: {files}"
            : verification.Versions.Count + verification.Options.Count > 0 ? "the input files are as they were; the likely reason is a change of version or settings"
            : "the input files and versions are as they were, so somebody edited the results, or another kind of processor computed them";
        return $"The numbers do not agree: {differ} of {Counted.Of(verification.Tables.Count, "table")} {(differ == 1 ? "differs" : "differ")}; {reason}.";
    }

    private static string Change(StatedChange change) => $"{change.Name} {change.Was} then, {change.Is} now";

    private static string Many(int count, string noun) => $"{count.ToString("N0", CultureInfo.InvariantCulture)} {noun}{(count == 1 ? "" : "s")}";

    private static string Size(CellDifference cell) => $"{cell.Difference.ToString("G3", CultureInfo.InvariantCulture)}{(cell.Unit.Length > 0 ? " " + cell.Unit : "")}";

    private static string Shown(CellDifference cell, string text)
    {
        if (text.Length == 0) return "empty";
        if (double.IsFinite(TableComparison.Number(text))) return cell.Unit.Length > 0 ? $"{text} {cell.Unit}" : text;
        var same = cell.Was.Zip(cell.Is).TakeWhile(pair => pair.First == pair.Second).Count();
        var start = text.Length <= LongestText || same <= Before ? 0 : Math.Min(same - Before, text.Length - 1);
        if (start > 0 && text.IndexOf(' ', start, same - start) is var blank and >= 0) start = blank + 1;   // a whole word first
        var length = Math.Min(LongestText, text.Length - start);
        return $"\"{(start > 0 ? "… " : "")}{text.Substring(start, length).Trim()}{(start + length < text.Length ? " …" : "")}\"";
    }
}
