// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>The rules for notebooks that a machine can see (house style, notebooks).</summary>
public sealed partial class NotebookRulesTests
{
    private const int LongestCell = 12;
    private const double MedianCell = 4;
    private const int LongestSetup = 4;
    private const double WordsPerLineOfCode = 8;

    public static TheoryData<string> Notebooks =>
        [.. Directory.GetFiles(Path.Combine(TestFolder.Repository, "notebooks"), "*.ipynb", SearchOption.AllDirectories)
            .Where(path => !path.Contains(".ipynb_checkpoints")).Select(path => Path.GetRelativePath(TestFolder.Repository, path)).Order()];

    [Theory, MemberData(nameof(Notebooks))]
    public void Outputs_are_stripped(string notebook)
    {
        var json = Json(notebook);
        foreach (var cell in json["cells"]!.AsArray().Where(cell => (string?)cell!["cell_type"] == "code"))
        {
            Assert.Empty(cell!["outputs"]!.AsArray());
            Assert.Null(cell["execution_count"]);
        }
        Assert.Equal("sweepbook", (string?)json["metadata"]!["kernelspec"]!["name"]);
        Assert.Equal(4, (int?)json["nbformat"]);
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void Cells_are_short_and_the_second_is_the_only_set_up(string notebook)
    {
        var cells = NotebookFile.Read(Full(notebook)).Cells;
        Assert.True(cells[0].IsMarkdown && MarkdownText.Title(cells[0].Source) is not null, "The first cell holds the title.");
        Assert.True(cells[1].IsCode && cells[1].Source.Contains("#load"), "The second cell is the set-up.");
        Assert.InRange(Lines(cells[1]), 1, LongestSetup);
        foreach (var cell in cells.Where(cell => cell.IsCode)) Assert.InRange(Lines(cell), 1, LongestCell);
        foreach (var cell in cells.Skip(2).Where(cell => cell.IsCode))
            Assert.DoesNotContain(cell.Source.Split('\n'), line => line.StartsWith('#') || line.StartsWith("using "));
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void The_median_cell_has_no_more_than_four_lines(string notebook)
    {
        var lines = NotebookFile.Read(Full(notebook)).Cells.Where(cell => cell.IsCode).Select(Lines).Order().ToArray();
        Assert.True((lines[(lines.Length - 1) / 2] + lines[lines.Length / 2]) / 2.0 <= MedianCell, string.Join(' ', lines));
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void The_first_cell_asks_answers_and_names_what_it_needs_and_its_sources(string notebook)
    {
        var first = NotebookFile.Read(Full(notebook)).Cells[0].Source;
        foreach (var part in new[] { "**Question.**", "**Answer in one line.**", "**What you need.**", "**Sources.**" }) Assert.Contains(part, first);
        Assert.EndsWith("?", first.Split('\n')[0]);
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void The_usual_cautions_stand_in_it(string notebook)
    {
        var text = string.Concat(NotebookFile.Read(Full(notebook)).Cells.Where(cell => cell.IsMarkdown).Select(cell => cell.Source));
        foreach (var word in new[] { "85 dB(A)", "Drivers", "mplifiers", "hung or stacked", "Local codes and licensed practice come first" }) Assert.Contains(word, text);
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void There_are_at_least_eight_words_for_each_line_of_code(string notebook)
    {
        var cells = NotebookFile.Read(Full(notebook)).Cells;
        var words = cells.Where(cell => cell.IsMarkdown).Sum(cell => Word().Count(cell.Source));
        var lines = cells.Skip(2).Where(cell => cell.IsCode).Sum(Lines);
        Assert.True(words >= WordsPerLineOfCode * lines, $"{words} words for {lines} lines of code.");
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void No_variable_is_declared_twice(string notebook)
    {
        var declared = new HashSet<string>();
        foreach (var cell in NotebookFile.Read(Full(notebook)).Cells.Where(cell => cell.IsCode))
            foreach (Match match in Declaration().Matches(cell.Source))
                Assert.True(declared.Add(match.Groups[1].Value), $"{match.Groups[1].Value} is declared twice.");
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void There_are_check_cells(string notebook) =>
        Assert.Contains(NotebookFile.Read(Full(notebook)).Cells, cell => cell.IsCode && cell.Tags.Contains("check") && cell.Source.Contains("throw"));

    private static string Full(string notebook) => Path.Combine(TestFolder.Repository, notebook);

    private static JsonNode Json(string notebook) => JsonNode.Parse(File.ReadAllText(Full(notebook)))!;

    private static int Lines(NotebookCell cell) => cell.Source.Split('\n').Count(line => line.Trim().Length > 0);

    [GeneratedRegex(@"\p{L}[\p{L}’'-]*")]
    private static partial Regex Word();

    [GeneratedRegex(@"^(?:var|double|int|string|bool)\s+(\w+)\s*=", RegexOptions.Multiline)]
    private static partial Regex Declaration();
}
