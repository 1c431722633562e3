// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Globalization;
using NAudio.Wave;

namespace Sweepbook.Files;

/// <summary>WAV files in and out, value for value: nothing is normalised, resampled, dithered or dropped.</summary>
/// <remarks>
/// Reads 16-, 24- and 32-bit integer and 32- and 64-bit float samples in 1 to 32 channels at any rate, plain, extensible and with 64-bit lengths.
/// Sources: see the remarks of the header and sample readers; Microsoft, "Multiple Channel Audio Data and WAVE Files" (2007).
/// </remarks>
public static class WavFile
{
    /// <summary>Samples of all channels together that are read at once: 512 MB of memory, or 11 minutes of two channels at 48 kHz.</summary>
    internal const long MostSamples = 1L << 26;

    /// <summary>Reads a whole file.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">What the user calls it, for faults; the path where null.</param>
    /// <returns>All channels, linear, full scale ±1: integer n of b bits is n / 2^(b − 1).</returns>
    /// <exception cref="DataFault">The file is missing, empty, no WAV file, cut short, unfinished, damaged, too long, or in an encoding that is not supported.</exception>
    /// <remarks>Misleads where a program has already normalised or resampled the file: that cannot be seen from here.</remarks>
    public static Recording Read(string path, string? shownAs = null) =>
        InputFile.Read(path, shownAs ?? path, stream => Read(stream, shownAs ?? path));

    /// <summary>Reads from an open, seekable stream.</summary>
    internal static Recording Read(Stream stream, string shownAs)
    {
        try
        {
            var header = new WavHeaderReader(stream, shownAs).Read();
            var samples = header.Length * header.ChannelCount;
            if (samples > MostSamples)
                throw new DataFault(shownAs, null,
                    string.Create(CultureInfo.InvariantCulture,
                        $"it is too long to be read at once: {(double)header.Length / header.SampleRateHz:0.0} s in {header.ChannelCount} channels are {samples} samples, and {MostSamples} is the limit"),
                    "Cut it to the take itself, or keep only the channels that are needed.");
            return Recording.Owning(header.SampleRateHz, WavSamples.Read(stream, header, shownAs));
        }
        catch (IOException broken)
        {
            throw InputFile.Unreadable(shownAs, broken);
        }
    }

    /// <summary>Reads the header alone and checks it against the length of the file; the samples are not looked at.</summary>
    internal static WavHeader ReadHeader(string path, string? shownAs = null) =>
        InputFile.Read(path, shownAs ?? path, stream => new WavHeaderReader(stream, shownAs ?? path).Read());

    /// <summary>Writes a new file. An existing file is never overwritten.</summary>
    /// <param name="path">Where it goes; missing folders are made.</param>
    /// <param name="recording">What is written, full scale ±1.</param>
    /// <param name="encoding">Integers are rounded to the nearest code without dither (+1 becomes the highest code); floats are exact as far as they go.</param>
    /// <exception cref="ArgumentException">A sample lies outside [−1, 1] and the encoding is integer: it would clip.</exception>
    /// <exception cref="DataFault">The file exists, or the disk refuses.</exception>
    /// <remarks>More than two channels get an extensible header without loudspeaker positions.</remarks>
    public static void Write(string path, Recording recording, WavEncoding encoding) =>
        AtomicFile.Create(path, stream => Write(stream, recording, encoding));

    /// <summary>Writes a file in the place of another, which stays whole until the new one stands. Never meant for takes.</summary>
    /// <param name="path">Where it goes.</param>
    /// <param name="recording">What is written, full scale ±1.</param>
    /// <param name="encoding">As for <see cref="Write(string, Recording, WavEncoding)"/>.</param>
    /// <exception cref="ArgumentException">A sample lies outside [−1, 1] and the encoding is integer.</exception>
    /// <exception cref="DataFault">The disk refuses.</exception>
    public static void Replace(string path, Recording recording, WavEncoding encoding) =>
        AtomicFile.Write(path, stream => Write(stream, recording, encoding));

    /// <summary>Writes header and samples to a stream.</summary>
    internal static void Write(Stream stream, Recording recording, WavEncoding encoding)
    {
        ArgumentNullException.ThrowIfNull(recording);
        var format = new WavFormat(encoding, recording.ChannelCount, recording.SampleRateHz);
        var dataBytes = (long)recording.Length * format.FrameBytes;
        if (dataBytes > uint.MaxValue - 1024)
            throw new ArgumentException($"{dataBytes} bytes of samples do not fit into a WAV file; must be below 4 GB.", nameof(recording));
        stream.Write(Head(format, recording.Length, (uint)dataBytes));
        WavSamples.Write(stream, recording, encoding);
        if ((dataBytes & 1) == 1) stream.WriteByte(0);
    }

    /// <summary>Everything before the first frame.</summary>
    internal static byte[] Head(WavFormat format, int frames, uint dataBytes)
    {
        var isFloat = WavFormat.IsFloat(format.Encoding);
        var tag = isFloat ? WaveFormatEncoding.IeeeFloat : WaveFormatEncoding.Pcm;
        var extensible = format.ChannelCount > 2;
        var formatBytes = extensible ? 40 : isFloat ? 18 : 16;
        var head = new byte[12 + 8 + formatBytes + (isFloat ? 12 : 0) + 8];
        var rest = head.AsSpan();
        Put(ref rest, "RIFF"u8, (uint)(head.Length - 8) + dataBytes + (dataBytes & 1));
        "WAVE"u8.CopyTo(rest);
        rest = rest[4..];
        Put(ref rest, "fmt "u8, (uint)formatBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(rest, (ushort)(extensible ? WaveFormatEncoding.Extensible : tag));
        BinaryPrimitives.WriteUInt16LittleEndian(rest[2..], (ushort)format.ChannelCount);
        BinaryPrimitives.WriteUInt32LittleEndian(rest[4..], (uint)format.SampleRateHz);
        BinaryPrimitives.WriteUInt32LittleEndian(rest[8..], (uint)Math.Min(uint.MaxValue, (long)format.SampleRateHz * format.FrameBytes));
        BinaryPrimitives.WriteUInt16LittleEndian(rest[12..], (ushort)format.FrameBytes);
        BinaryPrimitives.WriteUInt16LittleEndian(rest[14..], (ushort)(8 * format.SampleBytes));
        if (extensible)
        {
            BinaryPrimitives.WriteUInt16LittleEndian(rest[16..], 22);                               // bytes that follow
            BinaryPrimitives.WriteUInt16LittleEndian(rest[18..], (ushort)(8 * format.SampleBytes)); // valid bits; the channel mask after it stays 0
            (isFloat ? AudioMediaSubtypes.MEDIASUBTYPE_IEEE_FLOAT : AudioMediaSubtypes.MEDIASUBTYPE_PCM).TryWriteBytes(rest[24..]);
        }
        rest = rest[formatBytes..];
        if (isFloat)
        {
            Put(ref rest, "fact"u8, 4);
            BinaryPrimitives.WriteUInt32LittleEndian(rest, (uint)frames);
            rest = rest[4..];
        }
        Put(ref rest, "data"u8, dataBytes);
        return head;
    }

    private static void Put(ref Span<byte> rest, ReadOnlySpan<byte> id, uint length)
    {
        id.CopyTo(rest);
        BinaryPrimitives.WriteUInt32LittleEndian(rest[4..], length);
        rest = rest[8..];
    }
}
