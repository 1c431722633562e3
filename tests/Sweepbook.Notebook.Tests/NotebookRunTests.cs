// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.Json.Nodes;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed partial class NotebookRunTests : IDisposable
{
    private readonly TestFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Outputs_stand_in_the_order_in_which_they_came()
    {
        var result = await Run(
            TestCell.Code("""
                Console.WriteLine("first"); Console.WriteLine("second");
                display(HTML("<i>third</i>"));
                Console.Error.WriteLine("fourth");
                Console.WriteLine("fifth");
                6 * 1
                """));
        Assert.Null(result.Failure);
        var outputs = Outputs(0);
        Assert.Equal(["stream", "display_data", "stream", "stream", "execute_result"], outputs.Select(output => (string?)output["output_type"]));
        Assert.Equal("first\nsecond\n", (string?)outputs[0]["text"]);
        Assert.Contains("<i>third</i>", (string?)outputs[1]["data"]!["text/html"]);
        Assert.Equal("stderr", (string?)outputs[2]["name"]);
        Assert.Equal("fifth\n", (string?)outputs[3]["text"]);
        Assert.Equal(1, (int?)outputs[4]["execution_count"]);
    }

    [Fact]
    public async Task Progress_names_each_code_cell_with_its_heading()
    {
        var seen = new List<RunProgress>();
        await NotebookRun.StartAsync(Request(TestCell.Text("# A question"), TestCell.Code("var a = 1;"), TestCell.Text("## An answer\n\nwith words"), TestCell.Code("a + 1")),
            new Direct<RunProgress>(seen.Add), TestContext.Current.CancellationToken);
        Assert.Equal([new(1, 2, "A question"), new(2, 2, "An answer")], seen);
    }

    [Fact]
    public async Task A_failing_cell_is_told_by_number_and_line_and_what_came_before_is_kept()
    {
        var result = await Run(
            TestCell.Code("Console.WriteLine(\"kept\");"),
            TestCell.Text("between"),
            TestCell.Code("var fine = 1;\nvar divisor = 0;\n\nConsole.WriteLine(fine / divisor);"),
            TestCell.Code("Console.WriteLine(\"never\");"));
        Assert.Equal(new RunFailure(2, 4, "DivideByZeroException", "Attempted to divide by zero."), result.Failure);
        Assert.Equal(1, result.Cells);
        Assert.StartsWith("Code cell 2, line 4:", result.Failure!.ToString());
        Assert.Equal("kept\n", (string?)Outputs(0)[0]["text"]);
        Assert.Equal("error", (string?)Outputs(1)[0]["output_type"]);
        Assert.Equal("DivideByZeroException", (string?)Outputs(1)[0]["ename"]);
        Assert.Empty(Outputs(2));
        Assert.False(File.Exists(_folder.File("page.html")), "A page of a failed run would look like a report.");
    }

    [Fact]
    public async Task A_fault_in_the_data_arrives_with_its_own_words()
    {
        var result = await Run(TestFolder.Setup, TestCell.Code("throw new Sweepbook.Files.DataFault(\"survey.toml\", 7, \"the key seet is not known\", \"Did you mean seat?\");"));
        Assert.Equal(new RunFailure(2, 1, "DataFault", "survey.toml:7: the key seet is not known. Did you mean seat?"), result.Failure);
    }

    [Fact]
    public async Task A_cell_that_does_not_compile_is_told_with_its_line()
    {
        var result = await Run(TestCell.Code("var a = 1;\nvar b = c;"));
        Assert.Equal((1, 2, "CompilationError"), (result.Failure!.Cell, result.Failure.Line, result.Failure.Kind));
        Assert.Contains("CS0103", result.Failure.Message);
        Assert.DoesNotContain(_folder.Path, result.Failure.Message);
    }

    [Fact]
    public async Task A_cell_that_does_not_end_is_stopped_with_its_process()
    {
        var request = Request(TestCell.Code($"System.IO.File.WriteAllText({NotebookFile.Literal(_folder.File("pid"))}, Environment.ProcessId.ToString());\nwhile (true) {{ }}"));
        RunResult result;
        var seconds = 4;
        do   // on a busy machine the cell may not even have started within the time that is ample on an idle one
        {
            result = await NotebookRun.StartAsync(request with { CellTimeout = TimeSpan.FromSeconds(seconds) }, null, TestContext.Current.CancellationToken);
            seconds *= 2;
        }
        while (!File.Exists(_folder.File("pid")) && seconds <= 128);
        Assert.Equal((1, "Timeout"), (result.Failure!.Cell, result.Failure.Kind));
        Assert.Equal("Timeout", (string?)Outputs(0)[0]["ename"]);
        AssertGone("pid");
    }

    [Fact]
    public async Task Cancelling_leaves_no_process_behind_not_even_those_that_a_cell_started()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The cell starts a Unix program.");
        var request = Request(TestCell.Code($"""
            var sleeper = System.Diagnostics.Process.Start("sleep", "600");
            System.IO.File.WriteAllText({NotebookFile.Literal(_folder.File("grandchild"))}, sleeper.Id.ToString());
            System.IO.File.WriteAllText({NotebookFile.Literal(_folder.File("child"))}, Environment.ProcessId.ToString());
            while (true) {"{ }"}
            """));
        using var cancel = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        var run = NotebookRun.StartAsync(request, null, cancel.Token);
        while (!File.Exists(_folder.File("child"))) await Task.Delay(50, TestContext.Current.CancellationToken);
        await cancel.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => run);
        AssertGone("child");
        AssertGone("grandchild");
    }

    [Fact]
    public async Task A_cell_that_ends_its_process_is_told_with_the_exit_code()
    {
        var result = await Run(TestCell.Code("Console.WriteLine(\"kept\");"), TestCell.Code("Environment.Exit(7);"));
        Assert.Equal((2, "ProcessEnded"), (result.Failure!.Cell, result.Failure.Kind));
        Assert.Contains("exit code 7", result.Failure.Message);
        Assert.Equal("kept\n", (string?)Outputs(0)[0]["text"]);
        Assert.Equal("ProcessEnded", (string?)Outputs(1)[0]["ename"]);
    }

    [Theory]
    [InlineData("", null)]
    [InlineData("Environment.Exit(7);", "ProcessEnded")]
    public async Task A_program_that_a_cell_leaves_running_holds_up_nothing(string then, string? kind)
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The cell starts a Unix program.");
        var result = await Run(TestCell.Code($"""
            var sleeper = System.Diagnostics.Process.Start("sleep", "600");
            System.IO.File.WriteAllText({NotebookFile.Literal(_folder.File("sleeper"))}, sleeper.Id.ToString());
            {then}
            """));
        Assert.Equal(kind, result.Failure?.Kind);
        if (kind is null) AssertGone("sleeper");   // a child that is done is ended with all that it started
        else Process.GetProcessById(int.Parse(File.ReadAllText(_folder.File("sleeper")))).Kill();   // an orphan: out of reach of the runner
    }

    [Fact]
    public async Task A_crash_is_told_with_what_the_process_said()
    {
        var result = await Run(TestCell.Code("new System.Threading.Thread(() => throw new InvalidOperationException(\"lost its way\")).Start(); await Task.Delay(60000);"));
        Assert.Equal((1, "ProcessEnded"), (result.Failure!.Cell, result.Failure.Kind));
        Assert.Contains("lost its way", result.Failure.Message);
    }

    [Fact]
    public async Task The_process_leaves_nothing_in_the_folder_for_temporary_files()
    {
        // numbers of processes come again, so a file that is older than the process belongs to another one
        var result = await Run(TestCell.Code("""
            var born = System.Diagnostics.Process.GetCurrentProcess().StartTime.AddSeconds(-1);
            var mine = System.IO.Directory.GetFiles(System.IO.Path.GetTempPath(), $"*-{Environment.ProcessId}-*");
            string.Join("\n", mine.Where(file => System.IO.File.GetLastWriteTime(file) >= born))
            """));
        Assert.Null(result.Failure);
        Assert.Equal("", (string?)Outputs(0)[0]["data"]!["text/plain"]);
    }

    [Fact]
    public async Task A_package_from_the_network_is_refused_in_words()
    {
        var result = await Run(TestCell.Code("#r \"nuget: Some.Package, 1.0\"\n1 + 1"));
        Assert.Contains("not supported", result.Failure!.Message);
        Assert.Contains("not supported", (string?)Outputs(0)[0]["evalue"]);
    }

    [Fact]
    public async Task Values_reach_the_cells_and_the_file_shows_those_meant_for_the_reader()
    {
        var request = Request(
            TestCell.Code("var name = \"none\";\nvar gain = 1.0;\nvar seats = 1;\nvar loud = false;", "parameters"),
            TestCell.Code("Console.WriteLine($\"{name} {gain} {seats} {loud}\");")) with
        {
            Parameters = new Dictionary<string, object> { ["name"] = "C:\\a \"b\"\n</script>", ["gain"] = -2.0, ["seats"] = 5, ["loud"] = true },
            ShownParameters = new Dictionary<string, object> { ["name"] = "out" },
        };
        foreach (var _ in new[] { "first run", "run of the result" })
        {
            var result = await NotebookRun.StartAsync(request, null, TestContext.Current.CancellationToken);
            Assert.Null(result.Failure);
            Assert.Equal("C:\\a \"b\"\n</script> -2 5 True\n", (string?)Outputs(2)[0]["text"]);
            Assert.Equal("name = \"out\";\ngain = -2.0;\nseats = 5;\nloud = true;", (string?)CodeCells()[1]["source"]);
            Assert.Equal(3, CodeCells().Length);
            request = request with { Notebook = _folder.File("executed.ipynb") };
        }
    }

    [Fact]
    public async Task The_set_up_is_found_from_any_folder_and_the_file_says_what_it_said()
    {
        const string FirstCell = "#load \"sweepbook.csx\"\nusing Sweepbook.Surveys;";
        var result = await Run(TestCell.Code(FirstCell), TestCell.Code("typeof(Survey).Name"));
        Assert.Null(result.Failure);
        Assert.Equal(FirstCell, (string?)CodeCells()[0]["source"]);
        Assert.Equal("Survey", (string?)Outputs(1)[0]["data"]!["text/plain"]);
        File.WriteAllText(_folder.File("sweepbook.csx"), "var own = 6;");   // one beside the notebook goes first
        result = await Run(TestCell.Code("#load \"sweepbook.csx\""), TestCell.Code("Console.Write(own);"));
        Assert.Null(result.Failure);
        Assert.Equal("6", (string?)Outputs(1)[0]["text"]);
    }

    [Fact]
    public async Task A_value_without_a_variable_is_refused_before_anything_runs()
    {
        var untagged = Request(TestCell.Code("var name = 1;")) with { Parameters = new Dictionary<string, object> { ["name"] = 2 } };
        var fault = await Assert.ThrowsAsync<Files.DataFault>(() => NotebookRun.StartAsync(untagged));
        Assert.Contains("tagged parameters", fault.Message);
        var other = Request(TestCell.Code("var name = 1;", "parameters")) with { Parameters = new Dictionary<string, object> { ["nam"] = 2 } };
        fault = await Assert.ThrowsAsync<Files.DataFault>(() => NotebookRun.StartAsync(other));
        Assert.Contains("no variable nam", fault.Message);
        Assert.False(File.Exists(_folder.File("executed.ipynb")));
    }

    [Fact]
    public async Task A_file_that_is_no_notebook_is_refused_with_its_line()
    {
        File.WriteAllText(_folder.File("test.ipynb"), "{\n  \"cells\": [\n  oh no\n");
        var request = new NotebookRequest { Notebook = _folder.File("test.ipynb"), Output = _folder.File("executed.ipynb") };
        var fault = await Assert.ThrowsAsync<Files.DataFault>(() => NotebookRun.StartAsync(request));
        Assert.Equal(3, fault.Line);
        fault = await Assert.ThrowsAsync<Files.DataFault>(() => NotebookRun.StartAsync(request with { Notebook = _folder.File("missing.ipynb") }));
        Assert.Contains("no such notebook", fault.Message);
    }

    [Fact]
    public async Task A_run_without_its_parent_ends_by_itself()
    {
        var request = Request(TestCell.Code("while (true) { }"));
        var child = new ChildRequest { Notebook = request.Notebook, ShownAs = "test.ipynb", Output = request.Output, Parameters = new Dictionary<string, string>(), ShownParameters = new Dictionary<string, string>() };
        using var process = Process.Start(NotebookRun.StartInfo())!;
        process.StandardInput.WriteLine(System.Text.Json.JsonSerializer.Serialize(child, MessageContext.Default.ChildRequest));
        process.StandardInput.Flush();
        Assert.NotNull(await process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken));   // the first cell has started
        process.StandardInput.Close();
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(130, process.ExitCode);
    }

    [Fact]
    public async Task What_the_runner_does_not_know_stays_in_the_file()
    {
        var path = _folder.Notebook(TestCell.Text("words"), TestCell.Code("1 + 1"), new("raw", "never executed", ["kept-tag"]));
        var json = JsonNode.Parse(File.ReadAllText(path))!;
        json["cells"]![0]!["attachments"] = new JsonObject { ["a.png"] = new JsonObject { ["image/png"] = "AAAA" } };
        json["metadata"]!["house"] = new JsonObject { ["own"] = 1.25 };
        File.WriteAllText(path, json.ToJsonString());
        var result = await NotebookRun.StartAsync(new() { Notebook = path, Output = _folder.File("executed.ipynb") }, null, TestContext.Current.CancellationToken);
        Assert.Null(result.Failure);
        var after = JsonNode.Parse(File.ReadAllText(_folder.File("executed.ipynb")))!;
        foreach (var at in new[] { 0, 2 }) Assert.True(JsonNode.DeepEquals(json["cells"]![at], after["cells"]![at]));
        Assert.True(JsonNode.DeepEquals(json["metadata"], after["metadata"]));
        Assert.EndsWith("}\n", File.ReadAllText(_folder.File("executed.ipynb")));
    }

    private NotebookRequest Request(params ReadOnlySpan<TestCell> cells) =>
        new() { Notebook = _folder.Notebook(cells), Output = _folder.File("executed.ipynb"), Page = _folder.File("page.html") };

    private Task<RunResult> Run(params ReadOnlySpan<TestCell> cells) =>
        NotebookRun.StartAsync(Request(cells), null, TestContext.Current.CancellationToken);

    private JsonNode[] CodeCells() =>
        [.. JsonNode.Parse(File.ReadAllText(_folder.File("executed.ipynb")))!["cells"]!.AsArray().Where(cell => (string?)cell!["cell_type"] == "code").Select(cell => cell!)];

    private JsonNode[] Outputs(int codeCell) => [.. CodeCells()[codeCell]["outputs"]!.AsArray().Select(output => output!)];

    private void AssertGone(string file)
    {
        var id = File.ReadAllText(_folder.File(file));
        for (var look = 0; look < 100 && Lives(id); look++) Thread.Sleep(50);   // a signal arrives a moment after it was sent
        Assert.False(Lives(id), $"The process of {file} is still there.");
    }

    /// <summary>True for a process that runs; one that has ended and waits for its parent to notice (state Z) does not.</summary>
    private static bool Lives(string id)
    {
        if (OperatingSystem.IsLinux())
            return File.Exists($"/proc/{id}/stat") && !File.ReadAllText($"/proc/{id}/stat").Contains(") Z ");
        return Process.GetProcesses().Any(process => process.Id.ToString() == id);
    }
}

/// <summary>Reports at once, on the caller's thread; the library's own class would reorder.</summary>
internal sealed class Direct<T>(Action<T> report) : IProgress<T>
{
    public void Report(T value) => report(value);
}
