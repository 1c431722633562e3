// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Every notebook of the repository keeps the rules that a machine can see.</summary>
public sealed partial class NotebookRulesTests
{
    private const string Index = "00-index.ipynb";
    private const string Report = "room-report.ipynb";

    private static string Folder => Path.Combine(TestFolder.Repository, "notebooks");

    public static TheoryData<string> Notebooks =>
        [.. Directory.GetFiles(Folder, "*.ipynb", SearchOption.AllDirectories)
            .Where(path => !path.Contains(".ipynb_checkpoints")).Select(path => Path.GetRelativePath(TestFolder.Repository, path)).Order()];

    /// <summary>The set as a reader meets it: by number, then what has none.</summary>
    private static string[] InOrder => [.. Directory.GetFiles(Folder, "*.ipynb").Select(path => Path.GetFileName(path)).Order(StringComparer.Ordinal)];

    [Theory, MemberData(nameof(Notebooks))]
    public void Outputs_are_stripped(string notebook)
    {
        var json = JsonNode.Parse(File.ReadAllText(Full(notebook)))!;
        foreach (var cell in json["cells"]!.AsArray().Where(cell => (string?)cell!["cell_type"] == "code"))
        {
            Assert.Empty(cell!["outputs"]!.AsArray());
            Assert.Null(cell["execution_count"]);
        }
        Assert.Equal("sweepbook", (string?)json["metadata"]!["kernelspec"]!["name"]);
        Assert.Equal(4, (int?)json["nbformat"]);
        Assert.Equal(json["cells"]!.AsArray().Count, json["cells"]!.AsArray().Select(cell => (string?)cell!["id"]).Distinct().Count());
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void Every_rule_is_kept(string notebook) =>
        Assert.Empty(NotebookRules.Complaints(Path.GetFileNameWithoutExtension(notebook), NotebookFile.Read(Full(notebook)).Cells));

    [Theory, MemberData(nameof(Notebooks))]
    public void Every_link_leads_to_a_file(string notebook)
    {
        var from = Path.GetDirectoryName(Full(notebook))!;
        foreach (var target in Links(Full(notebook)))
            Assert.True(File.Exists(Path.Combine(from, target)), $"{notebook} links to {target}, which is not there.");
    }

    [Theory, MemberData(nameof(Notebooks))]
    public void The_last_line_leads_on_and_back_to_the_index(string notebook)
    {
        var name = Path.GetFileName(notebook);
        if (name == Index) return;
        var last = NotebookFile.Read(Full(notebook)).Cells[^1];
        var line = last.IsMarkdown ? last.Source.TrimEnd().Split('\n')[^1] : "";
        Assert.Contains("Back to [the index](", line);
        var following = InOrder[(Array.IndexOf(InOrder, name) + 1)..];
        var next = Assert.Single(Links(Full(notebook)).Select(Path.GetFileName).TakeLast(2).Where(link => link != Index).DefaultIfEmpty("").TakeLast(1));
        if (following.Length > 0) Assert.True(line.Contains("Next: [") && following.Contains(next), $"{notebook}: its last line does not lead on: {line}");
    }

    [Fact]
    public void The_index_lists_every_notebook_in_order()
    {
        var listed = NotebookFile.Read(Path.Combine(Folder, Index)).Cells.Where(cell => cell.IsMarkdown).SelectMany(cell => cell.Source.Split('\n'))
            .Where(line => line.StartsWith("| [")).Select(line => Link().Match(line).Groups["target"].Value).ToArray();
        Assert.Equal(InOrder.Where(name => name != Index), listed);
    }

    private static string Full(string notebook) => Path.Combine(TestFolder.Repository, notebook);

    /// <summary>What the text cells of a notebook link to inside the repository, in order.</summary>
    private static IEnumerable<string> Links(string notebook) =>
        NotebookFile.Read(notebook).Cells.Where(cell => cell.IsMarkdown).SelectMany(cell => Link().Matches(cell.Source)).Select(match => match.Groups["target"].Value)
            .Where(target => !target.Contains("://") && !target.StartsWith('#')).Select(target => target.Split('#')[0]);

    [GeneratedRegex(@"\]\((?<target>[^)\s]+)\)")]
    private static partial Regex Link();
}
