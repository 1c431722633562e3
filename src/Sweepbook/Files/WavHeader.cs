// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Globalization;
using System.Text;

namespace Sweepbook.Files;

/// <summary>What a WAV file says about itself, checked against its real length.</summary>
/// <param name="Format">What one frame looks like.</param>
/// <param name="Length">Frames, at least 1, all of them present.</param>
/// <param name="DataStart">Offset of the first frame in bytes.</param>
internal readonly record struct WavHeader(WavFormat Format, long Length, long DataStart)
{
    /// <summary>Frames per second.</summary>
    public int SampleRateHz => Format.SampleRateHz;

    /// <summary>Channels.</summary>
    public int ChannelCount => Format.ChannelCount;
}

/// <summary>Walks the chunks of a RIFF file and holds every length against the file.</summary>
/// <remarks>
/// A data length that is too long, never filled in, or no whole number of frames is refused; the common readers cut such files in silence.
/// A RIFF length that is up to eight bytes too long is let pass (writers that count the eight bytes of the outer header) and so is anything after the end it names.
/// RF64 and BW64 are read through their ds64 chunk. Sources: IBM and Microsoft, "Multimedia Programming Interface and Data
/// Specifications 1.0" (1991), chapter 2; EBU Tech 3306 (2009) and ITU-R BS.2088-1 (2019) for 64-bit lengths.
/// </remarks>
internal sealed class WavHeaderReader(Stream stream, string file)
{
    private const int ChunkHeadBytes = 8;
    private const int RiffHeadBytes = 12;
    private const int MostChunks = 1000;
    private const int ForgivenBytes = ChunkHeadBytes + 1;   // the outer header counted in, and a missing pad byte

    private WavFormat? _format;
    private bool _is64;
    private long _riffLength;
    private long? _longDataLength;

    /// <summary>Reads and checks the header.</summary>
    /// <exception cref="DataFault">The file is not a WAV file, is damaged, cut short, or holds no samples.</exception>
    public WavHeader Read()
    {
        ReadRiffHead();
        WavHeader? header = null;
        long position = RiffHeadBytes;
        for (var count = 0; position + ChunkHeadBytes <= stream.Length; count++)
        {
            if (count == MostChunks)
            {
                if (header is not null) break;
                throw Damaged($"the first {MostChunks} chunks hold no samples");
            }
            var (id, length) = ReadChunkHead(position);
            var start = position + ChunkHeadBytes;
            if (id == "data")
            {
                if (header is not null) throw Damaged("there are two data chunks, and it is not clear which one is the take");
                if (_is64 && length == uint.MaxValue) length = _longDataLength ?? throw Damaged("the ds64 chunk with the long lengths is missing");
                header = CheckedHeader(start, length);
            }
            else if (start + length > stream.Length)
            {
                if (header is not null) break;   // the samples are whole; what follows them is not ours
                throw Damaged($"the chunk \"{id}\" should have {length} bytes, but only {stream.Length - start} follow: the file was cut short");
            }
            else if (id == "fmt ")
            {
                if (_format is not null) throw Damaged("there are two format chunks");
                _format = WavFormat.Parse(ReadAt(start, (int)Math.Min(length, WavFormat.MostBytes)), file);
            }
            else if (id == "ds64" && _is64 && header is null)
            {
                ReadLongLengths(start, length);
            }
            position = start + length + (length & 1);
        }
        return header ?? throw Damaged("there is no data chunk, so it holds no samples");
    }

    private void ReadRiffHead()
    {
        var head = ReadAt(0, (int)Math.Min(RiffHeadBytes, stream.Length));
        var (outer, inner) = head.Length < RiffHeadBytes ? (Ascii(head), "") : (Ascii(head.AsSpan(0, 4)), Ascii(head.AsSpan(8, 4)));
        _is64 = outer is "RF64" or "BW64";
        if ((outer != "RIFF" && !_is64) || inner != "WAVE") throw NotWav(outer, inner);
        _riffLength = BinaryPrimitives.ReadUInt32LittleEndian(head.AsSpan(4));
    }

    private void ReadLongLengths(long start, long length)
    {
        if (length < 28) throw Damaged($"the ds64 chunk is {length} bytes long, and at least 28 are needed");
        var chunk = ReadAt(start, 16);
        if (_riffLength == uint.MaxValue) _riffLength = Bounded(BinaryPrimitives.ReadUInt64LittleEndian(chunk));
        _longDataLength = Bounded(BinaryPrimitives.ReadUInt64LittleEndian(chunk.AsSpan(8)));
    }

    private static long Bounded(ulong length) => (long)Math.Min(length, long.MaxValue / 4);

