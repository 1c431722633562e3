// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;
using Sweepbook.Report;

namespace Sweepbook.Notebook.Tests;

/// <summary>The rules for notebooks that a machine can see (house style, notebooks). Each complains in sentences; a notebook that keeps a rule gets none.</summary>
internal static partial class NotebookRules
{
    private const int LongestCell = 12;
    private const double MedianCell = 4;
    private const int LongestSetup = 4;
    private const double WordsPerLineOfCode = 8;
    private const int WordsAboutFigure = 10;
    private const int Stem = 5;   // letters of a word in the file's name that its first cell must hold

    /// <summary>Every rule by its name; the name of the file goes in without its folder and ending.</summary>
    public static IReadOnlyDictionary<string, Func<string, IReadOnlyList<NotebookCell>, IEnumerable<string>>> All { get; } =
        new Dictionary<string, Func<string, IReadOnlyList<NotebookCell>, IEnumerable<string>>>
        {
            ["one question"] = OneQuestion,
            ["set-up"] = (_, cells) => SetUp(cells),
            ["short cells"] = (_, cells) => ShortCells(cells),
            ["words"] = (_, cells) => Words(cells),
            ["cautions"] = (_, cells) => Cautions(cells),
            ["declared once"] = (_, cells) => DeclaredOnce(cells),
            ["nothing missing in the library"] = (_, cells) => NothingMissing(cells),
            ["figures are read"] = (_, cells) => FiguresAreRead(cells),
            ["check cells"] = (_, cells) => CheckCells(cells),
            ["claims"] = (_, cells) => NotebookClaims.Unchecked(cells),
        };

    public static IEnumerable<string> Complaints(string name, IReadOnlyList<NotebookCell> cells) =>
        All.SelectMany(rule => rule.Value(name, cells).Select(complaint => $"{rule.Key}: {complaint}"));

    private static IEnumerable<string> OneQuestion(string name, IReadOnlyList<NotebookCell> cells)
    {
        var first = cells[0].Source;
        var title = cells[0].IsMarkdown ? MarkdownText.Title(first) : null;
        if (title is null) yield return "The first cell holds no title.";
        else if (title.Count(letter => letter == '?') != 1 || !title.EndsWith('?')) yield return $"The title is not one question: {title}";
        foreach (var part in new[] { "**Question.**", "**Answer in one line.**", "**What you need.**", "**Sources.**" })
            if (!first.Contains(part)) yield return $"The first cell lacks {part}";
        foreach (var word in name.Split('-').Where(word => word.Length >= Stem))
            if (!first.Contains(word[..Stem], StringComparison.OrdinalIgnoreCase)) yield return $"The file is named after {word}, of which its first cell does not speak.";
    }

    private static IEnumerable<string> SetUp(IReadOnlyList<NotebookCell> cells)
    {
        if (cells.Count < 2 || !cells[1].IsCode || !cells[1].Source.Contains("#load")) yield return "The second cell is not the set-up.";
        else if (Lines(cells[1]) > LongestSetup) yield return $"The set-up has {Lines(cells[1])} lines; at most {LongestSetup}.";
        foreach (var cell in cells.Skip(2).Where(cell => cell.IsCode))
            if (cell.Source.Split('\n').Any(line => line.StartsWith('#') || line.StartsWith("using "))) yield return $"Another set-up: {cell.Source}";
    }

    private static IEnumerable<string> ShortCells(IReadOnlyList<NotebookCell> cells)
    {
        foreach (var cell in cells.Where(cell => cell.IsCode))
            if (Lines(cell) is 0 or > LongestCell) yield return $"A cell has {Lines(cell)} lines, and 1 to {LongestCell} are allowed: {cell.Source}";
        var lines = cells.Where(cell => cell.IsCode).Select(Lines).Order().ToArray();
        if (lines.Length > 0 && (lines[(lines.Length - 1) / 2] + lines[lines.Length / 2]) / 2.0 > MedianCell) yield return $"The median is above {MedianCell} lines: {string.Join(' ', lines)}";
    }

    private static IEnumerable<string> Words(IReadOnlyList<NotebookCell> cells)
    {
        var words = cells.Where(cell => cell.IsMarkdown).Sum(cell => Word().Count(cell.Source));
        var lines = cells.Skip(2).Where(cell => cell.IsCode).Sum(Lines);
        if (words < WordsPerLineOfCode * lines) yield return $"{words} words for {lines} lines of code, and it should be {WordsPerLineOfCode} for each.";
    }

