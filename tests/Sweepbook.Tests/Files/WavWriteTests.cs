// SPDX-License-Identifier: MIT
using NAudio.Wave;
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class WavWriteTests
{
    private const int Frames = 4001;   // odd, and not a whole number of blocks

    private static Recording Tones(int channels, double scale) =>
        new(48000, [.. Enumerable.Range(1, channels).Select(c => Enumerable.Range(0, Frames).Select(n => scale * Math.Sin(0.01 * c * n + c)).ToArray())]);

    private static Recording ThereAndBack(Recording recording, WavEncoding encoding)
    {
        var stream = new MemoryStream();
        WavFile.Write(stream, recording, encoding);
        return WavFile.Read(stream, "a.wav");
    }

    // Rounding to the nearest code is at most half a step away; scaling by powers of two and halving a step are exact in double.
    [Theory]
    [InlineData(WavEncoding.Integer16, 0.5 / 32768, 1), InlineData(WavEncoding.Integer24, 0.5 / 8388608, 2), InlineData(WavEncoding.Integer32, 0.5 / 2147483648, 3)]
    public void Integers_come_back_within_half_a_step(WavEncoding encoding, double halfStep, int channels)
    {
        var (recording, back) = (Tones(channels, 0.999), ThereAndBack(Tones(channels, 0.999), encoding));
        Assert.Equal((channels, Frames, 48000), (back.ChannelCount, back.Length, back.SampleRateHz));
        var worst = 0.0;
        for (var c = 1; c <= channels; c++)
            for (var n = 0; n < Frames; n++)
                worst = Math.Max(worst, Math.Abs(back.ChannelSpan(c)[n] - recording.ChannelSpan(c)[n]));
        Assert.InRange(worst, halfStep / 2, halfStep);   // near half a step somewhere: the encoding is really the one named
    }

    [Theory, InlineData(1), InlineData(2), InlineData(32)]
    public void Floats_come_back_exactly(int channels)
    {
        var recording = Tones(channels, 3.7);
        var (wide, narrow) = (ThereAndBack(recording, WavEncoding.Float64), ThereAndBack(recording, WavEncoding.Float32));
        for (var c = 1; c <= channels; c++)
        {
            Assert.Equal(recording.Channel(c), wide.Channel(c));
            Assert.Equal(recording.Channel(c).Select(x => (double)(float)x), narrow.Channel(c));
        }
    }

    [Fact]
    public void What_was_read_is_written_back_bit_for_bit()
    {
        var once = ThereAndBack(Tones(2, 0.7), WavEncoding.Integer24);
        Assert.Equal(once.Channel(2), ThereAndBack(once, WavEncoding.Integer24).Channel(2));
    }

    [Theory]
    [InlineData(0.5, 0.0), InlineData(1.5, 2.0), InlineData(-0.5, 0.0), InlineData(-1.5, -2.0), InlineData(0.51, 1.0), InlineData(-0.49, 0.0)]
    public void Ties_are_rounded_to_the_even_code(double steps, double code)
    {
        var back = ThereAndBack(new(48000, [[steps / 8388608]]), WavEncoding.Integer24);
        Assert.Equal(code / 8388608, back.Channel(1)[0]);
    }

    [Theory, InlineData(WavEncoding.Integer16, 32767 / 32768.0), InlineData(WavEncoding.Integer24, 8388607 / 8388608.0), InlineData(WavEncoding.Integer32, 2147483647 / 2147483648.0)]
    public void Full_scale_has_the_highest_code_and_the_lowest(WavEncoding encoding, double highest) =>
        Assert.Equal([highest, -1], ThereAndBack(new(48000, [[1, -1]]), encoding).Channel(1));

    [Theory, InlineData(WavEncoding.Integer16), InlineData(WavEncoding.Integer24), InlineData(WavEncoding.Integer32)]
    public void Beyond_full_scale_is_refused_and_nothing_is_left(WavEncoding encoding)
    {
        using var folder = new TemporaryFolder();
        var recording = new Recording(48000, [new double[3], [0, 0, -1.0000001]]);
        var thrown = Assert.Throws<ArgumentException>(() => WavFile.Write(folder["a.wav"], recording, encoding));
        Assert.StartsWith("Channel 2, sample 2 is -1.0000001; must be in [-1, 1] for integer samples, which are never clipped.", thrown.Message, StringComparison.Ordinal);
        Assert.Empty(folder.Names);
    }

    [Fact]
    public void A_double_that_no_float_holds_is_refused()
    {
        var thrown = Assert.Throws<ArgumentException>(() => WavFile.Write(new MemoryStream(), new Recording(48000, [[1e39]]), WavEncoding.Float32));
        Assert.StartsWith("Channel 1, sample 0 is 1E+39; must be in the range of a 32-bit float.", thrown.Message, StringComparison.Ordinal);
    }

    // NAudio's reader is an independent view of the header and, for these encodings, of the samples.
    [Theory]
    [InlineData(WavEncoding.Integer16, 1), InlineData(WavEncoding.Integer24, 2), InlineData(WavEncoding.Float32, 2)]
    public void Another_reader_sees_the_same_file(WavEncoding encoding, int channels)
    {
        var stream = new MemoryStream();
        WavFile.Write(stream, Tones(channels, 0.9), encoding);
        stream.Position = 0;
        using var other = new WaveFileReader(stream);
        Assert.Equal((48000, channels, (long)Frames), (other.WaveFormat.SampleRate, other.WaveFormat.Channels, other.SampleCount));
        var mine = WavFile.Read(new MemoryStream(stream.ToArray()), "a.wav");
        var theirs = new float[(Frames + 1) * channels];   // room for one frame too many
        var provider = other.ToSampleProvider();
        var got = 0;
        while (provider.Read(theirs.AsSpan(got)) is var more and > 0) got += more;
        Assert.Equal(Frames * channels, got);
        for (var n = 0; n < Frames; n++)
            for (var c = 0; c < channels; c++) Assert.Equal((float)mine.ChannelSpan(c + 1)[n], theirs[n * channels + c]);
    }

    [Fact]
    public void An_existing_file_is_never_overwritten()
    {
        using var folder = new TemporaryFolder();
        var path = folder.Put("take.wav", "precious");
        var fault = Assert.Throws<DataFault>(() => WavFile.Write(path, Tones(1, 0.5), WavEncoding.Integer24));
        Assert.Equal($"{path}: this file exists already and is not overwritten. Choose another name, or move the old file away first.", fault.Message);
        Assert.Equal("precious", File.ReadAllText(path));
        Assert.Equal(["take.wav"], folder.Names);
    }

    [Fact]
    public void Replacing_is_a_method_of_its_own()
    {
        using var folder = new TemporaryFolder();
        WavFile.Replace(folder.Put("a.wav", "old"), new(8000, [[0.5]]), WavEncoding.Float32);
        Assert.Equal([0.5], WavFile.Read(folder["a.wav"]).Channel(1));
        Assert.Equal(["a.wav"], folder.Names);
    }

    [Fact]
    public void Equal_recordings_give_equal_bytes()
    {
        var (one, two) = (new MemoryStream(), new MemoryStream());
        WavFile.Write(one, Tones(3, 0.9), WavEncoding.Integer24);
        WavFile.Write(two, Tones(3, 0.9), WavEncoding.Integer24);
        Assert.Equal(one.ToArray(), two.ToArray());
    }
}
