// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

/// <summary>Files made and read by SciPy 1.10.1, see tests/reference/ORIGIN.md. Powers of two and floats are exact in both, so nothing is allowed to differ.</summary>
public class WavGoldenTests
{
    private const int RateHz = 44100;

    public static TheoryData<string, int> Files => new()
    {
        { "integer16-stereo", 2 }, { "integer24-stereo", 2 }, { "integer24-mono-odd", 1 }, { "integer32-mono", 1 }, { "float32-stereo", 2 }, { "float64-mono", 1 },
        { "extensible24-five", 5 }, { "extensible24in32-stereo", 2 }, { "extensible-float32-three", 3 },
    };

    private static string Folder()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "Sweepbook.slnx"))) folder = folder.Parent ?? throw new DirectoryNotFoundException("The repository is not above the test.");
        return Path.Combine(folder.FullName, "tests", "reference", "wav");
    }

    [Theory, MemberData(nameof(Files))]
    public void Every_sample_is_the_one_that_SciPy_reads(string name, int channels)
    {
        var recording = WavFile.Read(Path.Combine(Folder(), name + ".wav"));
        var rows = File.ReadAllLines(Path.Combine(Folder(), name + ".csv"));
        Assert.Equal((RateHz, channels, rows.Length), (recording.SampleRateHz, recording.ChannelCount, recording.Length));
        for (var n = 0; n < rows.Length; n++)
        {
            var expected = rows[n].Split(',').Select(text => double.Parse(text, CultureInfo.InvariantCulture)).ToArray();
            Assert.Equal(expected, Enumerable.Range(1, channels).Select(c => recording.ChannelSpan(c)[n]));
        }
    }

    [Fact]
    public void Every_golden_file_is_in_the_table() =>
        Assert.Equal(Directory.EnumerateFiles(Folder(), "*.wav").Select(Path.GetFileNameWithoutExtension).Order(), Files.Select(row => row.Data.Item1).Order());

    // SciPy wrote these two headers, NumPy these samples: ours must agree to the last byte where the chunks are the same.
    [Theory, InlineData("integer16-stereo", WavEncoding.Integer16), InlineData("integer32-mono", WavEncoding.Integer32)]
    public void The_bytes_written_are_those_that_SciPy_writes(string name, WavEncoding encoding)
    {
        var theirs = File.ReadAllBytes(Path.Combine(Folder(), name + ".wav"));
        var ours = new MemoryStream();
        WavFile.Write(ours, WavFile.Read(new MemoryStream(theirs), name), encoding);
        Assert.Equal(theirs, ours.ToArray());
    }

    [Fact]
    public void The_bytes_of_an_extensible_file_are_those_packed_by_hand()
    {
        var theirs = File.ReadAllBytes(Path.Combine(Folder(), "extensible24-five.wav"));
        var ours = new MemoryStream();
        WavFile.Write(ours, WavFile.Read(new MemoryStream(theirs), "five"), WavEncoding.Integer24);
        Assert.Equal(theirs, ours.ToArray());
    }
}
