// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Paths in a survey are relative, use <c>/</c>, and stay inside the folder, links included.</summary>
/// <remarks>The rules are the same on every system, so that a survey that is valid on one is valid on all. Own convention; it needs no source.</remarks>
internal static class PathInside
{
    private const int MostLinks = 40;   // as many as Linux follows before it calls a loop a loop

    private static readonly StringComparison Comparison =
        OperatingSystem.IsWindows() ? StringComparison.OrdinalIgnoreCase : StringComparison.Ordinal;

    /// <summary>The absolute path of something inside a folder; it need not exist.</summary>
    /// <param name="folder">The folder that must not be left.</param>
    /// <param name="relative">The path as it stands in the file.</param>
    /// <param name="file">The file in which it stands, for the fault.</param>
    /// <param name="line">Its line there, or null.</param>
    /// <returns>The absolute path; links in it are checked, not replaced.</returns>
    /// <exception cref="DataFault">The path is empty, absolute, has a drive letter, a backslash or <c>..</c>, or leads through a link to elsewhere.</exception>
    public static string Resolve(string folder, string relative, string file, int? line)
    {
        if (string.IsNullOrWhiteSpace(relative)) throw new DataFault(file, line, "a path is empty", "Name a file inside the survey folder.");
        var shown = new string([.. relative.Select(c => char.IsControl(c) ? '?' : c)]);
        if (relative.Any(char.IsControl)) throw Refused($"the path \"{shown}\" holds a control character", "Remove it, or rename the file.");
        if (relative[0] is '/' or '~' || (relative.Length > 1 && char.IsAsciiLetter(relative[0]) && relative[1] == ':'))
            throw Refused($"the path \"{shown}\" is absolute", "Put the file into the survey folder and name it relative to that folder.");
        if (relative.Contains('\\')) throw Refused($"the path \"{shown}\" has a backslash", "Write / between folders, which works on every system.");
        var parts = relative.Split('/');
        if (parts.Contains("..")) throw Refused($"the path \"{shown}\" leaves the survey folder", "Put the file into the survey folder and name it without \"..\".");
        if (OperatingSystem.IsWindows() && relative.Contains(':')) throw Refused($"the path \"{shown}\" has a colon", "Rename the file.");
        var root = Path.GetFullPath(folder);
        var path = Path.GetFullPath(Path.Combine([root, .. parts.Where(part => part is not ("" or "."))]));
        if (Real(root) is not { } realRoot || Real(path) is not { } realPath)
            throw Refused($"the path \"{shown}\" leads through links in a circle", "Put the file itself into the survey folder.");
        if (!Path.TrimEndingDirectorySeparator(realPath).Equals(Path.TrimEndingDirectorySeparator(realRoot), Comparison)
            && !realPath.StartsWith(Path.TrimEndingDirectorySeparator(realRoot) + Path.DirectorySeparatorChar, Comparison))
            throw Refused($"the path \"{shown}\" is a link that leaves the survey folder", "Put the file itself into the survey folder.");
        return path;

        DataFault Refused(string problem, string remedy) => new(file, line, problem, remedy);
    }

    /// <summary>True where a path, links followed, is the folder itself or lies inside it.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="path">The path; it need not exist.</param>
    public static bool IsInside(string folder, string path) =>
        Real(Path.GetFullPath(folder)) is { } root && Real(Path.GetFullPath(path)) is { } inner
        && (Path.TrimEndingDirectorySeparator(inner) + Path.DirectorySeparatorChar)
            .StartsWith(Path.TrimEndingDirectorySeparator(root) + Path.DirectorySeparatorChar, Comparison);

    // The path with every link on the way replaced by what it points to; null where links never end. What does not exist is kept as it is.
    private static string? Real(string path)
    {
        var links = 0;
        var done = Path.GetPathRoot(path)!;
        var todo = new Stack<string>(Parts(path).Reverse());
        while (todo.TryPop(out var part))
        {
            var next = Path.GetFullPath(Path.Combine(done, part));
            if (new FileInfo(next).LinkTarget is not { } target)
            {
                done = next;
                continue;
            }
            if (++links > MostLinks) return null;
            if (Path.IsPathRooted(target)) done = Path.GetPathRoot(target)!;
            foreach (var piece in Parts(target).Reverse()) todo.Push(piece);
        }
        return done;

        static string[] Parts(string path) => path[(Path.GetPathRoot(path)?.Length ?? 0)..]
            .Split([Path.DirectorySeparatorChar, Path.AltDirectorySeparatorChar], StringSplitOptions.RemoveEmptyEntries);
    }
}
