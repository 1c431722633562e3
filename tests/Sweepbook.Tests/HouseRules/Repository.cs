// SPDX-License-Identifier: MIT
namespace Sweepbook.Tests.HouseRules;

/// <summary>The repository that these tests were built from, and the text files in it.</summary>
public static class Repository
{
    private static readonly string[] TextKinds =
        [".cs", ".csx", ".csproj", ".props", ".slnx", ".json", ".md", ".toml", ".txt", ".py", ".ipynb", ".sh", ".cmd", ".editorconfig", ".gitignore", ".gitattributes", ""];

    /// <summary>Its root folder: the nearest one above the tests that holds the solution.</summary>
    public static string Root { get; } = FindRoot();

    /// <summary>A path below the root.</summary>
    public static string Path(params string[] parts) => System.IO.Path.Combine([Root, .. parts]);

    /// <summary>Text files below the root, relative, with forward slashes; folders that .gitignore names are left out.</summary>
    public static IReadOnlyList<string> TextFiles { get; } = [.. Below(Root, IgnoredFolders()).Order(StringComparer.Ordinal)];

    private static HashSet<string> IgnoredFolders() =>
        [".git", .. File.ReadAllLines(Path(".gitignore")).Where(line => line.EndsWith('/')).Select(line => line.TrimEnd('/'))];

    private static IEnumerable<string> Below(string folder, HashSet<string> ignored) =>
        Directory.GetFiles(folder)
            .Where(file => TextKinds.Contains(System.IO.Path.GetExtension(file)) && System.IO.Path.GetFileName(file) != ".git")
            .Select(file => System.IO.Path.GetRelativePath(Root, file).Replace('\\', '/'))
            .Concat(Directory.GetDirectories(folder)
                .Where(child => !ignored.Contains(System.IO.Path.GetFileName(child)))
                .SelectMany(child => Below(child, ignored)));

    private static string FindRoot()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
            if (File.Exists(System.IO.Path.Combine(folder.FullName, "Sweepbook.slnx"))) return folder.FullName;
        throw new DirectoryNotFoundException($"No Sweepbook.slnx above {AppContext.BaseDirectory}; run the tests from a clone.");
    }
}
