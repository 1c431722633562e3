// SPDX-License-Identifier: MIT
using System.CommandLine;

namespace Sweepbook.Cli.Commands;

/// <summary>The C# kernel for Jupyter: put in, taken out.</summary>
internal sealed class JupyterCommand : ExampledCommand
{
    public JupyterCommand(Terminal terminal) : base(
        "jupyter",
        "Puts the C# kernel into Jupyter in the version that the notebooks were tried with, or takes it out again. The first time it fetches about 50 MB; from then on it needs no network.",
        "sweepbook jupyter install --into my-kernel",
        "sweepbook jupyter uninstall --into my-kernel")
    {
        var install = new Command("install", "Puts the kernel into a folder of its own and tells Jupyter about it. What is there already stays.");
        var uninstall = new Command("uninstall", "Takes out what install put in, and nothing else.");
        var into = new Option<string?>("--into")
        {
            Description = "Everything into this folder, for Jupyter to find through JUPYTER_PATH. [default: your own folders, where Jupyter looks anyway]",
            HelpName = "folder",
        };
        install.Add(into);
        uninstall.Add(into);
        install.SetAction(async (parsed, cancellation) =>
        {
            await new KernelInstall(terminal, KernelPlaces.Of(parsed.GetValue(into))).RunAsync(cancellation);
            return ExitCode.Good;
        });
        uninstall.SetAction(parsed =>
        {
            new KernelRemoval(terminal, KernelPlaces.Of(parsed.GetValue(into))).Run();
            return ExitCode.Good;
        });
        Add(install);
        Add(uninstall);
    }
}
