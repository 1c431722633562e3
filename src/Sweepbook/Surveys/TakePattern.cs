// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;

namespace Sweepbook.Surveys;

/// <summary>What a file's name says about a take. Null where the pattern does not hold that placeholder.</summary>
internal sealed record TakeName(IReadOnlyList<string>? Sources, string? Seat, string? Setting, string? Microphone, string? Stimulus, int? Repeat);

/// <summary>The <c>takes</c> pattern of a survey: literal text and placeholders, matched against ids that the survey knows.</summary>
/// <remarks>
/// Ids may hold hyphens and underscores, so a name is not split: every way to fill the placeholders with known ids is tried, and a name
/// that can be read in two ways is ambiguous. <c>{source}</c> takes several ids joined by "+"; <c>{repeat}</c> takes digits.
/// Own convention (design, survey folder); it needs no source.
/// </remarks>
internal sealed class TakePattern
{
    private const int LongestPattern = 400;
    private const int LongestName = 400;
    private static readonly string[] Known = ["source", "seat", "setting", "repeat", "microphone", "stimulus"];

    private readonly List<(string Text, bool IsPlaceholder)> _parts = [];
    private readonly Dictionary<string, string[]> _ids;

    internal TakePattern(string pattern, Survey survey, TomlTable table)
    {
        _ids = new(StringComparer.Ordinal)
        {
            ["source"] = [.. survey.Sources.Select(item => item.Id)],
            ["seat"] = [.. survey.Seats.Select(item => item.Id)],
            ["setting"] = [.. survey.Settings.Select(item => item.Id)],
            ["microphone"] = [.. survey.Microphones.Select(item => item.Id)],
            ["stimulus"] = [.. survey.Stimuli.Select(item => item.Id)],
        };
        Text = pattern;
        if (pattern.Length > LongestPattern) throw table.Fault("takes", $"the pattern has {pattern.Length} characters", $"Use at most {LongestPattern}.");
        if (pattern.Contains('\\')) throw table.Fault("takes", "the pattern holds a backslash", "Write / between folders.");
        Split(pattern, table);
        if (!_parts.Any(part => part is { IsPlaceholder: true, Text: "source" }))
            throw table.Fault("takes", "the pattern has no {source}", "Write for example \"takes/{source}_{seat}_{setting}_{repeat}.wav\".");
        var first = pattern.IndexOf('{', StringComparison.Ordinal);
        var slash = pattern.LastIndexOf('/', first);
        Folder = slash < 0 ? "" : pattern[..slash];
        IsDeep = pattern.IndexOf('/', first) >= 0;
    }

    /// <summary>The pattern as the survey has it.</summary>
    internal string Text { get; }

    /// <summary>Names that would fit, with one source each and the number that <paramref name="like"/> ends with; a bounded number of them.</summary>
    internal IEnumerable<string> Names(string like)
    {
        const int Most = 2_000;
        var digits = new string([.. System.IO.Path.GetFileNameWithoutExtension(like).Reverse().TakeWhile(char.IsAsciiDigit).Reverse()]);
        IEnumerable<string> names = [""];
        foreach (var (text, isPlaceholder) in _parts)
        {
            string[] choices = !isPlaceholder ? [text] : text == "repeat" ? [digits.Length > 0 ? digits : "1"] : _ids[text];
            names = names.SelectMany(start => choices.Select(choice => start + choice));
        }
        return names.Take(Most);
    }

    /// <summary>The folder before the first placeholder; empty for the survey folder itself.</summary>
    internal string Folder { get; }

    /// <summary>True where folders below it matter too.</summary>
    internal bool IsDeep { get; }

    /// <summary>Every way to read a name, at most two: none means no match, two means ambiguous.</summary>
    internal IReadOnlyList<TakeName> Match(string relativePath)
    {
        var found = new List<TakeName>();
        if (relativePath.Length <= LongestName) Match(relativePath, 0, 0, new(null, null, null, null, null, null), found);
        return found;
    }

    private void Match(string name, int at, int part, TakeName soFar, List<TakeName> found)
    {
        if (found.Count > 1) return;
        if (part == _parts.Count)
        {
            if (at == name.Length) found.Add(soFar);
            return;
        }
        var (text, isPlaceholder) = _parts[part];
        if (!isPlaceholder)
        {
            if (string.CompareOrdinal(name, at, text, 0, text.Length) == 0) Match(name, at + text.Length, part + 1, soFar, found);
        }
        else if (text == "repeat")
        {
            // All the digits there are: half a number is never a repeat.
            var end = at;
            while (end < name.Length && char.IsAsciiDigit(name[end])) end++;
            if (end > at && int.TryParse(name.AsSpan(at, end - at), NumberStyles.None, CultureInfo.InvariantCulture, out var repeat))
                Match(name, end, part + 1, soFar with { Repeat = repeat }, found);
        }
        else if (text == "source") MatchSources(name, at, part, soFar, [], found);
        else
            foreach (var id in _ids[text])
                if (StartsAt(name, at, id)) Match(name, at + id.Length, part + 1, With(soFar, text, id), found);
    }

    private void MatchSources(string name, int at, int part, TakeName soFar, IReadOnlyList<string> sources, List<TakeName> found)
    {
        foreach (var id in _ids["source"])
        {
            if (found.Count > 1) return;
            if (sources.Contains(id) || !StartsAt(name, at, id)) continue;
            IReadOnlyList<string> together = [.. sources, id];
            var end = at + id.Length;
            Match(name, end, part + 1, soFar with { Sources = together }, found);
            if (end < name.Length && name[end] == '+') MatchSources(name, end + 1, part, soFar, together, found);
        }
    }

    private void Split(string pattern, TomlTable table)
    {
        var at = 0;
        while (at < pattern.Length)
        {
            var open = pattern.IndexOf('{', at);
            var literal = open < 0 ? pattern[at..] : pattern[at..open];
            if (literal.Contains('}')) throw table.Fault("takes", "the pattern has a } without a {", "Write placeholders as {source}.");
            if (literal.Length > 0) _parts.Add((literal, false));
            if (open < 0) break;
            var close = pattern.IndexOf('}', open);
            if (close < 0) throw table.Fault("takes", "the pattern has a { without a }", "Write placeholders as {source}.");
            var name = pattern[(open + 1)..close];
            if (!Known.Contains(name)) throw table.Fault("takes", $"the pattern has an unknown placeholder {{{TomlTable.Shorten(name)}}}", NearestName.Advice(name, Known));
            if (_parts.Contains((name, true))) throw table.Fault("takes", $"the pattern has {{{name}}} twice", "Use each placeholder once.");
            _parts.Add((name, true));
            at = close + 1;
        }
    }

    private static bool StartsAt(string name, int at, string id) => string.CompareOrdinal(name, at, id, 0, id.Length) == 0;

    private static TakeName With(TakeName name, string placeholder, string id) => placeholder switch
    {
        "seat" => name with { Seat = id },
        "setting" => name with { Setting = id },
        "microphone" => name with { Microphone = id },
        _ => name with { Stimulus = id },
    };
}
