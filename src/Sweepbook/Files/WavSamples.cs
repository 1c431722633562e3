// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Globalization;

namespace Sweepbook.Files;

/// <summary>Samples between bytes and linear values: integer n of b bits is n / 2^(b − 1), floats are as they are.</summary>
/// <remarks>
/// Writing an integer rounds x · 2^(b − 1) to the nearest code, ties to the even one, without dither: half a step at most. +1 has no code of its own
/// and becomes the highest one, 2^(b − 1) − 1, one step lower; beyond ±1 is refused, never clipped. Sources: IBM and Microsoft, "Multimedia Programming
/// Interface and Data Specifications 1.0" (1991), data format of the samples; IEEE 754-2019 for floats; scale and rounding are our own choice.
/// </remarks>
internal static class WavSamples
{
    /// <summary>Values above this ratio to full scale (+193 dB) are taken for damage: even 32-bit integers stored unscaled as floats stay below.</summary>
    private const double AbsurdRatio = 4294967296.0;

    private const int BlockBytes = 1 << 16;

    /// <summary>Reads all frames. The caller has checked that they are in the file and that there are not too many.</summary>
    /// <exception cref="DataFault">A float sample is NaN, infinite or absurd.</exception>
    public static double[][] Read(Stream stream, WavHeader header, string file)
    {
        var (format, length) = (header.Format, (int)header.Length);
        var channels = new double[format.ChannelCount][];
        for (var c = 0; c < channels.Length; c++) channels[c] = new double[length];
        var framesPerBlock = Math.Max(1, BlockBytes / format.FrameBytes);
        var block = new byte[Math.Min(framesPerBlock, length) * format.FrameBytes];
        stream.Position = header.DataStart;
        for (var first = 0; first < length; first += framesPerBlock)
        {
            var frames = Math.Min(framesPerBlock, length - first);
            stream.ReadExactly(block, 0, frames * format.FrameBytes);
            for (var c = 0; c < channels.Length; c++)
            {
                var bytes = block.AsSpan(0, frames * format.FrameBytes)[(c * format.SampleBytes)..];
                Decode(bytes, format, channels[c].AsSpan(first, frames));
            }
        }
        if (WavFormat.IsFloat(format.Encoding)) RefuseUnusable(channels, format, file);
        return channels;
    }

    /// <summary>Writes all frames.</summary>
    /// <exception cref="ArgumentException">A sample does not fit into the encoding.</exception>
    public static void Write(Stream stream, Recording recording, WavEncoding encoding)
    {
        var sampleBytes = WavFormat.BytesOf(encoding);
        var frameBytes = recording.ChannelCount * sampleBytes;
        var framesPerBlock = Math.Max(1, BlockBytes / frameBytes);
        var block = new byte[framesPerBlock * frameBytes];
        for (var first = 0; first < recording.Length; first += framesPerBlock)
        {
            var frames = Math.Min(framesPerBlock, recording.Length - first);
            for (var c = 0; c < recording.ChannelCount; c++)
            {
                var samples = recording.ChannelSpan(c + 1).Slice(first, frames);
                for (var n = 0; n < frames; n++)
                    if (!Encode(samples[n], encoding, block.AsSpan(n * frameBytes + c * sampleBytes)))
                        throw new ArgumentException(
                            string.Create(CultureInfo.InvariantCulture, $"Channel {c + 1}, sample {first + n} is {samples[n]}; {Interval(encoding)}."), nameof(recording));
            }
            stream.Write(block, 0, frames * frameBytes);
        }
    }

    private static string Interval(WavEncoding encoding) => WavFormat.IsFloat(encoding)
        ? "must be in the range of a 32-bit float"
        : "must be in [-1, 1] for integer samples, which are never clipped";

    /// <summary>Decodes one channel, whose first byte comes first.</summary>
    internal static void Decode(ReadOnlySpan<byte> bytes, WavFormat format, Span<double> samples)
    {
        var step = format.FrameBytes;
        switch (format.Encoding)
        {
            case WavEncoding.Integer16:
                for (var n = 0; n < samples.Length; n++) samples[n] = BinaryPrimitives.ReadInt16LittleEndian(bytes[(n * step)..]) / 32768.0;
                break;
            case WavEncoding.Integer24:
                for (var n = 0; n < samples.Length; n++)
                    samples[n] = ((bytes[n * step] << 8 | bytes[n * step + 1] << 16 | bytes[n * step + 2] << 24) >> 8) / 8388608.0;
                break;
            case WavEncoding.Integer32:
                for (var n = 0; n < samples.Length; n++) samples[n] = BinaryPrimitives.ReadInt32LittleEndian(bytes[(n * step)..]) / 2147483648.0;
                break;
            case WavEncoding.Float32:
                for (var n = 0; n < samples.Length; n++) samples[n] = BinaryPrimitives.ReadSingleLittleEndian(bytes[(n * step)..]);
                break;
            default:
                for (var n = 0; n < samples.Length; n++) samples[n] = BinaryPrimitives.ReadDoubleLittleEndian(bytes[(n * step)..]);
                break;
        }
    }

    private static bool Encode(double sample, WavEncoding encoding, Span<byte> bytes)
    {
        if (encoding == WavEncoding.Float64)
        {
            BinaryPrimitives.WriteDoubleLittleEndian(bytes, sample);
            return true;
        }
        if (encoding == WavEncoding.Float32)
        {
            BinaryPrimitives.WriteSingleLittleEndian(bytes, (float)sample);
            return float.IsFinite((float)sample);
        }
        if (!(sample >= -1 && sample <= 1)) return false;
        var fullScale = 1L << (8 * WavFormat.BytesOf(encoding) - 1);
        var code = (int)Math.Min(fullScale - 1, (long)Math.Round(sample * fullScale, MidpointRounding.ToEven));
        switch (encoding)
        {
            case WavEncoding.Integer16:
                BinaryPrimitives.WriteInt16LittleEndian(bytes, (short)code);
                break;
            case WavEncoding.Integer24:
                (bytes[0], bytes[1], bytes[2]) = ((byte)code, (byte)(code >> 8), (byte)(code >> 16));
                break;
            default:
                BinaryPrimitives.WriteInt32LittleEndian(bytes, code);
                break;
        }
        return true;
    }

    private static void RefuseUnusable(double[][] channels, WavFormat format, string file)
    {
        for (var c = 0; c < channels.Length; c++)
            for (var n = 0; n < channels[c].Length; n++)
            {
                var sample = channels[c][n];
                if (Math.Abs(sample) <= AbsurdRatio) continue;
                var what = double.IsNaN(sample) ? "not a number (NaN)" : double.IsInfinity(sample) ? "infinite" : "absurdly large";
                var at = ((double)n / format.SampleRateHz).ToString("0.000000", CultureInfo.InvariantCulture);
                throw new DataFault(file, null, $"channel {c + 1} holds a sample that is {what} at {at} s",
                    "Export the recording again without any processing, or record the take again.");
            }
    }
}
