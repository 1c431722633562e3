// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class MutationTests
{
    private static byte[] Ramp(int length) => [.. Enumerable.Range(0, length).Select(n => (byte)(37 * n))];

    private static readonly byte[][] _recordings =
    [
        new WavBytes { Data = Ramp(200) }.Bytes(),
        new WavBytes { Channels = 2, Bits = 24, Data = Ramp(240), Before = WavBytes.Chunk("bext", Ramp(30)), After = WavBytes.Chunk("LIST", Ramp(9)) }.Bytes(),
        new WavBytes { Channels = 3, Bits = 32, Tag = WavBytes.Extensible, ValidBits = 24, Data = Ramp(240) }.Bytes(),
        new WavBytes { Bits = 32, Tag = WavBytes.Float, Data = [.. Enumerable.Range(0, 60).SelectMany(n => BitConverter.GetBytes(n / 60f))] }.Bytes(),
        new WavBytes { Bits = 64, Tag = WavBytes.Extensible, SubTag = WavBytes.Float, Data = [.. Enumerable.Range(0, 40).SelectMany(n => BitConverter.GetBytes(n / 40.0))] }.Bytes(),
        new WavBytes { Outer = "RF64", LongDataLength = 200, Data = Ramp(200) }.Bytes(),
    ];

    private static readonly byte[][] _columns =
    [
        "* omni-1\n20 1.25\n31.5 -0.5\n1000 0\n20000 -3.75 # edge\n"u8.ToArray(),
        "Hz;dB;deg\r\n20,5;1,25;0\r\n31,5;-0,5;1,5\r\n20000;-3,75;-4\r\n"u8.ToArray(),
        "20.5,1.2,3\n31.5, -0.25,1\n1e3,0,0\n"u8.ToArray(),
        [0xFF, 0xFE, .. Encoding.Unicode.GetBytes("Räume\r\n20 1.25\r\n31.5 -0.5\r\n")],
        Encoding.BigEndianUnicode.GetBytes("20\t1.25\r\n31.5\t-0.5\r\n"),
    ];

    [Fact]
    public void A_damaged_recording_is_read_or_refused_and_nothing_else()
    {
        var refused = Mutations.Survive(_recordings, stream =>
        {
            var recording = WavFile.Read(stream, "a.wav");
            Assert.InRange((long)recording.Length * recording.ChannelCount, 1, stream.Length);   // never more samples than bytes
            for (var c = 1; c <= recording.ChannelCount; c++) Assert.True(recording.Channel(c).All(double.IsFinite));
        });
        Assert.InRange(refused, Mutations.Count / 4, Mutations.Count * 19 / 20);   // the damage bites, and does not always
    }

    [Fact]
    public void A_damaged_table_of_numbers_is_read_or_refused_and_nothing_else()
    {
        var refused = Mutations.Survive(_columns, stream =>
        {
            var columns = NumberColumns.Read(stream, "omni-1.txt");
            foreach (var row in columns.Rows)
                for (var k = 0; k < row.Count; k++) Assert.True(double.IsFinite(row[k]));
        });
        Assert.InRange(refused, Mutations.Count / 20, Mutations.Count * 19 / 20);
    }

    [Fact]
    public void The_same_seed_damages_in_the_same_way_and_another_in_another()
    {
        var original = _recordings[0];
        Assert.Equal(Mutations.Of(original, 7), Mutations.Of(original, 7));
        var different = Enumerable.Range(0, 200).Select(seed => Convert.ToHexString(Mutations.Of(original, seed))).Distinct().Count();
        Assert.InRange(different, 195, 200);   // two seeds may happen to cut at one place
        Assert.Equal(new WavBytes { Data = Ramp(200) }.Bytes(), original);
    }
}
