// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Report;

namespace Sweepbook.Cli.Commands;

/// <summary>Writes a notebook as a program of one file.</summary>
internal sealed class ExportCommand : ExampledCommand
{
    public ExportCommand(Terminal terminal) : base(
        "export",
        "Writes a notebook as one C# file that `dotnet run` executes without Jupyter: the same cells, the same numbers, everything shown as text.",
        "sweepbook export notebooks/03-reverberation-time.ipynb",
        "sweepbook export notebooks/room-report.ipynb --out den.cs")
    {
        var notebook = new Argument<string>("NOTEBOOK") { Description = "The .ipynb file. It is not changed." };
        var into = new Option<string?>("--out") { Description = "The C# file. [default: the notebook's name in out/notebooks]", HelpName = "file" };
        Add(notebook);
        Add(into);
        SetAction(parsed =>
        {
            var from = parsed.GetRequiredValue(notebook);
            var file = parsed.GetValue(into) ?? Path.Combine("out", "notebooks", Path.ChangeExtension(Path.GetFileName(from), ".cs"));
            NotebookExport.Write(from, file, Installation.Root);
            terminal.SayPath("Program: ", file);
            terminal.Say($"Run it:  dotnet run {ShownPath.Quoted(file)}");
            return ExitCode.Good;
        });
    }
}
