// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>Paths as they may stand in a page or a notebook that is handed on: never from the root of the machine.</summary>
internal static class ShownPath
{
    private static readonly char[] Separators = [Path.DirectorySeparatorChar, Path.AltDirectorySeparatorChar];

    /// <summary>The way from a folder to a path with <c>/</c> between the parts; only the name where they have no more in common than the root.</summary>
    public static string From(string folder, string path)
    {
        var (start, end) = (Path.GetFullPath(folder), Path.TrimEndingDirectorySeparator(Path.GetFullPath(path)));
        var shareNothing = First(start) != First(end);
        return (shareNothing ? Path.GetFileName(end) : Path.GetRelativePath(start, end)).Replace(Path.DirectorySeparatorChar, '/');
    }

    /// <summary>A path as it was given, so that the command can be given again; an absolute one, or a dot, becomes a path below the current folder or a name.</summary>
    public static string InCommand(string given)
    {
        var isPlain = !Path.IsPathRooted(given) && Path.GetRelativePath(".", given) != ".";
        if (isPlain) return given;
        var below = Path.GetRelativePath(".", given);
        return below is "." or ".." || below.StartsWith(".." + Path.DirectorySeparatorChar, StringComparison.Ordinal) || Path.IsPathRooted(below) ? SurveyFolder.NameOf(given) : below;
    }

    /// <summary>A path as one word of a command that can be given again.</summary>
    public static string Word(string given) => Quoted(InCommand(given));

    /// <summary>A word as a shell takes it for one word: in quotes where it holds blanks or signs that mean something there.</summary>
    /// <remarks>Source: POSIX.1-2017, Shell Command Language, 2.2 Quoting.</remarks>
    public static string Quoted(string word)
    {
        if (word.StartsWith('-')) word = "./" + word;
        if (word.Length > 0 && word.All(c => char.IsLetterOrDigit(c) || "_-./\\:@+,=%".Contains(c) && (c != '\\' || OperatingSystem.IsWindows()))) return word;
        return OperatingSystem.IsWindows() || !word.Any("\"$`\\!".Contains) ? $"\"{word}\"" : $"'{word.Replace("'", "'\\''")}'";
    }

    // The root of a drive and the first folder in it: "/home", "C:\surveys".
    private static string First(string path)
    {
        var root = Path.GetPathRoot(path) ?? "";
        return root + path[root.Length..].Split(Separators)[0];
    }
}
