// SPDX-License-Identifier: MIT
using System.Text;

namespace Sweepbook.Files;

/// <summary>Text files of unknown origin: UTF-8 or UTF-16, with or without byte order mark, otherwise taken as ISO 8859-1.</summary>
/// <remarks>
/// UTF-16 without a mark is told by its zero bytes, which stand at odd (little-endian) or even places only. Misleads where an old code page wrote the
/// notes: their accents come out wrong, the numbers do not. Source: The Unicode Standard 16.0, section 3.10.
/// </remarks>
internal static class NumberText
{
    /// <summary>No table of numbers that a person made is longer.</summary>
    public const int MostBytes = 4 << 20;

    /// <summary>No line of such a table is longer.</summary>
    public const int MostLineCharacters = 10_000;

    private static readonly UTF8Encoding _strictUtf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>The lines of the file; line ends are LF, CR LF or CR.</summary>
    /// <exception cref="DataFault">The file is too long, has a line that is too long, or is no text.</exception>
    public static List<string> Lines(Stream stream, string file)
    {
        if (stream.Length > MostBytes)
            throw new DataFault(file, null, $"it has {stream.Length} bytes, and a table of numbers has at most {MostBytes}", "Check that this is the file you mean.");
        var bytes = new byte[stream.Length];
        stream.ReadExactly(bytes);
        var text = Decode(bytes);
        if (text.Contains('\0')) throw new DataFault(file, null, "this is not a text file", "Check that this is the file you mean; export it as plain text.");
        var lines = new List<string>();
        foreach (var line in text.AsSpan().EnumerateLines())   // LF, CR, CR LF and the line ends of Unicode
        {
            if (line.Length > MostLineCharacters)
                throw new DataFault(file, lines.Count + 1, $"the line has {line.Length} characters, and at most {MostLineCharacters} are read", "Write one row of numbers per line.");
            lines.Add(line.ToString());
        }
        return lines;
    }

    private static string Decode(ReadOnlySpan<byte> bytes)
    {
        if (bytes.StartsWith("\uFEFF"u8)) return Utf8OrLatin(bytes[3..]);
        if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xFE])) return Encoding.Unicode.GetString(bytes[2..]);
        if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFE, 0xFF])) return Encoding.BigEndianUnicode.GetString(bytes[2..]);
        var (even, odd) = (0, 0);
        for (var k = 0; k < bytes.Length; k++)
            if (bytes[k] == 0)
                if ((k & 1) == 0) even++; else odd++;
        var mostly = bytes.Length / 4;   // half of the bytes of plain numbers in UTF-16 are zero
        if (odd > mostly && even == 0) return Encoding.Unicode.GetString(bytes);
        if (even > mostly && odd == 0) return Encoding.BigEndianUnicode.GetString(bytes);
        return Utf8OrLatin(bytes);
    }

    private static string Utf8OrLatin(ReadOnlySpan<byte> bytes)
    {
        try
        {
            return _strictUtf8.GetString(bytes);
        }
        catch (DecoderFallbackException)
        {
            return Encoding.Latin1.GetString(bytes).Replace('\u0085', '…');   // old code pages have the dots where ISO 8859-1 ends a line
        }
    }
}
