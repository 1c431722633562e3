// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Text;

namespace Sweepbook.Tests.Files;

/// <summary>WAV files put together by hand, byte by byte, right or wrong in one place. Shares nothing with the library's writer.</summary>
internal sealed record WavBytes
{
    public const ushort Pcm = 1;
    public const ushort Float = 3;
    public const ushort Extensible = 0xFFFE;

    public ushort Tag { get; init; } = Pcm;
    public ushort SubTag { get; init; } = Pcm;
    public int Channels { get; init; } = 1;
    public uint RateHz { get; init; } = 48000;
    public int Bits { get; init; } = 16;
    public int? ValidBits { get; init; }
    public int? FrameBytes { get; init; }
    public byte[] Data { get; init; } = [];
    public uint? DataLength { get; init; }
    public uint? RiffLength { get; init; }
    public string Outer { get; init; } = "RIFF";
    public string Inner { get; init; } = "WAVE";
    public byte[] Before { get; init; } = [];
    public byte[] After { get; init; } = [];
    public bool WithoutFormat { get; init; }
    public ulong? LongDataLength { get; init; }

    /// <summary>A chunk with its padding.</summary>
    public static byte[] Chunk(string id, params byte[] content) =>
        [.. Encoding.ASCII.GetBytes(id), .. U32((uint)content.Length), .. content, .. new byte[content.Length & 1]];

    public static byte[] U32(uint value)
    {
        var bytes = new byte[4];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes, value);
        return bytes;
    }

    public static byte[] U16(int value) => U32((uint)value)[..2];

    public static byte[] U64(ulong value) => [.. U32((uint)value), .. U32((uint)(value >> 32))];

    /// <summary>The whole file.</summary>
    public byte[] Bytes()
    {
        var frame = FrameBytes ?? Channels * ((Bits + 7) / 8);
        byte[] format = [.. U16(Tag), .. U16(Channels), .. U32(RateHz), .. U32((uint)(RateHz * frame)), .. U16(frame), .. U16(Bits)];
        if (Tag == Extensible)
            format = [.. format, .. U16(22), .. U16(ValidBits ?? Bits), .. U32(0), .. U16(SubTag), 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xAA, 0, 0x38, 0x9B, 0x71];
        byte[] body =
        [
            .. Before,
            .. WithoutFormat ? [] : Chunk("fmt ", format),
            .. Encoding.ASCII.GetBytes("data"), .. U32(DataLength ?? (LongDataLength is null ? (uint)Data.Length : uint.MaxValue)), .. Data, .. new byte[Data.Length & 1],
            .. After,
        ];
        if (LongDataLength is ulong length)
            body = [.. Chunk("ds64", [.. U64((ulong)body.Length + 40), .. U64(length), .. U64(0), .. U32(0)]), .. body];
        return [.. Encoding.ASCII.GetBytes(Outer), .. U32(RiffLength ?? (LongDataLength is null ? (uint)body.Length + 4 : uint.MaxValue)), .. Encoding.ASCII.GetBytes(Inner), .. body];
    }
}
