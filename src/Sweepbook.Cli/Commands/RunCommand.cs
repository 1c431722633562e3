// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Report;

namespace Sweepbook.Cli.Commands;

/// <summary>Executes notebooks without a browser, each in a process of its own.</summary>
internal sealed class RunCommand : ExampledCommand
{
    public RunCommand(Terminal terminal) : base(
        "run",
        "Executes notebooks and writes each with its outputs, and a page of it. It stops at the first failing cell; what ran until then is kept.",
        "sweepbook run notebooks/room-report.ipynb --out results")
    {
        var notebooks = new Argument<string[]>("NOTEBOOK") { Description = "One or more .ipynb files. They are not changed.", Arity = ArgumentArity.OneOrMore };
        var into = new Option<string>("--out") { Description = "Folder for the executed notebooks and their pages.", DefaultValueFactory = _ => Path.Combine("out", "notebooks"), HelpName = "folder" };
        Add(notebooks);
        Add(into);
        SetAction(async (parsed, cancellation) =>
        {
            var folder = parsed.GetValue(into)!;
            foreach (var notebook in parsed.GetRequiredValue(notebooks))
            {
                var output = Path.Combine(folder, Path.GetFileName(notebook));
                if (Path.GetFullPath(output) == Path.GetFullPath(notebook))
                    throw new DataFault(notebook, null, "the executed notebook would overwrite this one", "Choose another folder with --out.");
                var page = Path.ChangeExtension(output, ".html");
                Directory.CreateDirectory(folder);
                var result = await terminal.WatchAsync(notebook, progress => NotebookRun.StartAsync(
                    new() { Notebook = notebook, Output = output, Page = page, Command = $"sweepbook run {notebook}" },
                    new Steps(progress), cancellation));
                if (result.Failure is { } failure) throw new NotebookStopped(notebook, failure, $"What ran until then is in {output}.");
                terminal.SayPath("Page: ", page);
            }
            return ExitCode.Good;
        });
    }
}