    private static IEnumerable<string> Cautions(IReadOnlyList<NotebookCell> cells)
    {
        var text = string.Concat(cells.Where(cell => cell.IsMarkdown).Select(cell => cell.Source));
        foreach (var words in new[] { "85 dB(A)", "Drivers", "mplifiers", "hung or stacked", "Local codes and licensed practice come first" })
            if (!text.Contains(words)) yield return $"The caution with the words {words} is missing.";
    }

    private static IEnumerable<string> DeclaredOnce(IReadOnlyList<NotebookCell> cells)
    {
        var declared = new HashSet<string>();
        foreach (var cell in cells.Where(cell => cell.IsCode))
        {
            var names = Declaration().Matches(cell.Source).Select(match => match.Groups["name"].Value)
                .Concat(Together().Matches(cell.Source).SelectMany(match => match.Groups["names"].Value.Split(',', StringSplitOptions.TrimEntries)));
            foreach (var name in names)
                if (!declared.Add(name)) yield return $"{name} is declared twice.";
        }
    }

    private static IEnumerable<string> NothingMissing(IReadOnlyList<NotebookCell> cells)
    {
        foreach (var cell in cells.Where(cell => cell.IsCode))
        {
            var code = Literal().Replace(cell.Source, "\"\"");
            if (Loop().Match(code) is { Success: true } loop) yield return $"A loop ({loop.Value.Trim()}) belongs into the library: {cell.Source}";
            if (Transform().Match(code) is { Success: true } transform) yield return $"A transform ({transform.Value}) belongs into the library: {cell.Source}";
            if (Styling().Match(code) is { Success: true } styling) yield return $"How a figure looks ({styling.Value}) belongs into the library: {cell.Source}";
        }
    }

    /// <summary>A figure is followed by a text that says what it shows. Where the survey is a parameter no text can know that: there the question stands above the figure.</summary>
    private static IEnumerable<string> FiguresAreRead(IReadOnlyList<NotebookCell> cells)
    {
        var anySurvey = cells.Any(cell => cell.Tags.Contains("parameters"));
        for (var k = 2; k < cells.Count; k++)
        {
            if (!cells[k].IsCode || !cells[k].Source.TrimEnd().Split('\n')[^1].StartsWith("Figures.")) continue;
            var read = anySurvey ? cells.Take(k).Last(cell => cell.IsMarkdown).Source : k + 1 < cells.Count && cells[k + 1].IsMarkdown ? cells[k + 1].Source : "";
            if (anySurvey ? Word().Count(read) < WordsAboutFigure : read.StartsWith('#') || Word().Count(read.Split("\n#")[0]) < WordsAboutFigure)
                yield return $"No text says what the figure shows: {cells[k].Source.Split('\n')[^1]}";
        }
    }

    private static IEnumerable<string> CheckCells(IReadOnlyList<NotebookCell> cells)
    {
        var checks = cells.Where(cell => cell.IsCode && cell.Tags.Contains("check")).ToArray();
        if (checks.Length == 0) yield return "There is no check cell.";
        foreach (var cell in checks.Where(cell => !cell.Source.Contains("throw new"))) yield return $"A check that cannot fail: {cell.Source}";
        foreach (var cell in cells.Where(cell => cell.IsCode && cell.Source.Contains("throw new") && !cell.Tags.Contains("check"))) yield return $"A check that is not tagged check: {cell.Source}";
    }

    private static int Lines(NotebookCell cell) => cell.Source.Split('\n').Count(line => line.Trim().Length > 0);

    [GeneratedRegex(@"\p{L}[\p{L}’'-]*")]
    private static partial Regex Word();

    [GeneratedRegex(@"^(?!return |throw |using |if )[A-Za-z][\w.<>,?]*(?:\[\])? (?<name>\w+)\s*(?:=(?!=)|\([^=;]*\)\s*(?:=>|\{|$))", RegexOptions.Multiline)]
    private static partial Regex Declaration();

    [GeneratedRegex(@"^var \((?<names>[\w, ]+)\)\s*=", RegexOptions.Multiline)]
    private static partial Regex Together();

    [GeneratedRegex("""
        "(?:[^"\\]|\\.)*"
        """)]
    private static partial Regex Literal();

    [GeneratedRegex(@"\b(?:for|foreach|while|do)\b\s*[({]")]
    private static partial Regex Loop();

    [GeneratedRegex(@"\bFourier\w*|\bFft\w*|\bFFT\b")]
    private static partial Regex Transform();

    [GeneratedRegex(@"\bWith[XYxy]Axis\w*|\bwithLayout\b|\bLayout\b|\bPlotly\w*|\bAxisStyle\w*|\bColor\.|\bTickVals\b")]
    private static partial Regex Styling();
}
