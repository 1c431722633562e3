// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;

namespace Sweepbook.Files;

/// <summary>Writing TOML values.</summary>
internal static class TomlText
{
    /// <summary>A basic string: quoted, with quotes, backslashes and control characters escaped, so that any text reads back equal.</summary>
    /// <remarks>Source: TOML 1.0.0 (toml.io/en/v1.0.0), "String". Lone surrogates, which UTF-8 cannot hold, become U+FFFD.</remarks>
    internal static string Quoted(string text)
    {
        var quoted = new StringBuilder("\"");
        foreach (var rune in text.EnumerateRunes())
            if (rune.Value is '"' or '\\') quoted.Append('\\').Append((char)rune.Value);
            else if (rune.Value < 0x20 || rune.Value == 0x7F) quoted.Append(CultureInfo.InvariantCulture, $"\\u{rune.Value:X4}");
            else quoted.Append(rune.ToString());
        return quoted.Append('"').ToString();
    }
}
