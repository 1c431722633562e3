// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Where other programs are.</summary>
internal static class SearchPath
{
    /// <summary>The whole path of a program on the search path; null where there is none.</summary>
    public static string? Find(string name)
    {
        string[] endings = OperatingSystem.IsWindows() ? [".exe", ".cmd", ".bat", ""] : [""];
        return (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries)
            .SelectMany(folder => endings.Select(ending => Path.GetFullPath(Path.Combine(folder, name + ending)))).FirstOrDefault(File.Exists);
    }
}