    private WavHeader CheckedHeader(long start, long length)
    {
        var format = _format ?? throw Damaged("the data chunk stands before the format chunk, or the format chunk is missing");
        var available = stream.Length - start;
        if (length == uint.MaxValue && !_is64) throw Unfinished("the data length is 0xFFFFFFFF", format, start);
        if (length == 0 && available >= format.FrameBytes && !OnlyChunksFollow(start)) throw Unfinished("the data length is 0", format, start);
        if (length == 0) throw new DataFault(file, null, "it holds no samples (0 s)", "Record the take again.");
        if (length > available)
            throw new DataFault(file, null,
                $"the header promises {Seconds(length, format)} of samples, but the file ends after {Seconds(available, format)}: it was cut short",
                "Copy it again from the recorder; if the original is short too, record the take again.");
        if (length % format.FrameBytes != 0)
            throw Damaged($"the samples take {length} bytes, which is no whole number of {format.FrameBytes}-byte frames "
                + $"({format.ChannelCount} × {format.Words}): the last frame is incomplete");
        if (_riffLength == 0 || (_riffLength == uint.MaxValue && !_is64)) throw Unfinished($"the RIFF length is {(_riffLength == 0 ? "0" : "0xFFFFFFFF")}", format, start);
        var riffEnd = _riffLength + ChunkHeadBytes;
        if (riffEnd < start + length)
            throw Damaged($"two lengths in the header contradict each other: the file should end at byte {riffEnd}, the samples at byte {start + length}");
        if (riffEnd > stream.Length + ForgivenBytes)
            throw Damaged($"the header promises a file of {riffEnd} bytes, but it has {stream.Length}: it was cut short after the samples");
        return new(format, length / format.FrameBytes, start);
    }

    // A recorder that crashed leaves length 0 with samples behind it; an editor that saved nothing leaves length 0 with tidy chunks behind it.
    private bool OnlyChunksFollow(long position)
    {
        for (var count = 0; count < MostChunks && position + ChunkHeadBytes <= stream.Length; count++)
        {
            var head = ReadAt(position, ChunkHeadBytes);
            if (head.AsSpan(0, 4).IndexOfAnyExceptInRange((byte)' ', (byte)'~') >= 0) return false;
            var length = (long)BinaryPrimitives.ReadUInt32LittleEndian(head.AsSpan(4));
            position += ChunkHeadBytes + length + (length & 1);
        }
        return position >= stream.Length && position <= stream.Length + 1;
    }

    private (string Id, long Length) ReadChunkHead(long position)
    {
        var head = ReadAt(position, ChunkHeadBytes);
        return (Ascii(head.AsSpan(0, 4)), BinaryPrimitives.ReadUInt32LittleEndian(head.AsSpan(4)));
    }

    private byte[] ReadAt(long position, int count)
    {
        var bytes = new byte[count];
        stream.Position = position;
        stream.ReadExactly(bytes);
        return bytes;
    }

    private DataFault NotWav(string outer, string inner)
    {
        var (kind, remedy) = (outer, inner) switch
        {
            ("RIFX", _) => ("a big-endian RIFX file", WavFormat.Supported),
            ("riff", _) => ("a Wave64 file", WavFormat.Supported),
            ("FORM", _) => ("an AIFF file", WavFormat.Supported),
            ("fLaC", _) => ("a FLAC file", WavFormat.Supported),
            ("OggS", _) => ("an Ogg file", "Lossy or packed sound cannot be measured from directly: record again as WAV."),
            ("caff", _) => ("a CAF file", WavFormat.Supported),
            (".snd", _) => ("an AU file", WavFormat.Supported),
            ("RIFF", _) => ($"a RIFF file of another kind (\"{inner}\")", WavFormat.Supported),
            _ when outer.StartsWith("ID3", StringComparison.Ordinal) => ("an MP3 file", "Lossy sound cannot be measured from: record again as WAV."),
            _ => ($"it begins with \"{outer}\" where RIFF is expected", "Check that this is the file you mean; a take is a WAV file."),
        };
        return new(file, null, $"this is not a WAV file: {kind}", remedy);
    }

    private DataFault Unfinished(string what, WavFormat format, long start) => new(file, null,
        $"the header was never finished ({what}), though {Seconds(stream.Length - start, format)} of samples follow it, as after a crash of the recorder",
        $"To rescue them, import the file as raw data in an audio editor (skip {start} bytes; {format.Words}, little-endian, "
        + $"{format.ChannelCount} {(format.ChannelCount == 1 ? "channel" : "channels")}, {format.SampleRateHz} Hz) and save it as WAV under a new name.");

    private DataFault Damaged(string problem) =>
        new(file, null, problem, "Copy the file again; if that does not help, open it in an audio editor, listen, and save it as WAV under a new name.");

    private static string Seconds(long bytes, WavFormat format) =>
        ((double)(bytes / format.FrameBytes) / format.SampleRateHz).ToString("0.000", CultureInfo.InvariantCulture) + " s";

    private static string Ascii(ReadOnlySpan<byte> bytes)
    {
        var text = new StringBuilder();
        foreach (var b in bytes[..Math.Min(4, bytes.Length)]) text.Append(b is >= 0x20 and <= 0x7E ? (char)b : '?');
        return text.ToString();
    }
}
