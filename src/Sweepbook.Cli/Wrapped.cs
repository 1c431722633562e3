// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>Breaks text between words.</summary>
internal static class Wrapped
{
    /// <summary>Lines of at most <paramref name="width"/> columns; a longer word stands alone and whole.</summary>
    public static IEnumerable<string> Lines(string text, int width, string first = "", string then = "")
    {
        var (line, isEmpty) = (first, true);
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (!isEmpty && line.Length + 1 + word.Length > width)
            {
                yield return line;
                (line, isEmpty) = (then, true);
            }
            line += isEmpty ? word : " " + word;
            isEmpty = false;
        }
        yield return line.TrimEnd();
    }
}
