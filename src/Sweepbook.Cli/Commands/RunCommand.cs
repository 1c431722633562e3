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
            var named = parsed.GetRequiredValue(notebooks);
            RefuseSameNames(named);
            foreach (var notebook in named) await ExecuteAsync(terminal, notebook, folder, cancellation);
            terminal.SayWrapped("Jupyter draws the figures of an executed notebook once you trust it: File > Trust Notebook. Trust only what you ran yourself.");
            return ExitCode.Good;
        });
    }

    private static void RefuseSameNames(IReadOnlyList<string> notebooks)
    {
        var twice = notebooks.GroupBy(notebook => Path.ChangeExtension(Path.GetFileName(notebook), null), StringComparer.OrdinalIgnoreCase).FirstOrDefault(group => group.Count() > 1);
        if (twice is not null)
            throw new DataFault(twice.Last(), null, $"another notebook of this run has the name {twice.Key} too, and both would be written to one place", "Run them one after the other, each with its own --out.");
    }

    // Under another name until it is done, so that what stands there from an earlier run is whole whenever this one is cancelled.
    private static async Task ExecuteAsync(Terminal terminal, string notebook, string folder, CancellationToken cancellation)
    {
        var output = Path.Combine(folder, Path.GetFileName(notebook));
        if (Path.GetFullPath(output) == Path.GetFullPath(notebook))
            throw new DataFault(notebook, null, "the executed notebook would overwrite this one", "Choose another folder with --out.");
        var page = Path.ChangeExtension(output, ".html");
        OutputFault.MakeFolder(Path.GetFullPath(folder), folder);
        Leftovers.ClearFolders(Path.GetFullPath(output));
        var stem = Leftovers.NewStem(Path.GetFullPath(output));
        var (newOutput, newPage) = (Path.Combine(stem + Leftovers.Staging, Path.GetFileName(output)), Path.Combine(stem + Leftovers.Staging, Path.GetFileName(page)));
        try
        {
            using var guard = new FileStream(stem + Leftovers.Guard, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None);
            Directory.CreateDirectory(stem + Leftovers.Staging);
            var result = await terminal.WatchAsync(notebook, progress => NotebookRun.StartAsync(
                new() { Notebook = notebook, Output = newOutput, Page = newPage, Command = $"sweepbook run {ShownPath.Quoted(ShownPath.InCommand(notebook))}" },
                new Steps(progress), cancellation));
            var isWritten = File.Exists(newOutput);
            if (isWritten) File.Move(newOutput, output, overwrite: true);
            if (result.Failure is { } failure)
                throw new NotebookStopped(notebook, failure, isWritten ? $"What ran until then is in {output}." : "Nothing was written.");
            File.Move(newPage, page, overwrite: true);
            terminal.SayPath("Page: ", page);
        }
        catch (Exception thrown) when (OutputFault.From(thrown, folder) is { } fault)
        {
            throw fault;
        }
        finally
        {
            Leftovers.TryDeleteFolder(stem + Leftovers.Staging);
            Leftovers.RemoveGuard(stem);
        }
    }
}
