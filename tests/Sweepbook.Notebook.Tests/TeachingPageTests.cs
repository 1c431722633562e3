// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>The teacher's page names every notebook and every exercise, with the unit and the tolerance that the library has.</summary>
public sealed partial class TeachingPageTests
{
    private static string Page => File.ReadAllText(Path.Combine(Course.Notebooks, "teaching.md"));

    [Fact]
    public void Every_notebook_is_named_and_none_that_is_gone() =>
        Assert.Equal(Directory.GetFiles(Course.Notebooks, "*.ipynb").Select(Path.GetFileName).Order(StringComparer.Ordinal),
            Rows(1).Where(cell => cell.EndsWith(".ipynb`")).Select(cell => cell.Trim('`')));

    [Fact]
    public void Every_exercise_of_the_notebooks_has_its_row_and_no_other()
    {
        var used = Course.Names.SelectMany(name => Used().Matches(string.Concat(NotebookFile.Read(Course.Solution(name)).Cells.Where(cell => cell.IsCode).Select(cell => cell.Source)))).Select(match => match.Groups[1].Value);
        Assert.Equal(used.Order(), Rows(1).Where(cell => cell.StartsWith("`Exercise.")).Select(cell => cell.Trim('`')["Exercise.".Length..]).Order());
    }

    [Fact]
    public void Unit_and_tolerance_are_those_of_the_library()
    {
        var sources = string.Concat(Directory.GetFiles(Path.Combine(TestFolder.Repository, "src", "Sweepbook.Notebook"), "Exercise*.cs").Order().Select(File.ReadAllText));
        var stated = Summary().Matches(sources).ToDictionary(match => match.Groups["name"].Value, match => (Unit: match.Groups["unit"].Value, Tolerance: match.Groups["tolerance"].Value));
        foreach (var line in Page.Split('\n').Where(line => line.StartsWith("| `Exercise.")))
        {
            var cells = Cells(line);
            var name = cells[1].Trim('`')["Exercise.".Length..];
            Assert.Equal(stated[name], (cells[3], cells[4]));
        }
    }

    [Fact]
    public void Every_link_leads_to_a_file() =>
        Assert.All(Link().Matches(Page).Select(match => match.Groups[1].Value), target => Assert.True(File.Exists(Path.Combine(Course.Notebooks, target)), target));

    private static IEnumerable<string> Rows(int column) => Page.Split('\n').Where(line => line.StartsWith("| `")).Select(line => Cells(line)[column]);

    private static string[] Cells(string line) => [.. line.Split('|').Select(cell => cell.Trim())];

    [GeneratedRegex(@"Exercise\.(\w+)\(")]
    private static partial Regex Used();

    [GeneratedRegex(@"<summary>[^<]*\bIn (?<unit>\w+)[^<]*?within (?<tolerance>[\d.]+ (?:%|dB))[^<]*</summary>(?:\s*///[^\n]*\n)+\s*public static Exercise (?<name>\w+)\(")]
    private static partial Regex Summary();

    [GeneratedRegex(@"\]\(([^)]+)\)")]
    private static partial Regex Link();
}
