// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

public sealed class StimulusMarkerTests
{
    private const int Rate = 48_000;

    private static readonly StimulusDescription Marked = new()
    {
        SampleRateHz = Rate,
        StartHz = 10,
        EndHz = 500,
        SweepSeconds = 1,
        LeadInSeconds = 1.2,
        TailSeconds = 1.5,
        FadeOutSeconds = 0.02,
        Marker = new(0.3, 0.4, 2_000, 12_000, 3.0),
    };

    private static string Refused(StimulusDescription description) => Assert.Throws<ArgumentException>(() => Stimulus.From(description)).Message;

    [Fact]
    public void Sweep_and_marker_lie_in_channels_of_their_own_and_where_the_description_says()
    {
        var stimulus = Stimulus.From(Marked);
        var (sweep, marker) = (stimulus.ToArray(), stimulus.MarkerToArray());
        Assert.True(stimulus.HasMarker);
        Assert.Equal((stimulus.Length, stimulus.Length), (sweep.Length, marker.Length));
        Assert.Equal(Stimulus.From(Marked with { Marker = null }).ToArray(), sweep);
        var sounding = Enumerable.Range(0, marker.Length).Where(n => marker[n] != 0).ToList();
        Assert.All(sounding, n => Assert.True(n is >= 14_400 and < 14_400 + 19_200 or >= 144_000 and < 144_000 + 19_200));
        Assert.Equal(marker[14_400..33_600], marker[144_000..163_200]);
        Assert.InRange(sounding[0], 14_401, 14_403);   // a half cosine begins with zero, and its next value is less than half a step
    }

    [Fact]
    public void The_marker_has_the_level_of_the_sweep_and_half_cosine_fades_over_a_tenth()
    {
        // Its own formula, written out: Farina's sweep between 2 and 12 kHz in 0.4 s, at −12 dBFS.
        const double QuantisationStep = 1.01 / (1 << 23);
        var marker = Stimulus.From(Marked).MarkerToArray()[14_400..33_600];
        var constant = 0.4 / Math.Log(6);
        for (var n = 0; n < marker.Length; n++)
        {
            double Fade(int k) => k < 1920 ? 0.5 - 0.5 * Math.Cos(Math.PI * k / 1920) : 1;
            var expected = Math.Pow(10, -0.6) * Fade(n) * Fade(marker.Length - 1 - n) * Math.Sin(2 * Math.PI * 2_000 * constant * (Math.Exp(n / 48_000.0 / constant) - 1));
            Assert.InRange(marker[n] - expected, -QuantisationStep, QuantisationStep);
        }
    }

    [Fact]
    public void Without_a_marker_there_is_none()
    {
        var stimulus = Stimulus.From(Marked with { Marker = null });
        Assert.False(stimulus.HasMarker);
        Assert.Empty(stimulus.MarkerToArray());
    }

    [Fact]
    public void A_marked_stimulus_read_back_equals_the_one_written()
    {
        using var folder = new SurveyFolder();
        var written = Stimulus.From(Marked);
        written.Write(folder.At("s.toml"));
        var read = Stimulus.Read(folder.At("s.toml"));
        Assert.Equal(written.ToArray(), read.ToArray());
        Assert.Equal(written.MarkerToArray(), read.MarkerToArray());
        var wav = WavFile.Read(folder.At("s.wav"), "s.wav");
        Assert.Equal(2, wav.ChannelCount);
        Assert.Equal(written.ToArray(), wav.Channel(1));
        Assert.Equal(written.MarkerToArray(), wav.Channel(2));
        Assert.Equal((1, 2, "marker"), (read.Description.DeviceOutputs["sweep"], read.Description.DeviceOutputs["marker"], read.Description.MarkerOutput));
    }

    [Fact]
    public void The_sweep_goes_to_every_output_but_the_markers_and_the_others_are_silent()
    {
        using var folder = new SurveyFolder();
        var stimulus = Stimulus.From(Marked with { DeviceOutputs = new Dictionary<string, int> { ["sub"] = 5, ["loop"] = 2, ["timing"] = 3 }, LoopbackOutput = "loop", MarkerOutput = "timing" });
        stimulus.Write(folder.At("s.toml"));
        var wav = WavFile.Read(folder.At("s.wav"), "s.wav");
        Assert.Equal(5, wav.ChannelCount);
        foreach (var channel in new[] { 2, 5 }) Assert.Equal(stimulus.ToArray(), wav.Channel(channel));
        Assert.Equal(stimulus.MarkerToArray(), wav.Channel(3));
        foreach (var channel in new[] { 1, 4 }) Assert.All(wav.Channel(channel), sample => Assert.Equal(0, sample));
        Assert.Equal(stimulus.MarkerToArray(), Stimulus.Read(folder.At("s.toml")).MarkerToArray());
    }

