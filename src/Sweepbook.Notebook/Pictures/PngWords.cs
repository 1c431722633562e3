// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Text;

namespace Sweepbook.Notebook.Pictures;

/// <summary>Writes words into a PNG: its title, its description and what made it, as international text after the header.</summary>
/// <remarks>Source: ISO/IEC 15948 (Portable Network Graphics), iTXt and the cyclic redundancy code of annex D.</remarks>
internal static class PngWords
{
    private const int AfterHeader = 8 + 4 + 4 + 13 + 4;   // signature; length, name, content and check of the header
    private static readonly uint[] Table = [.. Enumerable.Range(0, 256).Select(n =>
    {
        var value = (uint)n;
        for (var k = 0; k < 8; k++) value = (value & 1) != 0 ? 0xEDB88320 ^ (value >> 1) : value >> 1;
        return value;
    })];

    public static byte[] Into(byte[] png, params IEnumerable<(string Key, string Text)> words) =>
        [.. png[..AfterHeader], .. words.SelectMany(word => Chunk(word.Key, word.Text)), .. png[AfterHeader..]];

    private static byte[] Chunk(string key, string text)
    {
        byte[] content = [.. "iTXt"u8, .. Encoding.ASCII.GetBytes(key), 0, 0, 0, 0, 0, .. Encoding.UTF8.GetBytes(text)];
        var check = 0xFFFFFFFF;
        foreach (var value in content) check = Table[(check ^ value) & 0xFF] ^ (check >> 8);
        return [.. Big((uint)content.Length - 4), .. content, .. Big(~check)];
    }

    private static byte[] Big(uint value)
    {
        var bytes = new byte[4];
        BinaryPrimitives.WriteUInt32BigEndian(bytes, value);
        return bytes;
    }
}
