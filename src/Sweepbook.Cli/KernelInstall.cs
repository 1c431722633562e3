// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using System.Text;
using Sweepbook.Files;

namespace Sweepbook.Cli;

/// <summary>Puts the kernel in: the program first, whole or not at all, then its description.</summary>
internal sealed class KernelInstall(Terminal terminal, KernelPlaces places)
{
    private static string Host { get; } = Path.GetFullPath(Path.Combine(RuntimeEnvironment.GetRuntimeDirectory(), "..", "..", "..", OperatingSystem.IsWindows() ? "dotnet.exe" : "dotnet"));

    public async Task RunAsync(CancellationToken cancellation)
    {
        RefuseStrangers();
        if (places.IsToolWhole)
        {
            terminal.SayPath("Kernel, there already: ", places.Tool);
        }
        else
        {
            var dotnet = SearchPath.Find("dotnet") ?? Host;
            await RefuseWithoutSdkAsync(dotnet, cancellation);
            if (Directory.Exists(places.Tool)) terminal.Say("The kernel's folder is not whole; it is made anew.");
            await FetchAsync(dotnet, cancellation);
            terminal.SayPath("Kernel: ", places.Tool);
        }
        Describe();
        SayWhatIsMissing();
        SayHowToStart();
    }

    private void RefuseStrangers()
    {
        if (places.Described() == "")
            throw new DataFault(places.Description, null, "another kernel has this name and is left alone", "Move it away, or use --into FOLDER.");
        if (Directory.Exists(places.Tool) && !places.IsToolFolder)
            throw new DataFault(places.Tool, null, "this folder holds something else and is left alone", "Choose another folder with --into.");
    }

    private static async Task RefuseWithoutSdkAsync(string dotnet, CancellationToken cancellation)
    {
        var (_, said) = await Programs.RunAsync(dotnet, ["--list-sdks"], cancellation);
        if (!said.Any(line => int.TryParse(line.Split('.')[0], out var major) && major >= 10))
            throw new DataFault("dotnet", null, "the .NET SDK, version 10 or later, is not here, only a runtime; it fetches the kernel", "Get it from your package manager (dotnet-sdk-10.0) or dotnet.microsoft.com/download, then run this again.");
    }

    private async Task FetchAsync(string dotnet, CancellationToken cancellation)
    {
        OutputFault.MakeFolder(Path.GetDirectoryName(places.Tool)!, places.Tool);
        Leftovers.ClearFolders(places.Tool);
        var stem = Leftovers.NewStem(places.Tool);
        try
        {
            using (new FileStream(stem + Leftovers.Guard, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None))
            {
                var (code, said) = await terminal.WatchAsync("Fetching the kernel, about 50 MB", _ => Programs.RunAsync(
                    dotnet, ["tool", "install", KernelPlaces.Package, "--version", KernelPlaces.Version, "--tool-path", stem + Leftovers.Staging], cancellation));
                if (code != 0) throw NotFetched(said);
                if (!File.Exists(KernelPlaces.ProgramIn(stem + Leftovers.Staging)))
                    throw new DataFault(KernelPlaces.Package, null, "the package was fetched, but its program is not where it should be", "Try again; if it stays so, report it with the version of your SDK.");
                if (Directory.Exists(places.Tool)) Directory.Move(places.Tool, stem + Leftovers.Old);
                Directory.Move(stem + Leftovers.Staging, places.Tool);
                Leftovers.TryDeleteFolder(stem + Leftovers.Old);
            }
        }
        catch (Exception thrown) when (OutputFault.From(thrown, places.Tool) is { } fault)
        {
            throw fault;
        }
        finally
        {
            Leftovers.TryDeleteFolder(stem + Leftovers.Staging);
            Leftovers.RemoveGuard(stem);
        }
    }

    private static DataFault NotFetched(IReadOnlyList<string> said)
    {
        var words = said.FirstOrDefault(line => line.Contains("error", StringComparison.OrdinalIgnoreCase)) ?? said.FirstOrDefault(line => line.Trim().Length > 0) ?? "no reason given";
        return new($"{KernelPlaces.Package} {KernelPlaces.Version}", null, $"the kernel could not be fetched ({words.Trim().TrimEnd('.')})",
            "A network is needed this once, and never again. Connect, then run the same command; nothing unfinished was kept.");
    }

    private void Describe()
    {
        var text = places.Text(Host);
        if (File.Exists(places.Description) && File.ReadAllText(places.Description) == text)
        {
            terminal.SayPath("Known to Jupyter already: ", places.Description);
            return;
        }
        AtomicFile.Write(places.Description, stream => stream.Write(new UTF8Encoding(false).GetBytes(text)));
        terminal.SayPath("Made known to Jupyter: ", places.Description);
    }

    private void SayWhatIsMissing()
    {
        var library = Path.Combine(Installation.Root, "artifacts", "notebook", "Sweepbook.Notebook.dll");
        if (!File.Exists(library)) terminal.Complain($"The notebooks will not start yet: the library is not built. Run `dotnet build` in {Installation.Root}.");
        if (SearchPath.Find("jupyter") is null)
            terminal.Complain("Jupyter is not on the search path. Get it: Debian and Ubuntu `apt install jupyter-notebook`; elsewhere `pip install notebook`.");
    }

    private void SayHowToStart()
    {
        var start = $"jupyter notebook {ShownPath.Quoted(Path.Combine(Installation.Root, "notebooks"))}";
        terminal.Say("Start it with:");
        if (places.JupyterPath is not { } path) terminal.Say($"  {start}");
        else if (OperatingSystem.IsWindows()) terminal.Say($"  set \"JUPYTER_PATH={path}\" && {start}");
        else terminal.Say($"  JUPYTER_PATH={ShownPath.Quoted(path)} {start}");
    }
}