    [Fact]
    public void Without_a_marker_every_output_can_have_its_channel()
    {
        using var folder = new SurveyFolder();
        var stimulus = Stimulus.From(Marked with { Marker = null, DeviceOutputs = new Dictionary<string, int> { ["sub"] = 1, ["loop"] = 4 }, LoopbackOutput = "loop" });
        stimulus.Write(folder.At("one.toml"));
        stimulus.Write(folder.At("all.toml"), StimulusLayout.EveryOutput);
        Assert.Equal((1, 4), (WavFile.Read(folder.At("one.wav"), "one.wav").ChannelCount, WavFile.Read(folder.At("all.wav"), "all.wav").ChannelCount));
        Assert.Equal(Stimulus.Read(folder.At("one.toml")).ToArray(), Stimulus.Read(folder.At("all.toml")).ToArray());
    }

    [Fact]
    public void A_wav_whose_channels_disagree_with_the_description_is_refused()
    {
        using var folder = new SurveyFolder();
        var marked = Stimulus.From(Marked);
        foreach (var (name, outputs, channels, words) in new (string, Dictionary<string, int>, double[][], string)[]
        {
            ("mono", new() { ["sub"] = 1, ["timing"] = 2 }, [marked.ToArray()], "the file has 1 channel, the description asks for 2 (device_outputs)"),
            ("differ", new() { ["sub"] = 1, ["timing"] = 2, ["loop"] = 3 }, [marked.ToArray(), marked.MarkerToArray(), new double[marked.Length]], "channels 1 and 3 should both hold the sweep and differ"),
            ("noisy", new() { ["sub"] = 1, ["timing"] = 3 }, [marked.ToArray(), marked.ToArray(), marked.MarkerToArray()], "channel 2 belongs to no output of the description and is not silent"),
        })
        {
            WavFile.Write(folder.At(name + ".wav"), new(Rate, channels), WavEncoding.Integer24);
            folder.Put(name + ".toml", (Marked with { DeviceOutputs = outputs, MarkerOutput = "timing", File = name + ".wav", Sha256 = FileHash.Sha256(folder.At(name + ".wav")) }).ToToml());
            Assert.Contains(words, Assert.Throws<DataFault>(() => Stimulus.Read(folder.At(name + ".toml"))).Message, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void A_marker_in_a_bad_place_is_refused_with_what_to_do()
    {
        Assert.Contains("the marker ends at 1.3 s and the sweep begins at 1.2 s: they would be heard together", Refused(Marked with { Marker = new(0.9, 0.4, 2_000, 12_000, null) }), StringComparison.Ordinal);
        Assert.Contains("the marker's repeat begins at 2 s and the sweep ends at 2.2 s", Refused(Marked with { Marker = new(0.3, 0.4, 2_000, 12_000, 2) }), StringComparison.Ordinal);
        Assert.Contains("leaves no 0.25 s of silence before the sweep", Refused(Marked with { Marker = new(0.1, 0.95, 2_000, 12_000, null) }), StringComparison.Ordinal);
        Assert.Contains("the marker has no output of its own", Refused(Marked with { DeviceOutputs = new Dictionary<string, int> { ["sub"] = 1 } }), StringComparison.Ordinal);
        Assert.Contains("the sweep has none", Refused(Marked with { DeviceOutputs = new Dictionary<string, int> { ["timing"] = 1 }, MarkerOutput = "timing" }), StringComparison.Ordinal);
        Assert.Contains("at most 32", Refused(Marked with { DeviceOutputs = new Dictionary<string, int> { ["sub"] = 1, ["timing"] = 33 }, MarkerOutput = "timing" }), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(4, 6, true)]
    [InlineData(4, 8, true)]
    [InlineData(3, 6, false)]
    [InlineData(4, 5, false)]   // no usual layout of five channels has low-frequency effects
    public void The_channel_of_low_frequency_effects_is_warned_about(int sweepChannel, int count, bool isWarned)
    {
        var description = Marked with { DeviceOutputs = new Dictionary<string, int> { ["sub"] = sweepChannel, ["timing"] = count }, MarkerOutput = "timing" };
        var warning = StimulusChannels.Of(description, StimulusLayout.Shortest).LowFrequencyWarning;
        Assert.Equal(isWarned, warning?.Contains("10 dB louder", StringComparison.Ordinal) ?? false);
    }
}
