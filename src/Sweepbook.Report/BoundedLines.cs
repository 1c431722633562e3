// SPDX-License-Identifier: MIT
using System.Text;

namespace Sweepbook.Report;

/// <summary>Lines from a pipe whose other end may write whatever it likes: of a line without end only a bounded part is held.</summary>
internal sealed class BoundedLines(TextReader reader)
{
    /// <summary>Longest part of a line that is kept, in characters; longer than any message of the child.</summary>
    public const int Longest = 1 << 20;

    private readonly char[] _chunk = new char[4096];
    private readonly StringBuilder _line = new();
    private int _at, _filled;

    /// <summary>The next line without its end, or null after the last. A line is kept from its last <see cref="ChildMessage.Mark"/> on, where it has one, and no longer than <see cref="Longest"/>.</summary>
    public async ValueTask<string?> NextAsync(CancellationToken cancellation)
    {
        while (true)
        {
            if (_at == _filled)
            {
                (_at, _filled) = (0, await reader.ReadAsync(_chunk, cancellation));
                if (_filled == 0) return _line.Length > 0 ? Taken() : null;
            }
            var rest = _chunk.AsSpan(_at, _filled - _at);
            var end = rest.IndexOf('\n');
            Keep(end < 0 ? rest : rest[..end]);
            _at = end < 0 ? _filled : _at + end + 1;
            if (end >= 0) return Taken();
        }
    }

    private void Keep(ReadOnlySpan<char> part)
    {
        if (part.LastIndexOf(ChildMessage.Mark) is var mark and >= 0)
        {
            _line.Clear();
            part = part[mark..];
        }
        _line.Append(part[..Math.Min(part.Length, Longest - _line.Length)]);
    }

    private string Taken()
    {
        var line = _line.ToString().TrimEnd('\r');
        _line.Clear();
        return line;
    }
}
