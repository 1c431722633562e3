// SPDX-License-Identifier: MIT
using System.Text.Json.Nodes;
using Sweepbook.Files;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class ExerciseNotebookTests : IDisposable
{
    private readonly TestFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void An_answer_becomes_a_place_for_it_and_a_solution_goes()
    {
        var solution = _folder.Notebook(
            TestCell.Text("# Question\n\nSee [the page](../room-report.ipynb)."),
            TestCell.Code("#load \"../sweepbook.csx\"\nusing Sweepbook.Notebook;"),
            TestCell.Code("var study = Study.Of(\"../../data-demo/orchard-row\");"),
            TestCell.Code("var late = 0.3;\ndouble fall = 3 * late;   // your answer, in seconds", "answer"),
            TestCell.Text("Three times, because 20 dB are a third of 60 dB.", "solution"),
            TestCell.Code("late", "solution"),
            TestCell.Code("Exercise.Fall(study).Require(fall)"));
        Dirty(solution);
        var cells = JsonNode.Parse(ExerciseNotebook.Derive(solution))!["cells"]!.AsArray();
        Assert.Equal(5, cells.Count);
        Assert.Equal("See [the page](room-report.ipynb).", Source(cells[0]).Split('\n')[2]);
        Assert.Equal("#load \"sweepbook.csx\"\nusing Sweepbook.Notebook;", Source(cells[1]));
        Assert.Equal("var study = Study.Of(\"../data-demo/orchard-row\");", Source(cells[2]));
        Assert.Equal("double fall = double.NaN;   // your answer, in seconds", Source(cells[3]));
        Assert.Equal("Exercise.Fall(study).Check(fall)", Source(cells[4]));
        Assert.All(cells.Where(cell => (string?)cell!["cell_type"] == "code"), cell =>
        {
            Assert.Empty(cell!["outputs"]!.AsArray());
            Assert.Null(cell["execution_count"]);
        });
        Assert.Equal("""{"tags":["answer"]}""", cells[3]!["metadata"]!.ToJsonString());
        Assert.Equal(ExerciseNotebook.Derive(solution), ExerciseNotebook.Derive(solution));
        Assert.EndsWith("}\n", ExerciseNotebook.Derive(solution));
    }

    [Theory]
    [InlineData("double a = 1;   // your answer, in seconds\ndouble b = 2;   // your answer, in seconds", "2 answers")]
    [InlineData("double a = 1;", "0 answers")]
    [InlineData("double a = 1;   // it is one second", "0 answers")]
    public void An_answer_cell_that_does_not_hold_one_answer_is_refused(string source, string words)
    {
        var fault = Assert.Throws<DataFault>(() => ExerciseNotebook.Derive(_folder.Notebook(TestCell.Text("# Q"), TestCell.Code(source, "answer"))));
        Assert.Contains(words, fault.Message);
        Assert.Contains("double NAME = …;   // your answer, in …", fault.Message);
    }

    [Fact]
    public void A_notebook_without_an_answer_is_no_exercise() =>
        Assert.Contains("tagged answer", Assert.Throws<DataFault>(() => ExerciseNotebook.Derive(_folder.Notebook(TestCell.Text("# Q")))).Message);

    [Fact]
    public void The_tool_writes_what_is_missing_or_stale_and_its_check_writes_nothing()
    {
        var solutions = _folder.File(ExerciseFolder.Solutions);
        Directory.CreateDirectory(solutions);
        File.Move(_folder.Notebook(TestCell.Text("# Q"), TestCell.Code("double a = 1;   // your answer, in hertz", "answer")), Path.Combine(solutions, "test.ipynb"));
        Assert.Equal(1, ExerciseFolder.Run([ExerciseFolder.Verb, _folder.Path, "--check"]));
        Assert.False(File.Exists(_folder.File("test.ipynb")));
        Assert.Equal(0, ExerciseFolder.Run([ExerciseFolder.Verb, _folder.Path]));
        Assert.Equal(0, ExerciseFolder.Run([ExerciseFolder.Verb, _folder.Path, "--check"]));
        File.AppendAllText(_folder.File("test.ipynb"), " ");
        Assert.Equal(1, ExerciseFolder.Run([ExerciseFolder.Verb, _folder.Path, "--check"]));
        File.WriteAllText(Path.Combine(solutions, "test.ipynb"), "no notebook");
        Assert.Equal(1, ExerciseFolder.Run([ExerciseFolder.Verb, _folder.Path]));
        Assert.Equal(2, ExerciseFolder.Run([ExerciseFolder.Verb]));
        Assert.Equal(2, ExerciseFolder.Run([ExerciseFolder.Verb, solutions]));
    }

    private static string Source(JsonNode? cell) => NotebookCell.Text(cell!["source"]);

    /// <summary>Leaves behind what a front end leaves: outputs, counts and its own notes.</summary>
    private static void Dirty(string path)
    {
        var root = JsonNode.Parse(File.ReadAllText(path))!;
        var cell = root["cells"]!.AsArray()[3]!;
        cell["outputs"] = new JsonArray(new JsonObject { ["output_type"] = "stream", ["name"] = "stdout", ["text"] = "0.9" });
        cell["execution_count"] = 3;
        cell["metadata"]!["notes"] = "0.9";
        File.WriteAllText(path, root.ToJsonString());
    }
}
