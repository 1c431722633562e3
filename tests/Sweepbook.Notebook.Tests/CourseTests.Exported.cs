// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Sweepbook.Report;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed partial class CourseTests
{
    private const int ProgramsAtATime = 2;

    [Fact]
    public async Task Every_notebook_shows_the_same_as_a_program_cell_by_cell()
    {
        var differences = new List<string>();
        await Parallel.ForEachAsync(course.Results.Keys.Where(notebook => Path.GetDirectoryName(notebook) == Course.Notebooks), new ParallelOptions { MaxDegreeOfParallelism = ProgramsAtATime }, async (notebook, cancellation) =>
        {
            var watch = Stopwatch.StartNew();
            var shown = await AsProgramAsync(notebook, cancellation);
            TestContext.Current.TestOutputHelper?.WriteLine($"{Path.GetRelativePath(Course.Notebooks, notebook)}: {watch.Elapsed.TotalSeconds:0.0} s");
            var wanted = Shown(course.Executed(notebook));
            foreach (var cell in wanted.Keys.Union(shown.Keys).Order())
                if (wanted.GetValueOrDefault(cell) != shown.GetValueOrDefault(cell))
                    lock (differences) differences.Add($"{notebook}, cell {cell}:\n{wanted.GetValueOrDefault(cell)}\n--- and as a program ---\n{shown.GetValueOrDefault(cell)}");
            Assert.True(wanted.Count >= 1, $"{notebook}: the runner showed nothing.");
        });
        Assert.True(differences.Count == 0, string.Join("\n\n", differences));
    }

    /// <summary>What the program wrote under the number of each cell.</summary>
    private async Task<Dictionary<int, string>> AsProgramAsync(string notebook, CancellationToken cancellation)
    {
        var name = "exported-" + Guid.NewGuid().ToString("N")[..8];
        var source = course.Copy(name + ".cs");
        NotebookExport.Write(notebook, source, TestFolder.Repository);
        var program = Path.Combine(AppContext.BaseDirectory, name + ".dll");   // beside everything it needs
        try
        {
            var text = await File.ReadAllTextAsync(source, cancellation);
            await using var file = File.Create(program);
            var built = ProgramText.Compilation(text).Emit(file, cancellationToken: cancellation);
            file.Close();
            Assert.True(built.Success, string.Join('\n', built.Diagnostics));
            var (deps, runtime) = (Path.Combine(AppContext.BaseDirectory, "Sweepbook.Notebook.Tests.deps.json"), Path.Combine(AppContext.BaseDirectory, "Sweepbook.Notebook.Tests.runtimeconfig.json"));
            var start = new ProcessStartInfo("dotnet", ["exec", "--depsfile", deps, "--runtimeconfig", runtime, program]) { RedirectStandardOutput = true, RedirectStandardError = true };
            using var process = Process.Start(start)!;
            var (said, complained) = (process.StandardOutput.ReadToEndAsync(cancellation), process.StandardError.ReadToEndAsync(cancellation));
            await process.WaitForExitAsync(cancellation);
            Assert.True(process.ExitCode == 0, $"{notebook}: {await complained}");
            return CellHead().Matches(await said).ToDictionary(match => int.Parse(match.Groups["cell"].Value), match => match.Groups["text"].Value.TrimEnd('\n'));
        }
        finally
        {
            File.Delete(program);
        }
    }

    private static Dictionary<int, string> Shown(string executed) =>
        JsonNode.Parse(File.ReadAllText(executed))!["cells"]!.AsArray().Where(cell => (string?)cell!["cell_type"] == "code")
            .Select((cell, k) => (Number: k + 1, Text: string.Join('\n', cell!["outputs"]!.AsArray().Select(output => NotebookCell.Text(output!["data"]?["text/plain"] ?? output["text"])).Where(text => text.Length > 0)).TrimEnd('\n')))
            .Where(entry => entry.Text.Length > 0).ToDictionary(entry => entry.Number, entry => entry.Text);

    [GeneratedRegex(@"^\[cell (?<cell>\d+)\]\n(?<text>.*?)(?=^\[cell \d+\]$|\z)", RegexOptions.Multiline | RegexOptions.Singleline)]
    private static partial Regex CellHead();
}
