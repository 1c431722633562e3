// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using NAudio.Wave;

namespace Sweepbook.Files;

/// <summary>The format chunk of a WAV file: what one frame looks like.</summary>
/// <param name="Encoding">How each sample stands in the file.</param>
/// <param name="ChannelCount">Channels, 1 to 32.</param>
/// <param name="SampleRateHz">Frames per second.</param>
/// <remarks>
/// Where an extensible header gives fewer valid bits than the container has, the valid bits are the upper ones, so that full scale is that of
/// the container. Source: Microsoft, "Multiple Channel Audio Data and WAVE Files" (2007), structure WAVEFORMATEXTENSIBLE.
/// </remarks>
internal readonly record struct WavFormat(WavEncoding Encoding, int ChannelCount, int SampleRateHz)
{
    /// <summary>What can be read, as advice at the end of a fault.</summary>
    public const string Supported = "Save it as WAV with 16-, 24- or 32-bit integer or 32- or 64-bit float samples.";

    private const int PlainBytes = 16;
    private const int ExtensibleBytes = 40;
    private const int ValidBitsAt = 18;
    private const int SubFormatAt = 24;

    /// <summary>The most of a format chunk that is ever looked at.</summary>
    public const int MostBytes = ExtensibleBytes;

    /// <summary>Bytes of one sample.</summary>
    public int SampleBytes => BytesOf(Encoding);

    /// <summary>Bytes of one frame: one sample of every channel.</summary>
    public int FrameBytes => ChannelCount * SampleBytes;

    /// <summary>Bits and kind in words: "24-bit integer".</summary>
    public string Words => $"{8 * SampleBytes}-bit {(IsFloat(Encoding) ? "float" : "integer")}";

    /// <summary>True for the float encodings.</summary>
    public static bool IsFloat(WavEncoding encoding) => encoding is WavEncoding.Float32 or WavEncoding.Float64;

    /// <summary>Bytes of one sample.</summary>
    public static int BytesOf(WavEncoding encoding) => encoding switch
    {
        WavEncoding.Integer16 => 2,
        WavEncoding.Integer24 => 3,
        WavEncoding.Integer32 or WavEncoding.Float32 => 4,
        WavEncoding.Float64 => 8,
        _ => throw new ArgumentOutOfRangeException(nameof(encoding), encoding, "Must be one of the named encodings."),
    };

    /// <summary>Reads the chunk.</summary>
    /// <param name="chunk">Its bytes; what follows the first 40 is not needed.</param>
    /// <param name="file">The file as the user knows it.</param>
    /// <exception cref="DataFault">The encoding is not supported, or a value is absurd.</exception>
    public static WavFormat Parse(ReadOnlySpan<byte> chunk, string file)
    {
        if (chunk.Length < PlainBytes)
            throw Damaged(file, $"the format chunk is {chunk.Length} bytes long, and at least {PlainBytes} are needed");
        var tag = BinaryPrimitives.ReadUInt16LittleEndian(chunk);
        int channels = BinaryPrimitives.ReadUInt16LittleEndian(chunk[2..]);
        var rateHz = BinaryPrimitives.ReadUInt32LittleEndian(chunk[4..]);
        int frameBytes = BinaryPrimitives.ReadUInt16LittleEndian(chunk[12..]);
        int bits = BinaryPrimitives.ReadUInt16LittleEndian(chunk[14..]);
        var encoding = EncodingOf(tag, bits, chunk, file);
        if (channels is < 1 or > Recording.MostChannels)
            throw Damaged(file, $"the header names {channels} channels, and 1 to {Recording.MostChannels} can be read");
        if (rateHz is < 1 or > Recording.HighestRateHz)
            throw Damaged(file, $"the header names a sample rate of {rateHz} Hz, and 1 to {Recording.HighestRateHz} Hz can be read");
        var format = new WavFormat(encoding, channels, (int)rateHz);
        return frameBytes == format.FrameBytes
            ? format
            : throw Damaged(file, $"the header names frames of {frameBytes} bytes, but {channels} channels of {format.Words} samples take {format.FrameBytes}");
    }

    private static WavEncoding EncodingOf(ushort tag, int bits, ReadOnlySpan<byte> chunk, string file)
    {
        if ((WaveFormatEncoding)tag != WaveFormatEncoding.Extensible) return EncodingOf(tag, bits, file);
        if (chunk.Length < ExtensibleBytes)
            throw Damaged(file, $"the format chunk is {chunk.Length} bytes long, and an extensible one has {ExtensibleBytes}");
        var subFormat = new Guid(chunk.Slice(SubFormatAt, 16));
        int validBits = BinaryPrimitives.ReadUInt16LittleEndian(chunk[ValidBitsAt..]);
        if (validBits > bits)
            throw Damaged(file, $"the header names {validBits} valid bits in samples of {bits} bits");
        if (subFormat == AudioMediaSubtypes.MEDIASUBTYPE_PCM) return EncodingOf((ushort)WaveFormatEncoding.Pcm, bits, file);
        if (subFormat == AudioMediaSubtypes.MEDIASUBTYPE_IEEE_FLOAT) return EncodingOf((ushort)WaveFormatEncoding.IeeeFloat, bits, file);
        throw new DataFault(file, null, $"its samples are in the sub-format {subFormat:D}, which is not supported", Supported);
    }

    private static WavEncoding EncodingOf(ushort tag, int bits, string file) => ((WaveFormatEncoding)tag, bits) switch
    {
        (WaveFormatEncoding.Pcm, 16) => WavEncoding.Integer16,
        (WaveFormatEncoding.Pcm, 24) => WavEncoding.Integer24,
        (WaveFormatEncoding.Pcm, 32) => WavEncoding.Integer32,
        (WaveFormatEncoding.IeeeFloat, 32) => WavEncoding.Float32,
        (WaveFormatEncoding.IeeeFloat, 64) => WavEncoding.Float64,
        (WaveFormatEncoding.Pcm, 8) => throw new DataFault(file, null, "8-bit samples are too coarse for a measurement", "Record it again with 24 bits."),
        (WaveFormatEncoding.Pcm, _) => throw new DataFault(file, null, $"integer samples of {bits} bits are not supported", Supported),
        (WaveFormatEncoding.IeeeFloat, _) => throw new DataFault(file, null, $"float samples of {bits} bits are not supported", Supported),
        _ => throw new DataFault(file, null, $"its samples are in encoding 0x{tag:X4}{NameOf(tag)}, which is not supported", Supported),
    };

    private static string NameOf(ushort tag) => Enum.GetName((WaveFormatEncoding)tag) is { } name ? $" ({name})" : "";

    private static DataFault Damaged(string file, string problem) =>
        new(file, null, problem, "The header is damaged: copy the file again, or save it again as WAV from the program that made it.");
}
