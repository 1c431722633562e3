// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class WavReadTests
{
    private static Recording Read(WavBytes wav) => WavFile.Read(new MemoryStream(wav.Bytes()), "a.wav");

    // Full scale of b bits is 2^(b - 1): the codes of the ends and of one step are known without a calculation.
    public static TheoryData<string, int, ushort, byte[], double[]> Codes => new()
    {
        { "16-bit", 16, WavBytes.Pcm, [0x00, 0x80, 0xFF, 0x7F, 0x01, 0x00, 0xFF, 0xFF], [-1, 32767 / 32768.0, 1 / 32768.0, -1 / 32768.0] },
        { "24-bit", 24, WavBytes.Pcm, [0, 0, 0x80, 0xFF, 0xFF, 0x7F, 1, 0, 0, 0xFF, 0xFF, 0xFF], [-1, 8388607 / 8388608.0, 1 / 8388608.0, -1 / 8388608.0] },
        { "32-bit", 32, WavBytes.Pcm, [0, 0, 0, 0x80, 0xFF, 0xFF, 0xFF, 0x7F, 1, 0, 0, 0], [-1, 2147483647 / 2147483648.0, 1 / 2147483648.0] },
        { "float", 32, WavBytes.Float, [0, 0, 0x80, 0x3F, 0, 0, 0x20, 0xC0], [1, -2.5] },   // beyond full scale stays beyond
        { "double", 64, WavBytes.Float, [0, 0, 0, 0, 0, 0, 0xF0, 0x3F, 0x9A, 0x99, 0x99, 0x99, 0x99, 0x99, 0xB9, 0x3F], [1, 0.1] },
    };

    [Theory, MemberData(nameof(Codes))]
    public void Every_encoding_has_its_full_scale_at_one(string name, int bits, ushort tag, byte[] data, double[] expected)
    {
        Assert.NotEmpty(name);
        Assert.Equal(expected, Read(new() { Bits = bits, Tag = tag, Data = data }).Channel(1));
        Assert.Equal(expected, Read(new() { Bits = bits, Tag = WavBytes.Extensible, SubTag = tag, Data = data }).Channel(1));
    }

    [Fact]
    public void Fewer_valid_bits_are_the_upper_ones_of_the_container() =>
        Assert.Equal([0.5], Read(new() { Tag = WavBytes.Extensible, Bits = 32, ValidBits = 24, Data = [0, 0, 0, 0x40] }).Channel(1));

    [Theory, InlineData(1), InlineData(2), InlineData(7), InlineData(32)]
    public void Channels_stay_apart_and_in_order(int channels)
    {
        const int Frames = 5000;   // more than one block of reading
        var data = new byte[2 * channels * Frames];
        for (var n = 0; n < Frames; n++)
            for (var c = 0; c < channels; c++)
                BitConverter.TryWriteBytes(data.AsSpan(2 * (n * channels + c)), (short)(n + 1000 * c % 32768));
        var recording = Read(new() { Channels = channels, Data = data });
        Assert.Equal((channels, Frames, 48000), (recording.ChannelCount, recording.Length, recording.SampleRateHz));
        for (var c = 0; c < channels; c++)
            for (var n = 0; n < Frames; n++)
                Assert.Equal((short)(n + 1000 * c % 32768) / 32768.0, recording.ChannelSpan(c + 1)[n]);
    }

    [Theory, InlineData(1u), InlineData(8000u), InlineData(44100u), InlineData(352800u), InlineData(1536000u)]
    public void Any_rate_is_kept(uint rateHz) => Assert.Equal((int)rateHz, Read(new() { RateHz = rateHz, Data = [1, 0] }).SampleRateHz);

    [Fact]
    public void Unknown_chunks_before_and_after_the_samples_are_passed_over()
    {
        var wav = new WavBytes { Before = WavBytes.Chunk("bext", 1, 2, 3), Data = [0, 0x40], After = WavBytes.Chunk("LIST", 5) };
        Assert.Equal([0.5], Read(wav).Channel(1));
    }

    [Fact]
    public void Bytes_after_the_end_are_passed_over() =>
        Assert.Equal([0.5], WavFile.Read(new MemoryStream([.. new WavBytes { Data = [0, 0x40] }.Bytes(), 1, 2, 3, 4, 5, 6, 7, 8, 9]), "a.wav").Channel(1));

    [Fact]
    public void A_missing_pad_byte_does_no_harm()
    {
        var bytes = new WavBytes { Bits = 24, Data = [0, 0, 0x40] }.Bytes();
        Assert.Equal([0.5], WavFile.Read(new MemoryStream(bytes[..^1]), "a.wav").Channel(1));
    }

    [Theory, InlineData("RF64"), InlineData("BW64")]
    public void Long_lengths_are_read_from_their_own_chunk(string outer) =>
        Assert.Equal([0.5, -0.5], Read(new() { Outer = outer, LongDataLength = 4, Data = [0, 0x40, 0, 0xC0] }).Channel(1));

    [Fact]
    public void The_header_alone_can_be_read()
    {
        using var folder = new TemporaryFolder();
        var header = WavFile.ReadHeader(folder.Put("a.wav", new WavBytes { Channels = 2, Bits = 24, RateHz = 96000, Data = new byte[60] }.Bytes()));
        Assert.Equal((96000, 2, 10L, WavEncoding.Integer24), (header.SampleRateHz, header.ChannelCount, header.Length, header.Format.Encoding));
    }
}
