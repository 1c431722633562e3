// SPDX-License-Identifier: MIT
namespace Sweepbook.Notebook.Pictures;

/// <summary>How wide words are, and where a line is broken. Reckoned from classes of letters, so that a picture is the same wherever it is made.</summary>
/// <remarks>Widths are those of DejaVu Sans, which is wide: with another sans serif the words take a little less room. Measured on its letters, rounded up.</remarks>
internal static class Lettering
{
    public const string Family = "DejaVu Sans";
    private const double BoldRatio = 1.1;

    /// <summary>Width in pixels of a line of text.</summary>
    public static double Width(string text, double size, bool isBold = false)
    {
        var sum = 0.0;
        foreach (var letter in text) sum += Share(letter);
        return sum * size * (isBold ? BoldRatio : 1);
    }

    /// <summary>Breaks a text at its blanks into lines of at most so many pixels; a longer word has a line of its own and is cut into pieces.</summary>
    public static IReadOnlyList<string> Lines(string text, double size, double width, bool isBold = false)
    {
        var (lines, line) = (new List<string>(), "");
        foreach (var word in text.Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            var rest = word;
            var wider = line.Length == 0 ? rest : $"{line} {rest}";
            if (Width(wider, size, isBold) <= width)
            {
                line = wider;
                continue;
            }
            if (line.Length > 0) lines.Add(line);
            while (rest.Length > 1 && Width(rest, size, isBold) > width)
            {
                var fits = Math.Max(1, Enumerable.Range(1, rest.Length).TakeWhile(n => Width(rest[..n], size, isBold) <= width).LastOrDefault());
                lines.Add(rest[..fits]);
                rest = rest[fits..];
            }
            line = rest;
        }
        if (line.Length > 0) lines.Add(line);
        return lines;
    }

    private static double Share(char letter) => letter switch
    {
        'i' or 'l' or 'j' or '\'' or '|' => 0.29,
        ' ' or '.' or ',' or ':' or ';' => 0.33,
        '\u2009' => 0.2,
        'f' or 't' or 'r' or '(' or ')' or '-' or '/' or 'I' => 0.4,
        'm' or 'w' or 'M' or 'W' or '\u2026' or '%' => 0.98,
        '+' or '=' or '<' or '>' or '±' or '−' or '×' => 0.84,
        >= 'A' and <= 'Z' => 0.7,
        > '\u2E80' => 1.0,
        _ => 0.63,
    };
}
