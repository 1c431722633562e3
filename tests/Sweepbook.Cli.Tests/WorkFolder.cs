// SPDX-License-Identifier: MIT
using System.Security.Cryptography;

namespace Sweepbook.Cli.Tests;

/// <summary>A folder of its own for one test, gone afterwards.</summary>
internal sealed class WorkFolder : IDisposable
{
    public string Root { get; } = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;

    public string this[params string[] parts] => Path.Combine([Root, .. parts]);

    /// <summary>Copies a folder of the repository to the same place below this one.</summary>
    public string Copy(string fromRepository)
    {
        var (source, target) = (Path.Combine(RepositoryRoot, fromRepository), this[fromRepository]);
        foreach (var file in Directory.EnumerateFiles(source, "*", SearchOption.AllDirectories))
        {
            var copy = Path.Combine(target, Path.GetRelativePath(source, file));
            Directory.CreateDirectory(Path.GetDirectoryName(copy)!);
            File.Copy(file, copy);
        }
        return target;
    }

    /// <summary>Every file below a folder with a hash of its content, sorted: equal before and after means untouched.</summary>
    public static string Fingerprint(string folder) => string.Join('\n', Directory
        .EnumerateFileSystemEntries(folder, "*", SearchOption.AllDirectories)
        .Order(StringComparer.Ordinal)
        .Select(entry => $"{Path.GetRelativePath(folder, entry)} {(File.Exists(entry) ? Convert.ToHexString(SHA256.HashData(File.ReadAllBytes(entry))) : "folder")}"));

    public static string RepositoryRoot { get; } = FindRoot();

    public void Dispose() => Directory.Delete(Root, recursive: true);

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, "Sweepbook.slnx"))) return folder.FullName;
        throw new DirectoryNotFoundException("The tests run from a clone of the repository.");
    }
}
