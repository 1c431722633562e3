// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>The known name that an unknown one most likely meant.</summary>
/// <remarks>
/// Distance: insertions, deletions, exchanges and swapped neighbours (the "optimal string alignment" form), compared without case.
/// Near means at most a third of the longer name, at least one; a name that begins the other one counts as near too.
/// Source: F. J. Damerau, "A technique for computer detection and correction of spelling errors", Comm. ACM 7 (1964) 171–176.
/// </remarks>
internal static class NearestName
{
    /// <summary>Longer names are not compared: a fault must not cost time.</summary>
    private const int LongestCompared = 100;

    /// <summary>A sentence naming the nearest known name, or all of them where none is near and they are few.</summary>
    internal static string Advice(string unknown, IReadOnlyCollection<string> known)
    {
        const int FewEnoughToList = 12;
        const int LongestList = 300;
        if (Find(unknown, known) is { } near) return $"Did you mean `{TomlTable.Shorten(near)}`?";
        if (known.Count == 0) return "None is declared yet.";
        var list = string.Join(", ", known.Take(FewEnoughToList).Select(TomlTable.Shorten));
        return known.Count <= FewEnoughToList && list.Length <= LongestList ? $"Known are: {list}."
            : $"Known are {known.Count}, among them {string.Join(", ", known.Take(3).Select(TomlTable.Shorten))}.";
    }

    /// <summary>The nearest known name, or null where none is near.</summary>
    internal static string? Find(string unknown, IEnumerable<string> known)
    {
        var (best, bestDistance) = ((string?)null, int.MaxValue);
        if (unknown.Length > LongestCompared) return null;
        foreach (var name in known.Where(name => name.Length <= LongestCompared))
        {
            var distance = Distance(unknown.ToLowerInvariant(), name.ToLowerInvariant());
            var allowed = Math.Max(1, Math.Max(unknown.Length, name.Length) / 3);
            var begins = unknown.Length >= 3 && name.StartsWith(unknown, StringComparison.OrdinalIgnoreCase)
                || name.Length >= 3 && unknown.StartsWith(name, StringComparison.OrdinalIgnoreCase);
            if ((distance <= allowed || begins) && distance < bestDistance) (best, bestDistance) = (name, distance);
        }
        return best;
    }

    internal static int Distance(string a, string b)
    {
        var d = new int[a.Length + 1, b.Length + 1];
        for (var i = 0; i <= a.Length; i++) d[i, 0] = i;
        for (var j = 0; j <= b.Length; j++) d[0, j] = j;
        for (var i = 1; i <= a.Length; i++)
            for (var j = 1; j <= b.Length; j++)
            {
                d[i, j] = Math.Min(Math.Min(d[i - 1, j], d[i, j - 1]) + 1, d[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1));
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) d[i, j] = Math.Min(d[i, j], d[i - 2, j - 2] + 1);
            }
        return d[a.Length, b.Length];
    }
}
