// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class WavFaultTests
{
    private const string Again = "Copy the file again; if that does not help, open it in an audio editor, listen, and save it as WAV under a new name.";
    private const string Damaged = "The header is damaged: copy the file again, or save it again as WAV from the program that made it.";
    private const string Supported = "Save it as WAV with 16-, 24- or 32-bit integer or 32- or 64-bit float samples.";
    private const string Export = "Export the recording again without any processing, or record the take again.";

    private static readonly WavBytes _twoSeconds = new() { Channels = 2, Bits = 24, RateHz = 1000, Data = new byte[12000] };

    public static TheoryData<string, byte[], string> Faults => new()
    {
        // cut short
        { "data too long", (_twoSeconds with { DataLength = 18000 }).Bytes(),
            "the header promises 3.000 s of samples, but the file ends after 2.000 s: it was cut short. Copy it again from the recorder; if the original is short too, record the take again." },
        { "copied by half", _twoSeconds.Bytes()[..6044],
            "the header promises 2.000 s of samples, but the file ends after 1.000 s: it was cut short. Copy it again from the recorder; if the original is short too, record the take again." },
        { "length near 4 GB", (_twoSeconds with { DataLength = 0xFFFFFFFE }).Bytes(),
            "the header promises 715827.882 s of samples, but the file ends after 2.000 s: it was cut short. Copy it again from the recorder; if the original is short too, record the take again." },
        { "outer length too long", (_twoSeconds with { RiffLength = 20000 }).Bytes(),
            $"the header promises a file of 20008 bytes, but it has 12044: it was cut short after the samples. {Again}" },
        { "cut in a chunk before the samples", (_twoSeconds with { Before = WavBytes.Chunk("bext", new byte[500]) }).Bytes()[..100],
            $"the chunk \"bext\" should have 500 bytes, but only 80 follow: the file was cut short. {Again}" },
        { "cut in the first bytes", "RIFF\x24"u8.ToArray(),
            $"it has only 5 bytes, too few for a WAV file. {Again}" },
        { "cut before the samples", _twoSeconds.Bytes()[..36], $"there is no data chunk, so it holds no samples. {Again}" },

        // never finished
        { "data length 0", (_twoSeconds with { DataLength = 0 }).Bytes(), Unfinished("the data length is 0") },
        { "data length 0xFFFFFFFF", (_twoSeconds with { DataLength = 0xFFFFFFFF }).Bytes(), Unfinished("the data length is 0xFFFFFFFF") },
        { "both lengths 0", (_twoSeconds with { DataLength = 0, RiffLength = 0 }).Bytes(), Unfinished("the data length is 0") },
        { "outer length 0", (_twoSeconds with { RiffLength = 0 }).Bytes(), Unfinished("the RIFF length is 0") },
        { "outer length 0xFFFFFFFF", (_twoSeconds with { RiffLength = 0xFFFFFFFF }).Bytes(), Unfinished("the RIFF length is 0xFFFFFFFF") },

        // nothing in it
        { "zero samples", (_twoSeconds with { Data = [] }).Bytes(), "it holds no samples (0 s). Record the take again." },
        { "zero samples, then a chunk", (_twoSeconds with { Data = [], After = WavBytes.Chunk("LIST", 1, 2, 3) }).Bytes(), "it holds no samples (0 s). Record the take again." },
        { "less than a frame", (_twoSeconds with { Data = [1, 2, 3], DataLength = 0 }).Bytes(), "it holds no samples (0 s). Record the take again." },

        // lengths that do not fit together
        { "last frame incomplete", (_twoSeconds with { Data = new byte[12004] }).Bytes(),
            $"the samples take 12004 bytes, which is no whole number of 6-byte frames (2 × 24-bit integer): the last frame is incomplete. {Again}" },
        { "odd length", (new WavBytes { Data = [1, 2, 3] }).Bytes(),
            $"the samples take 3 bytes, which is no whole number of 2-byte frames (1 × 16-bit integer): the last frame is incomplete. {Again}" },
        { "outer length too short", (_twoSeconds with { RiffLength = 5000 }).Bytes(),
            $"two lengths in the header contradict each other: the file should end at byte 5008, the samples at byte 12044. {Again}" },
        { "two data chunks", (_twoSeconds with { After = WavBytes.Chunk("data", new byte[6]) }).Bytes(),
            $"there are two data chunks, and it is not clear which one is the take. {Again}" },
        { "two format chunks", (_twoSeconds with { Before = WavBytes.Chunk("fmt ", new WavBytes().Bytes()[20..36]) }).Bytes(), $"there are two format chunks. {Again}" },
        { "no format chunk", (_twoSeconds with { WithoutFormat = true }).Bytes(),
            $"the data chunk stands before the format chunk, or the format chunk is missing. {Again}" },
        { "short format chunk", (_twoSeconds with { WithoutFormat = true, Before = WavBytes.Chunk("fmt ", 1, 0, 1, 0) }).Bytes(),
            $"the format chunk is 4 bytes long, and at least 16 are needed. {Damaged}" },
        { "short extensible chunk", (_twoSeconds with { WithoutFormat = true, Before = WavBytes.Chunk("fmt ", [0xFE, 0xFF, .. new WavBytes().Bytes()[22..36]]) }).Bytes(),
            $"the format chunk is 16 bytes long, and an extensible one has 40. {Damaged}" },
        { "only small chunks", [.. "RIFF"u8, .. WavBytes.U32(8004), .. "WAVE"u8, .. Enumerable.Repeat(WavBytes.Chunk("junk"), 1001).SelectMany(chunk => chunk)],
            $"the first 1000 chunks hold no samples. {Again}" },
        { "RF64 without its lengths", (_twoSeconds with { Outer = "RF64", DataLength = 0xFFFFFFFF }).Bytes(), $"the ds64 chunk with the long lengths is missing. {Again}" },
        { "RF64 with too short lengths", (_twoSeconds with { Outer = "RF64", Before = WavBytes.Chunk("ds64", 1, 2) }).Bytes(),
            $"the ds64 chunk is 2 bytes long, and at least 28 are needed. {Again}" },
        { "RF64 too long", (_twoSeconds with { Outer = "RF64", LongDataLength = 1UL << 40 }).Bytes(),
            "the header promises 183251937.962 s of samples, but the file ends after 2.000 s: it was cut short. Copy it again from the recorder; if the original is short too, record the take again." },

        // absurd values
        { "no channel", (new WavBytes { Channels = 0, Data = [1, 2] }).Bytes(), $"the header names 0 channels, and 1 to 32 can be read. {Damaged}" },
        { "too many channels", (new WavBytes { Channels = 33, Data = new byte[66] }).Bytes(), $"the header names 33 channels, and 1 to 32 can be read. {Damaged}" },
        { "no rate", (_twoSeconds with { RateHz = 0 }).Bytes(), $"the header names a sample rate of 0 Hz, and 1 to 10000000 Hz can be read. {Damaged}" },
        { "absurd rate", (_twoSeconds with { RateHz = 4000000000 }).Bytes(), $"the header names a sample rate of 4000000000 Hz, and 1 to 10000000 Hz can be read. {Damaged}" },
        { "frames of another size", (_twoSeconds with { FrameBytes = 8 }).Bytes(), $"the header names frames of 8 bytes, but 2 channels of 24-bit integer samples take 6. {Damaged}" },
        { "more valid bits than bits", (_twoSeconds with { Tag = WavBytes.Extensible, ValidBits = 32 }).Bytes(), $"the header names 32 valid bits in samples of 24 bits. {Damaged}" },

        // encodings
        { "8 bits", (new WavBytes { Bits = 8, Data = [1, 2] }).Bytes(), "8-bit samples are too coarse for a measurement. Record it again with 24 bits." },
        { "20 bits", (new WavBytes { Bits = 20, Data = [1, 2, 3] }).Bytes(), "integer samples of 20 bits are not supported. " + Supported },
        { "16-bit float", (new WavBytes { Bits = 16, Tag = WavBytes.Float, Data = [1, 2] }).Bytes(), "float samples of 16 bits are not supported. " + Supported },
        { "packed differences", (new WavBytes { Bits = 4, Tag = 2, Data = [1, 2] }).Bytes(), "its samples are in encoding 0x0002 (Adpcm), which is not supported. " + Supported },
        { "layer 3", (new WavBytes { Bits = 0, Tag = 0x55, Data = [1, 2] }).Bytes(), "its samples are in encoding 0x0055 (MpegLayer3), which is not supported. " + Supported },
        { "unheard of", (new WavBytes { Tag = 0x4242, Data = [1, 2] }).Bytes(), "its samples are in encoding 0x4242, which is not supported. " + Supported },
        { "A-law in extensible", (new WavBytes { Tag = WavBytes.Extensible, SubTag = 6, Data = [1, 2] }).Bytes(),
            "its samples are in the sub-format 00000006-0000-0010-8000-00aa00389b71, which is not supported. " + Supported },

        // other files
        { "text", "# a calibration file\n20 0.1\n"u8.ToArray(),
            "this is not a WAV file: it begins with \"# a \" where RIFF is expected. Check that this is the file you mean; a take is a WAV file." },
        { "video", (_twoSeconds with { Inner = "AVI " }).Bytes(), "this is not a WAV file: a RIFF file of another kind (\"AVI \"). " + Supported },
        { "AIFF", (_twoSeconds with { Outer = "FORM", Inner = "AIFF" }).Bytes(), "this is not a WAV file: an AIFF file. " + Supported },
        { "FLAC", (_twoSeconds with { Outer = "fLaC" }).Bytes(), "this is not a WAV file: a FLAC file. " + Supported },
        { "Wave64", (_twoSeconds with { Outer = "riff" }).Bytes(), "this is not a WAV file: a Wave64 file. " + Supported },
        { "MP3", (_twoSeconds with { Outer = "ID3\x03" }).Bytes(), "this is not a WAV file: an MP3 file. Lossy sound cannot be measured from: record again as WAV." },
        { "big-endian", (_twoSeconds with { Outer = "RIFX" }).Bytes(), "this is not a WAV file: a big-endian RIFX file. " + Supported },

        // samples that are no samples: channel 2, frame 1 of 1000 Hz
        { "NaN", Floats(1, 2, 3, float.NaN), $"channel 2 holds a sample that is not a number (NaN) at 0.001000 s. {Export}" },
        { "infinity", Floats(1, 2, float.NegativeInfinity, 3), $"channel 1 holds a sample that is infinite at 0.001000 s. {Export}" },
        { "absurd", Floats(1, 2, 3, 1e30f), $"channel 2 holds a sample that is absurdly large at 0.001000 s. {Export}" },
    };

    private static byte[] Floats(params float[] samples) =>
        new WavBytes { Channels = 2, Bits = 32, Tag = WavBytes.Float, RateHz = 1000, Data = [.. samples.SelectMany(BitConverter.GetBytes)] }.Bytes();

    private static string Unfinished(string what) =>
        $"the header was never finished ({what}), though 2.000 s of samples follow it, as after a crash of the recorder. To rescue them, import the file as raw data "
        + "in an audio editor (skip 44 bytes; 24-bit integer, little-endian, 2 channels, 1000 Hz) and save it as WAV under a new name.";

    [Theory, MemberData(nameof(Faults))]
    public void Every_fault_says_what_is_wrong_and_what_to_do(string name, byte[] bytes, string message)
    {
        using var folder = new TemporaryFolder();
        var fault = Assert.Throws<DataFault>(() => WavFile.Read(folder.Put("a.wav", bytes), "takes/a.wav"));
        Assert.Equal($"takes/a.wav: {message}", fault.Message);
        Assert.True(fault.Message.All(c => !char.IsControl(c)), name);
        Assert.Equal(bytes, File.ReadAllBytes(folder["a.wav"]));   // looked at, never touched
    }

    [Fact]
    public void The_rescue_that_the_fault_describes_works()
    {
        var whole = _twoSeconds with { Data = [.. Enumerable.Range(0, 12000).Select(n => (byte)n)] };
        var raw = (whole with { DataLength = 0, RiffLength = 0 }).Bytes()[44..];
        var rescued = new WavBytes { Channels = 2, Bits = 24, RateHz = 1000, Data = raw };
        Assert.Equal(WavFile.Read(new MemoryStream(whole.Bytes()), "a").Channel(2), WavFile.Read(new MemoryStream(rescued.Bytes()), "b").Channel(2));
    }

    [Fact]
    public void Missing_and_empty_files_and_folders_are_told_apart()
    {
        using var folder = new TemporaryFolder();
        Assert.Equal("takes/a.wav: there is no such file. Check the name and the folder; capitals count on some systems.",
            Assert.Throws<DataFault>(() => WavFile.Read(folder["a.wav"], "takes/a.wav")).Message);
        Assert.Equal("takes/a.wav: the file is empty (0 bytes). Copy it again from where it came, or make it again.",
            Assert.Throws<DataFault>(() => WavFile.Read(folder.Put("a.wav", ""), "takes/a.wav")).Message);
        Assert.Equal("takes: this is a folder, and a file was expected. Name the file inside it.",
            Assert.Throws<DataFault>(() => WavFile.Read(folder.Path, "takes")).Message);
        Assert.Equal($"{folder["b.wav"]}: there is no such file. Check the name and the folder; capitals count on some systems.",
            Assert.Throws<DataFault>(() => WavFile.Read(folder["b.wav"])).Message);
    }

    [Fact]
    public void A_medium_that_stops_half_way_is_a_fault()
    {
        var fault = Assert.Throws<DataFault>(() => WavFile.Read(new FailingStream(_twoSeconds.Bytes()), "takes/a.wav"));
        Assert.Equal("takes/a.wav: it could not be read to its end (Input/output error). "
            + "Check the disk or the memory card, close programs that are writing the file, and copy it again.", fault.Message);
    }

    [Fact]
    public void A_file_that_is_too_long_is_refused_before_any_memory_is_taken()
    {
        using var folder = new TemporaryFolder();
        var head = (new WavBytes { Channels = 32, DataLength = 1 << 28, RiffLength = (1 << 28) + 36 }).Bytes();
        using (var sparse = new FileStream(folder["long.wav"], FileMode.CreateNew))
        {
            sparse.Write(head);
            sparse.SetLength(head.Length + (1 << 28));   // a hole, no disk space
        }
        var before = GC.GetAllocatedBytesForCurrentThread();
        var fault = Assert.Throws<DataFault>(() => WavFile.Read(folder["long.wav"], "takes/long.wav"));
        Assert.Equal("takes/long.wav: it is too long to be read at once: 87.4 s in 32 channels are 134217728 samples, and 67108864 is the limit. "
            + "Cut it to the take itself, or keep only the channels that are needed.", fault.Message);
        Assert.InRange(GC.GetAllocatedBytesForCurrentThread() - before, 0, 1 << 20);
    }

    [Fact]
    public void A_binary_head_is_shown_without_control_characters()
    {
        var fault = Assert.Throws<DataFault>(() => WavFile.Read(new MemoryStream([0, 10, 13, 200, 1, 2, 3, 4, 5, 6, 7, 8]), "a.wav"));
        Assert.Equal("this is not a WAV file: it begins with \"????\" where RIFF is expected", fault.Problem);
        Assert.DoesNotContain(fault.Message, (char c) => char.IsControl(c));
    }

    private sealed class FailingStream(byte[] bytes) : MemoryStream(bytes)
    {
        public override int Read(byte[] buffer, int offset, int count) => Position < 44 ? base.Read(buffer, offset, count) : throw new IOException("Input/output error");

        public override int Read(Span<byte> buffer) => Position < 44 ? base.Read(buffer) : throw new IOException("Input/output error");
    }
}
