// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Files;

/// <summary>A long WAV file, read piece by piece: an evening of recording does not have to fit into memory.</summary>
/// <remarks>Channels are counted from 1; samples are linear, full scale ±1. Formats and sources are those of <see cref="WavFile"/>.</remarks>
internal sealed class WavBlocks : IDisposable
{
    private const int FramesAtOnce = 1 << 14;

    private readonly FileStream _stream;
    private readonly string _shownAs;
    private readonly byte[] _bytes;

    private WavBlocks(FileStream stream, WavHeader header, string shownAs) =>
        (_stream, Header, _shownAs, _bytes) = (stream, header, shownAs, new byte[FramesAtOnce * header.Format.FrameBytes]);

    /// <summary>What the file says about itself, checked against its length.</summary>
    public WavHeader Header { get; }

    /// <summary>Opens a file.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">What the user calls it, for faults.</param>
    /// <exception cref="DataFault">The file is missing, empty, no WAV file, cut short, unfinished or damaged.</exception>
    public static WavBlocks Open(string path, string shownAs)
    {
        var header = WavFile.ReadHeader(path, shownAs);
        try
        {
            return new(new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, 1), header, shownAs);
        }
        catch (IOException broken)
        {
            throw InputFile.Unreadable(shownAs, broken);
        }
    }

    /// <summary>Samples of one channel from any place on; before the first and after the last frame they are zero.</summary>
    /// <param name="channel">Counted from 1.</param>
    /// <param name="first">Frame of the first sample; may be negative.</param>
    /// <param name="samples">Receives the samples.</param>
    /// <exception cref="ArgumentOutOfRangeException">There is no such channel.</exception>
    /// <exception cref="DataFault">The file cannot be read, or holds a sample that is not a finite number.</exception>
    public void Read(int channel, long first, Span<double> samples)
    {
        if (channel < 1 || channel > Header.ChannelCount) throw new ArgumentOutOfRangeException(nameof(channel), channel, $"Must be in [1, {Header.ChannelCount}].");
        samples.Clear();
        var (format, end) = (Header.Format, Math.Min(Header.Length, first + samples.Length));
        for (var frame = Math.Max(0, first); frame < end; frame += FramesAtOnce)
        {
            var bytes = Fetch(frame, (int)Math.Min(FramesAtOnce, end - frame));
            var part = samples.Slice((int)(frame - first), bytes.Length / format.FrameBytes);
            WavSamples.Decode(bytes[((channel - 1) * format.SampleBytes)..], format, part);
            foreach (var sample in part)
                if (!double.IsFinite(sample))
                    throw new DataFault(_shownAs, null,
                        string.Create(CultureInfo.InvariantCulture, $"channel {channel} holds a sample that is not a finite number near {(double)frame / format.SampleRateHz:0.0} s"),
                        "Save the recording again without any processing, or record again.");
        }
    }

    /// <summary>Writes some frames as a WAV file of the same encoding, rate and channels, bit for bit as recorded.</summary>
    /// <param name="target">Receives header and frames.</param>
    /// <param name="first">First frame, inside the file.</param>
    /// <param name="frames">How many, all inside the file.</param>
    /// <exception cref="DataFault">The file cannot be read to its end.</exception>
    public void Copy(Stream target, long first, int frames)
    {
        var dataBytes = (long)frames * Header.Format.FrameBytes;
        target.Write(WavFile.Head(Header.Format, frames, checked((uint)dataBytes)));
        for (var done = 0; done < frames; done += FramesAtOnce) target.Write(Fetch(first + done, Math.Min(FramesAtOnce, frames - done)));
        if ((dataBytes & 1) == 1) target.WriteByte(0);
    }

    /// <inheritdoc/>
    public void Dispose() => _stream.Dispose();

    private ReadOnlySpan<byte> Fetch(long frame, int frames)
    {
        var bytes = _bytes.AsSpan(0, frames * Header.Format.FrameBytes);
        try
        {
            _stream.Position = Header.DataStart + frame * Header.Format.FrameBytes;
            _stream.ReadExactly(bytes);
            return bytes;
        }
        catch (IOException broken)
        {
            throw InputFile.Unreadable(_shownAs, broken);
        }
    }
}
