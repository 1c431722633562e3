// SPDX-License-Identifier: MIT
using System.Security.Cryptography;
using System.Text;

namespace Sweepbook.Files;

/// <summary>Names for unfinished work beside its target, and the clearing away of what a killed run left there.</summary>
/// <remarks>
/// Every unfinished file is held open by its writer without sharing; a folder is guarded by such a file. Whatever can be opened alone has lost
/// its writer and may go; whatever is held belongs to a run that still lives and stays. Own convention; it needs no source.
/// </remarks>
internal static class Leftovers
{
    /// <summary>Ending of an unfinished file.</summary>
    public const string Part = ".part";

    /// <summary>Ending of an unfinished folder.</summary>
    public const string Staging = ".staging";

    /// <summary>Ending of a folder that is being replaced.</summary>
    public const string Old = ".old";

    /// <summary>Ending of the file that guards a folder.</summary>
    public const string Guard = ".guard";

    /// <summary>A new name beside the target without its ending; of fixed length, so that long names stay possible.</summary>
    public static string NewStem(string target) =>
        Path.Combine(FolderOf(target), Prefix(target) + Guid.NewGuid().ToString("N")[..8]);

    /// <summary>Removes unfinished files of killed runs for the same target.</summary>
    public static void ClearFiles(string target)
    {
        foreach (var part in Directory.EnumerateFiles(FolderOf(target), Prefix(target) + "*" + Part)) TryDeleteAlone(part);
    }

    /// <summary>Puts back a folder that a killed run had moved aside, and removes its unfinished one.</summary>
    public static void ClearFolders(string target)
    {
        foreach (var guard in Directory.EnumerateFiles(FolderOf(target), Prefix(target) + "*" + Guard))
        {
            FileStream held;
            try
            {
                held = new FileStream(guard, FileMode.Open, FileAccess.ReadWrite, FileShare.None);
            }
            catch (Exception busy) when (busy is IOException or UnauthorizedAccessException)
            {
                continue;
            }
            using (held)
            {
                var stem = guard[..^Guard.Length];
                if (Directory.Exists(stem + Old) && !Directory.Exists(target)) Directory.Move(stem + Old, target);
                TryDeleteFolder(stem + Old);
                TryDeleteFolder(stem + Staging);
            }
            RemoveGuard(guard[..^Guard.Length]);
        }
    }

    /// <summary>Deletes the guard once there is nothing left to guard.</summary>
    public static void RemoveGuard(string stem)
    {
        if (!Directory.Exists(stem + Staging) && !Directory.Exists(stem + Old)) TryDelete(stem + Guard);
    }

    /// <summary>Deletes a file if it can be; otherwise a later run will.</summary>
    public static void TryDelete(string path) => Try(() => File.Delete(path));

    /// <summary>Deletes a folder if it is there and can be; otherwise a later run will.</summary>
    public static void TryDeleteFolder(string path) => Try(() =>
    {
        if (Directory.Exists(path)) Directory.Delete(path, recursive: true);
    });

    private static void TryDeleteAlone(string path) => Try(() =>
    {
        using (new FileStream(path, FileMode.Open, FileAccess.ReadWrite, FileShare.None)) { }
        File.Delete(path);
    });

    private static void Try(Action action)
    {
        try
        {
            action();
        }
        catch (Exception kept) when (kept is IOException or UnauthorizedAccessException)
        {
            // The rest of the work does not depend on it, and the next run tries again.
        }
    }

    private static string FolderOf(string target) => Path.GetDirectoryName(target)!;

    private static string Prefix(string target) =>
        $".sweepbook-{Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Path.GetFileName(target))))[..8]}-";
}
