// SPDX-License-Identifier: MIT
using System.Text;
using Tomlyn;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace Sweepbook.Files;

/// <summary>A TOML file as tables that remember the line of every key. Every fault names file, line and what to do.</summary>
/// <remarks>
/// Stands on the parser's syntax tree, because its serializer drops unknown keys in silence and knows no lines.
/// Checked here: UTF-8, size, nesting, keys and tables given twice. Source: TOML 1.0.0 (toml.io/en/v1.0.0), "Keys", "Table", "Array of Tables".
/// </remarks>
internal static class TomlDocument
{
    /// <summary>Larger files are refused unread: ten thousand takes fit into two megabytes.</summary>
    internal const int LargestBytes = 4 << 20;

    /// <summary>Deeper nesting is refused by the parser before its recursion can exhaust the stack.</summary>
    internal const int DeepestNesting = 32;

    private const int LongestMessage = 160;   // the parser may quote a whole line

    private static readonly TomlSerializerOptions ParserOptions = new() { MaxDepth = DeepestNesting };

    /// <summary>Reads a file.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">How faults name it; relative to the survey where there is one.</param>
    /// <exception cref="DataFault">Missing, unreadable, too large, not UTF-8, or not TOML.</exception>
    internal static TomlTable Read(string path, string shownAs) => Parse(ReadText(path, shownAs), shownAs);

    /// <summary>Parses text that came from <paramref name="shownAs"/>.</summary>
    /// <exception cref="DataFault">Not TOML, or a key or table given twice.</exception>
    internal static TomlTable Parse(string text, string shownAs)
    {
        DocumentSyntax document;
        try
        {
            document = SyntaxParser.Parse(text, ParserOptions, shownAs, false);
        }
        catch (TomlException failure)
        {
            throw new DataFault(shownAs, null, failure.Message.Contains("depth", StringComparison.OrdinalIgnoreCase)
                ? $"brackets are nested more than {DeepestNesting} deep"
                : "this is not TOML", "Close each [ and { on the line where it was opened.", failure);
        }
        foreach (var message in document.Diagnostics)
            if (message.Kind == DiagnosticMessageKind.Error)
                throw new DataFault(shownAs, message.Span.Start.Line + 1, Lower(message.Message),
                    "Write `key = value`, texts in double quotes, and close every bracket and quote.");
        return TomlTree.Build(document, shownAs);
    }

    private static string ReadText(string path, string shownAs)
    {
        var bytes = InputFile.Read(path, shownAs, stream =>
        {
            if (stream.Length > LargestBytes)
                throw new DataFault(shownAs, null, $"the file has {stream.Length} bytes; a description has at most {LargestBytes}", "Check that this is the TOML file and not a recording.");
            var buffer = new byte[stream.Length];
            return buffer[..stream.ReadAtLeast(buffer, buffer.Length, throwOnEndOfStream: false)];
        });
        if (bytes is [0xFF, 0xFE, ..] or [0xFE, 0xFF, ..])
            throw new DataFault(shownAs, 1, "the file is written in UTF-16", "Save it again as UTF-8.");
        var start = bytes is [0xEF, 0xBB, 0xBF, ..] ? 3 : 0;
        try
        {
            return new UTF8Encoding(false, true).GetString(bytes, start, bytes.Length - start);
        }
        catch (DecoderFallbackException failure)
        {
            var line = 1 + bytes.AsSpan(0, Math.Clamp(start + failure.Index, 0, bytes.Length)).Count((byte)'\n');
            throw new DataFault(shownAs, line, "a letter is not written in UTF-8", "Save the file again as UTF-8.", failure);
        }
    }

    private static string Lower(string message)
    {
        var plain = new string([.. message.Trim().TrimEnd('.').Select(c => char.IsControl(c) ? ' ' : c)]);
        if (plain.Length > LongestMessage) plain = plain[..LongestMessage] + "…";
        return plain.Length > 0 ? char.ToLowerInvariant(plain[0]) + plain[1..] : "this is not TOML";
    }
}
