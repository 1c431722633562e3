// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;

namespace Sweepbook.Tests.HouseRules;

/// <summary>The house rules for files. Each takes a path (relative, forward slashes) and a text and returns the faults.</summary>
/// <remarks>The patterns are written in pieces so that this file does not break its own rules.</remarks>
public static partial class FileRules
{
    private const int MostLines = 300;
    private const string Licence = "// SPDX-License-Identifier: MIT";

    private static readonly Regex MachinePath = new("""(?<![\w.~$}*])/(""" + "work|farm|tmp|root|home" + """)/\w""");
    private static readonly Regex WindowsPath = new("""\b[A-Za-z]:\\\\?(Users|Temp)\b""");
    private static readonly Regex RegistryHost = new(
        """\b(nuget|npmjs|pypi|crates)""" + """\.(org|io)\b|\b(registry|proxy|mirror|artifactory|nexus)""" + """\.[\w-]+\.\w+""", RegexOptions.IgnoreCase);
    // 192.0.2.0/24 is kept free for examples (RFC 5737).
    private static readonly Regex LoneHost = new("""https?://(?!localhost\b|127\.0\.0\.1\b|192\.0\.2\.)(\d+\.\d+\.\d+\.\d+|[\w-]+)(:\d+|/|\s|$)""", RegexOptions.IgnoreCase);
    private static readonly Regex Unfinished = new("TO" + "DO|FIX" + "ME|HA" + "CK|NotImplemented" + """Exception|\bSkip\s*=\s*" """.TrimEnd());

    /// <summary>The licence line comes first, and nothing else is a header.</summary>
    public static IEnumerable<string> WithoutLicence(string path, string text)
    {
        if (!text.Split('\n')[0].TrimEnd('\r').Equals(Licence, StringComparison.Ordinal)) yield return $"{path}: the first line is not \"{Licence}\"";
    }

    /// <summary>Every number of the fact sheet that a text leans on has a row there, with its source and status.</summary>
    public static IEnumerable<string> UnknownFacts(string path, string text, IReadOnlySet<string> rows)
    {
        foreach (Match cited in Cited().Matches(text))
            foreach (Match number in FactNumber().Matches(cited.Value))
                if (!rows.Contains(number.Value)) yield return $"{path}: fact {number.Value} has no row in tests/reference/FACTS.md";
    }

    /// <summary>The numbers of the rows of a fact sheet.</summary>
    public static IReadOnlySet<string> FactRows(string sheet) => FactRow().Matches(sheet).Select(match => match.Groups[1].Value).ToHashSet(StringComparer.Ordinal);

    [GeneratedRegex(@"\bfact sheet \d+\.\d+(?:(?:\s*,\s*|\s*–\s*|\s+to\s+|\s+and\s+)\d+\.\d+)*")]
    private static partial Regex Cited();

    [GeneratedRegex(@"\d+\.\d+")]
    private static partial Regex FactNumber();

    [GeneratedRegex(@"(?m)^\| (\d+(?:\.\d+)?) \|")]
    private static partial Regex FactRow();

    /// <summary>No file so long that nobody reads it whole.</summary>
    public static IEnumerable<string> TooLong(string path, string text)
    {
        var lines = text.Split('\n').Length - (text.EndsWith('\n') ? 1 : 0);
        if (lines > MostLines) yield return $"{path}: {lines} lines, {MostLines} at most";
    }

    /// <summary>One namespace per folder, named by it.</summary>
    public static IEnumerable<string> NamespaceOfAnotherFolder(string path, string text)
    {
        var folder = string.Join('.', path.Split('/')[1..^1]);
        foreach (Match match in Namespace().Matches(text))
            if (match.Groups[1].Value != folder) yield return $"{path}: namespace {match.Groups[1].Value} in folder {folder}";
    }

    /// <summary>Nothing that only one machine has: absolute paths, hosts that serve packages, hosts without a domain.</summary>
    public static IEnumerable<string> MachineMarks(string path, string text) =>
        Lines(path, text, line => MachinePath.IsMatch(line) || WindowsPath.IsMatch(line) || RegistryHost.IsMatch(line) || LoneHost.IsMatch(line), "names a machine");

    /// <summary>Nothing left undone.</summary>
    public static IEnumerable<string> UnfinishedMarks(string path, string text) => Lines(path, text, Unfinished.IsMatch, "is not finished");

    /// <summary>UTF-8 without byte order mark, line feeds only.</summary>
    public static IEnumerable<string> ForeignLineEnds(string path, string text)
    {
        if (text.StartsWith('\uFEFF')) yield return $"{path}: starts with a byte order mark";
        if (text.Contains('\r')) yield return $"{path}: has carriage returns";
    }

    private static IEnumerable<string> Lines(string path, string text, Func<string, bool> isBad, string verdict) =>
        text.Split('\n').Index().Where(line => isBad(line.Item)).Select(line => $"{path}:{line.Index + 1} {verdict}: {line.Item.Trim()}");

    [GeneratedRegex("""^namespace ([\w.]+)""", RegexOptions.Multiline)]
    private static partial Regex Namespace();
}
