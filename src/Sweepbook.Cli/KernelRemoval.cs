// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Cli;

/// <summary>Takes out what <see cref="KernelInstall"/> put in; whatever else lies there stays and is named.</summary>
internal sealed class KernelRemoval(Terminal terminal, KernelPlaces places)
{
    public void Run()
    {
        var removed = RemoveDescription();
        removed |= RemoveTool();
        if (!removed) terminal.Say("The kernel is not installed there; nothing was removed.");
    }

    private bool RemoveDescription()
    {
        if (places.Described() is not { } program) return false;
        if (Path.GetFullPath(program.Length > 0 ? program : "/") != places.Program)
        {
            terminal.Complain($"{places.Description}: this starts another program, so it is left alone.");
            return false;
        }
        Try(places.Description, () => File.Delete(places.Description));
        terminal.SayPath("Removed: ", places.Description);
        if (Directory.EnumerateFileSystemEntries(places.Folder).Any()) terminal.Complain($"{places.Folder}: other files are in it, so the folder stays.");
        else RemoveEmpty(places.Folder, places.Kernels);
        return true;
    }

    private bool RemoveTool()
    {
        if (!Directory.Exists(places.Tool)) return false;
        if (!places.IsToolFolder)
        {
            terminal.Complain($"{places.Tool}: this folder holds something else, so it is left alone.");
            return false;
        }
        Try(places.Tool, () => Directory.Delete(places.Tool, recursive: true));
        terminal.SayPath("Removed: ", places.Tool);
        if (places.JupyterPath is null) RemoveEmpty(Path.GetDirectoryName(places.Tool)!, Path.GetDirectoryName(Path.GetDirectoryName(places.Tool)!)!);
        else RemoveEmpty(places.JupyterPath);
        return true;
    }

    private static void RemoveEmpty(params ReadOnlySpan<string> folders)
    {
        foreach (var folder in folders)
            if (Directory.Exists(folder) && !Directory.EnumerateFileSystemEntries(folder).Any()) Try(folder, () => Directory.Delete(folder));
    }

    private static void Try(string path, Action delete)
    {
        try
        {
            delete();
        }
        catch (Exception refused) when (refused is IOException or UnauthorizedAccessException)
        {
            throw new DataFault(path, null, "the system does not let it be removed", "Close Jupyter and every kernel, check your rights there, then run this again.", refused);
        }
    }
}
