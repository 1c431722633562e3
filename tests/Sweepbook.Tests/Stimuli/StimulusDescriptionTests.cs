// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

public sealed class StimulusDescriptionTests
{
    private static readonly StimulusDescription Whole = new()
    {
        File = "full.wav",
        Sha256 = new string('a', 64),
        Kind = SweepKind.Synchronised,
        SampleRateHz = 96_000,
        StartHz = 5.5,
        EndHz = 40_000,
        SweepSeconds = 7.25,
        LeadInSeconds = 1.1,
        TailSeconds = 2.2,
        LevelDbfs = -3.3,
        FadeInSeconds = 0.123,
        FadeOutSeconds = 0.01,
        Repeats = 2,
        DeviceOutputs = new Dictionary<string, int> { ["left sub"] = 1, ["loop"] = 2, ["timing"] = 4 },
        LoopbackOutput = "loop",
        MarkerOutput = "timing",
        Marker = new(0.2, 0.3, 1_000, 10_000, 19.5),
    };

    private static string FaultOf(string toml)
    {
        using var folder = new SurveyFolder();
        folder.Put("s.toml", toml);
        return Assert.Throws<DataFault>(() => StimulusDescription.Read(folder.At("s.toml"), "s.toml")).Message;
    }

    [Fact]
    public void Every_key_reads_back_as_it_was_written()
    {
        using var folder = new SurveyFolder();
        folder.Put("s.toml", Whole.ToToml());
        var read = StimulusDescription.Read(folder.At("s.toml"));
        Assert.Equal(Whole, read);
        Assert.Equal(Whole.DeviceOutputs, read.DeviceOutputs);
        Assert.Equal(Whole.Marker, read.Marker);
        Assert.Equal((Whole.StartHz, Whole.SweepSeconds, Whole.FadeInSeconds, Whole.Repeats, Whole.Kind), (read.StartHz, read.SweepSeconds, read.FadeInSeconds, read.Repeats, read.Kind));
    }

    public static TheoryData<string, string, string> Broken => new()
    {
        { "start_hz = 5.5", "start_hz = 0", "`start_hz` must lie in (0, 384000] Hz, is 0" },
        { "start_hz = 5.5", "start_hz = -5", "`start_hz` must lie in (0, 384000] Hz, is -5" },
        { "start_hz = 5.5", "start_hz = nan", "`start_hz` must lie in (0, 384000] Hz, is NaN" },
        { "start_hz = 5.5", "start_hz = 50000", "the sweep ends at 40000 Hz, not above its start at 50000 Hz" },
        { "end_hz = 40000.0", "end_hz = 47500", "the sweep ends at 47500 Hz; a sample rate of 96000 Hz carries at most 47040 Hz (0.49 of it)" },
        { "sample_rate_hz = 96000", "sample_rate_hz = 96", "`sample_rate_hz` must be a whole number from 1000 to 768000 Hz, is 96" },
        { "sample_rate_hz = 96000", "sample_rate_hz = \"96k\"", "`sample_rate_hz` must be a whole number, is the text \"96k\"" },
        { "sweep_s = 7.25", "sweep_s = 0.01", "`sweep_s` must lie in [0.05, 300] s, is 0.01" },
        { "sweep_s = 7.25", "sweep_s = 290", "the stimulus has 56" },
        { "lead_in_s = 1.1", "lead_in_s = -1", "`lead_in_s` must lie in [0, 60] s, is -1" },
        { "tail_s = 2.2", "tail_s = 61", "`tail_s` must lie in [0, 60] s, is 61" },
        { "level_dbfs = -3.3", "level_dbfs = 3", "`level_dbfs` must lie in [-100, 0] dBFS, is 3" },
        { "fade_in_s = 0.123", "fade_in_s = 7.245", "the fades take 7.255 s of a sweep of 7.25 s" },
        { "repeats = 2", "repeats = 0", "`repeats` must be a whole number from 1 to 100, is 0" },
        { "kind = \"synchronised\"", "kind = \"synchronized\"", "`kind` must be one of exponential, synchronised, linear; is \"synchronized\". Did you mean `synchronised`?" },
        { "sha256 = \"a", "sha256 = \"", "`sha256` must have 64 hexadecimal digits" },
        { "file = \"full.wav\"\n", "", "the file has no `file`" },
        { "loopback_output = \"loop\"", "loopback_output = \"lop\"", "`loopback_output` names \"lop\", which is not in device_outputs. Did you mean `loop`?" },
        { "marker_output = \"timing\"", "marker_output = \"loop\"", "the loopback and the marker share one output" },
        { "\"timing\" = 4", "\"timing\" = 2", "channel 2 has several names: loop, timing" },
        { "\"timing\" = 4", "\"timing\" = 0", "`timing` must be a whole number from 1 to 64 (channels are counted from 1), is 0" },
        { "repeat_start_s = 19.5", "repeat_start_s = 0.4", "the marker's repeat begins before the marker has ended" },
        { "repeat_start_s = 19.5", "repeat_start_s = 29.5", "the marker ends at 29.8 s, the stimulus at 20 s" },
        { "length_s = 0.3", "lenght_s = 0.3", "[marker] has no key `lenght_s`. Did you mean `length_s`?" },
        { "tail_s = 2.2", "tail = 2.2", "the file has no key `tail`. Did you mean `tail_s`?" },
    };

    [Theory, MemberData(nameof(Broken))]
    public void A_broken_description_is_a_fault_that_names_its_line(string good, string bad, string problem)
    {
        var text = Whole.ToToml();
        Assert.Contains(good, text, StringComparison.Ordinal);
        var message = FaultOf(text.Replace(good, bad, StringComparison.Ordinal));
        Assert.Contains(problem, message, StringComparison.Ordinal);
        Assert.Matches(@"^s\.toml:\d+: ", message);
    }

    [Fact]
    public void A_description_made_in_code_is_checked_by_the_same_rules() =>
        Assert.Contains("carries at most 21609 Hz", Assert.Throws<ArgumentException>(() => Stimulus.From(new() { SampleRateHz = 44_100, EndHz = 22_000 })).Message, StringComparison.Ordinal);
}
