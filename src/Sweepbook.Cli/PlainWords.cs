// SPDX-License-Identifier: MIT
namespace Sweepbook.Cli;

/// <summary>Words of a file, a path or a cell, made harmless for a terminal.</summary>
/// <remarks>Control characters: ISO/IEC 6429 (ECMA-48), the sets C0 and C1, and DELETE. They move the cursor, change the title or ring.</remarks>
internal static class PlainWords
{
    private const char Replacement = '\uFFFD';   // REPLACEMENT CHARACTER: one sees that something was there

    /// <summary>The same text with a replacement character for every control character, line ends and tabs included.</summary>
    public static string Of(string text) => text.Any(char.IsControl) ? new([.. text.Select(c => char.IsControl(c) ? Replacement : c)]) : text;
}
