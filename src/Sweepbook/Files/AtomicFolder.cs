// SPDX-License-Identifier: MIT
using System.Text;

namespace Sweepbook.Files;

/// <summary>A folder of results is made beside its place and swapped in whole; until then the old one stands untouched.</summary>
/// <remarks>
/// A note in the folder, <see cref="NoteName"/>, lists what was written. A folder without that note, or with files that it does not list, belongs to
/// somebody else and is never replaced. A run that is killed between the two renames of the swap leaves the old folder under a hidden name beside
/// its place; the next run puts it back first. Own convention; the renames are those of POSIX.1-2017, rename().
/// </remarks>
public static class AtomicFolder
{
    /// <summary>Name of the note that lists what was written.</summary>
    public const string NoteName = "written-by-sweepbook.txt";

    private const string NoteTitle = "These files were written by Sweepbook. The next run replaces them all; keep your own files elsewhere.";

    private static readonly string[] _madeBySystems = [".DS_Store", "Thumbs.db", "desktop.ini", ".directory", ".ipynb_checkpoints"];

    /// <summary>Fills a new folder and puts it in the place of the old one, if there is one.</summary>
    /// <param name="folder">Where the results go; missing parents are made.</param>
    /// <param name="fill">Writes everything into the folder whose absolute path it is given.</param>
    /// <exception cref="DataFault">A file is in the way, the folder holds files of somebody else, or the system refuses. The old folder is whole.</exception>
    /// <remarks>Whatever <paramref name="fill"/> throws is thrown on, and the old folder is whole then too.</remarks>
    public static void Replace(string folder, Action<string> fill)
    {
        ArgumentNullException.ThrowIfNull(fill);
        ReplaceAsync(folder, staging =>
        {
            fill(staging);
            return Task.CompletedTask;
        }).GetAwaiter().GetResult();
    }

    /// <summary>As <see cref="Replace"/>, for filling that waits for something.</summary>
    /// <param name="folder">Where the results go; missing parents are made.</param>
    /// <param name="fill">Writes everything into the folder whose absolute path it is given.</param>
    /// <returns>Done when the new folder stands.</returns>
    /// <exception cref="DataFault">A file is in the way, the folder holds files of somebody else, or the system refuses. The old folder is whole.</exception>
    /// <remarks>Whatever <paramref name="fill"/> throws is thrown on, and the old folder is whole then too.</remarks>
    public static async Task ReplaceAsync(string folder, Func<string, Task> fill)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        ArgumentNullException.ThrowIfNull(fill);
        var target = Target(folder);
        OutputFault.MakeFolder(Path.GetDirectoryName(target)!, folder);
        var stem = Leftovers.NewStem(target);
        try
        {
            Leftovers.ClearFolders(target);
            RefuseStrangers(target, folder);
            using (new FileStream(stem + Leftovers.Guard, FileMode.CreateNew, FileAccess.ReadWrite, FileShare.None))
            {
                Directory.CreateDirectory(stem + Leftovers.Staging);
                await fill(stem + Leftovers.Staging).ConfigureAwait(false);
                WriteNote(stem + Leftovers.Staging);
                RefuseStrangers(target, folder);   // filling takes a while; somebody may have put something there meanwhile
                Swap(target, stem);
            }
            Leftovers.RemoveGuard(stem);
        }
        catch (Exception thrown)
        {
            Leftovers.TryDeleteFolder(stem + Leftovers.Staging);
            Leftovers.RemoveGuard(stem);
            if (OutputFault.From(thrown, folder) is { } fault) throw fault;
            throw;
        }
    }

    private static string Target(string folder)
    {
        var target = Path.TrimEndingDirectorySeparator(Path.GetFullPath(folder));
        if (Path.GetDirectoryName(target) is null)
            throw new DataFault(folder, null, "this is the root of a disk and cannot be replaced", "Name a folder inside it.");
        if (File.Exists(target)) throw OutputFault.FileInTheWay(folder);
        try
        {
            return Directory.ResolveLinkTarget(target, returnFinalTarget: true)?.FullName ?? target;
        }
        catch (IOException)
        {
            return target;   // it does not exist yet
        }
    }

    private static void Swap(string target, string stem)
    {
        var hadOld = Directory.Exists(target);
        if (hadOld) Directory.Move(target, stem + Leftovers.Old);
        try
        {
            Directory.Move(stem + Leftovers.Staging, target);
        }
        catch when (hadOld)
        {
            Directory.Move(stem + Leftovers.Old, target);
            throw;
        }
        Leftovers.TryDeleteFolder(stem + Leftovers.Old);
    }

    private static void WriteNote(string staging)
    {
        var lines = new StringBuilder(NoteTitle).Append('\n');
        foreach (var file in FilesIn(staging).Order(StringComparer.Ordinal)) lines.Append(file).Append('\n');
        File.WriteAllText(Path.Combine(staging, NoteName), lines.ToString(), new UTF8Encoding(encoderShouldEmitUTF8Identifier: false));
    }

    private static void RefuseStrangers(string target, string shownAs)
    {
        if (File.Exists(target)) throw OutputFault.FileInTheWay(shownAs);
        if (!Directory.Exists(target)) return;
        var note = Path.Combine(target, NoteName);
        var known = File.Exists(note) ? File.ReadAllLines(note).Append(NoteName).ToHashSet(StringComparer.Ordinal) : [];
        foreach (var file in FilesIn(target).Order(StringComparer.Ordinal))
            if (!known.Contains(file) && !file.Split('/').Any(_madeBySystems.Contains))
                throw new DataFault(shownAs, null, $"this folder holds \"{file}\", which Sweepbook did not write, so it is not replaced",
                    "Choose another folder, or move your own files out of it.");
    }

    private static IEnumerable<string> FilesIn(string folder) => Directory
        .EnumerateFiles(folder, "*", new EnumerationOptions { RecurseSubdirectories = true, AttributesToSkip = FileAttributes.None, IgnoreInaccessible = false })
        .Select(file => Path.GetRelativePath(folder, file).Replace(Path.DirectorySeparatorChar, '/'));
}
