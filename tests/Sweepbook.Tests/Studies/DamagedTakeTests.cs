// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class DamagedTakeTests
{
    private static readonly (int, double)[] Direct = [(480, 0.5)];

    [Fact]
    public void A_silent_loopback_leaves_the_take_out_and_says_what_to_check()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", Direct, loopback: 0);
        Says(folder, "bad.wav", "the loopback channel is silent; check the cable");
    }

    [Fact]
    public void A_take_of_another_rate_is_named_as_a_mix_up()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", Direct, rate: 44_100);
        Says(folder, "bad.wav", "recorded at 44100 Hz, but the stimulus was made for 48000 Hz (a 44.1/48 kHz mix-up)");
    }

    [Fact]
    public void A_channel_that_the_file_does_not_have_is_named()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", Direct, keys: "reference_channel = 3");
        Says(folder, "bad.wav", "has 2 channels, but reference_channel = 3");
    }

    [Fact]
    public void A_missing_file_is_named_and_the_others_are_analysed()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.AddEntry("gone.wav");
        Says(folder, "gone.wav", "gone.wav");
    }

    [Fact]
    public void A_recording_stopped_before_the_sweep_ended_is_refused()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", new Recording(SmallSurvey.Rate, [Signals.Noise(48_000, 3).Select(x => x * 0.1).ToArray(), new double[48_000]]));
        Says(folder, "bad.wav", "is 1 s long, but the sweep alone ends after 3.5 s");
    }

    [Theory]
    [InlineData("time_zero = \"unknown\"")]
    [InlineData("time_zero = \"loopback\"")]
    public void A_recorder_started_after_the_sweep_began_is_refused(string keys)
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.AddMoved("bad.wav", SmallSurvey.Rate * 7 / 10, SmallSurvey.Design.Length, keys: keys);   // the lead-in is half a second
        Says(folder, "bad.wav", "the recording begins 0.20 s after the sweep did, so its lowest frequencies are missing");
    }

    [Theory]
    [InlineData("time_zero = \"unknown\"")]
    [InlineData("time_zero = \"loopback\"")]
    public void A_recorder_started_early_and_stopped_by_the_clock_is_refused(string keys)
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.AddMoved("bad.wav", -2 * SmallSurvey.Rate, SmallSurvey.Design.Length, keys: keys);   // the tail is 0.8 s
        Says(folder, "bad.wav", "the recording ends 1.20 s before the sweep does, so its highest frequencies are missing");
    }

    [Fact]
    public void Exchanged_channels_are_recognised_by_a_sound_that_arrives_before_it_left()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", Direct, keys: "microphone_channel = 2\nreference_channel = 1");
        Says(folder, "bad.wav", "the sound arrives 10.0 ms before it left");
    }

    [Fact]
    public void A_stimulus_that_cannot_be_used_costs_its_own_takes_only()
    {
        using var folder = new SmallSurvey(top: "[[stimulus]]\nid = \"other\"\nfile = \"stimuli/other.toml\"\n");
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", Direct, keys: "stimulus = \"other\"");
        Says(folder, "bad.wav", "its stimulus cannot be used: stimuli/other.toml");
    }

    [Fact]
    public void Where_no_stimulus_can_be_used_the_survey_stops()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        File.Delete(Path.Combine(folder.Folder, "stimuli", "full.wav"));
        Assert.Contains("full", Assert.Throws<DataFault>(() => Study.Of(folder.Read())).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_silent_block_nothing_is_believed_and_the_reason_says_so()
    {
        using var folder = new SmallSurvey();
        folder.AddMoved("a.wav", SmallSurvey.Rate / 2, SmallSurvey.Design.Length - SmallSurvey.Rate / 2, noise: 0.1, keys: "time_zero = \"unknown\"");   // the lead-in was cut off
        var study = Study.Of(folder.Read());
        Assert.Null(study.Takes[0].WhyNot);
        var result = study.Responses[0];
        Assert.True(result.LevelBand.IsEmpty);
        Assert.Contains("the noise is not known: no silent block", result.LevelBand.LowReason.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_lead_in_of_zeros_is_not_believed_to_be_without_noise()
    {
        using var folder = new SmallSurvey();
        var samples = Signals.Quantised([.. SmallSurvey.Design.ToArray().Select(x => 0.002 * x)], 12);   // coarse steps, silence all zeros
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [samples, SmallSurvey.Design.ToArray()]));
        var points = Study.Of(folder.Read()).Responses[0].Response.Points().ToList();
        Assert.All(points, point => Assert.True(point.SnrDb < 100));
        Assert.Equal(Doubt.Noise, points.MinBy(point => Math.Abs(point.FrequencyHz - 10_000)).LevelReason.Doubt);
    }

    [Fact]
    public void Repeats_of_a_recorded_impulse_response_share_one_rate()
    {
        using var folder = new SmallSurvey();
        const string Keys = "impulse = true\ntime_zero = \"unknown\"";
        var clap = Signals.Noise(SmallSurvey.Rate, 8).Select((x, n) => 0.3 * x * Math.Exp(-Math.Max(0, n - 9600) / 4000.0) * (n < 9600 ? 0.001 : 1)).ToArray();
        folder.Add("good.wav", new Recording(48_000, [clap, clap]), Keys);
        folder.Add("bad.wav", new Recording(44_100, [clap, clap]), Keys);
        Says(folder, "bad.wav", "has 44100 Hz, but takes/good.wav, of which it is a repeat, has 48000 Hz");
    }

    [Theory]
    [InlineData("time_zero = \"unknown\"")]
    [InlineData("time_zero = \"loopback\"")]
    public void A_recording_of_nothing_but_noise_is_refused_as_that(string keys)
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        var noise = Signals.Noise(SmallSurvey.Design.Length, 12).Select(x => x * 0.05).ToArray();
        folder.Add("bad.wav", new Recording(SmallSurvey.Rate, [noise, SmallSurvey.Design.ToArray()]), keys);
        Says(folder, "bad.wav", "the sweep was not found in this recording");
    }

    [Fact]
    public void A_sweep_ten_decibels_under_the_noise_is_still_found()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.1)], noise: 0.1);
        Assert.Null(Study.Of(folder.Read()).Takes[0].WhyNot);
    }

    [Fact]
    public void A_silent_microphone_is_refused()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        var stimulus = SmallSurvey.Design.ToArray();
        folder.Add("bad.wav", new Recording(SmallSurvey.Rate, [new double[stimulus.Length], stimulus]));
        Says(folder, "bad.wav", "channel 1 is silent");
    }

    [Fact]
    public void A_stimulus_without_a_marker_cannot_give_a_time_zero_by_marker()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        folder.Add("bad.wav", Direct, keys: "time_zero = \"marker\"");
        Says(folder, "bad.wav", "time_zero is marker, but its stimulus \"full\" plays none");
    }

    [Fact]
    public void Clipped_samples_are_counted_and_mask_the_frequencies_then_playing()
    {
        using var folder = new SmallSurvey();
        var samples = Signals.Convolved(SmallSurvey.Design.ToArray(), [0.5], SmallSurvey.Design.Length);
        var passing = SmallSurvey.Design.SweepStart + SmallSurvey.Rate / 2;   // half a second into the sweep
        for (var n = passing; n < passing + 40; n++) samples[n] = Math.Clamp(samples[n] * 50, -1, 1 - 1.0 / (1 << 23));
        folder.Add("clipped.wav", new Recording(SmallSurvey.Rate, [samples, SmallSurvey.Design.ToArray()]));
        var study = Study.Of(folder.Read());
        Assert.InRange(study.Takes[0].ClippedSamples, 10, 40);
        Assert.Contains("clipped samples; lower the input gain", Assert.Single(study.Takes[0].Faults), StringComparison.Ordinal);
        var frequencyHz = 10 * Math.Pow(2000, 0.5 / 3);   // f = start · (end/start)^(t/T), A. Farina, AES 108 (2000)
        var point = study.Responses[0].Response.Points().MinBy(entry => Math.Abs(entry.FrequencyHz - frequencyHz));
        Assert.Equal(Doubt.Recording, point.LevelReason.Doubt);
        Assert.True(study.Responses[0].Response.Points().MinBy(entry => Math.Abs(entry.FrequencyHz - 4 * frequencyHz)).TrustedLevel);
    }

    [Fact]
    public void Nine_of_ten_takes_unusable_still_give_a_study()
    {
        using var folder = new SmallSurvey();
        folder.Add("good.wav", Direct);
        for (var n = 0; n < 9; n++) folder.AddEntry($"gone-{n}.wav");
        var study = Study.Of(folder.Read());
        Assert.Single(study.Responses);
        Assert.Contains("1 of 10 takes could be used; 9 were left out", study.Findings.Single(finding => finding.Id == "takes-used").Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void With_no_usable_take_the_first_finding_says_so()
    {
        using var folder = new SmallSurvey();
        folder.AddEntry("gone.wav");
        var study = Study.Of(folder.Read());
        Assert.Equal(Severity.Fault, study.Findings[0].Severity);
        Assert.Contains("Nothing can be believed yet", study.Findings[0].Sentence, StringComparison.Ordinal);
    }

    private static void Says(SmallSurvey folder, string file, string words)
    {
        var study = Study.Of(folder.Read());
        var bad = study.Takes.Single(take => take.Take.File == $"takes/{file}");
        Assert.Contains(words, bad.WhyNot, StringComparison.Ordinal);
        Assert.StartsWith($"takes/{file}", bad.WhyNot, StringComparison.Ordinal);
        Assert.Contains(study.Findings, finding => finding.Severity == Severity.Fault && finding.Subject == $"takes/{file}");
        Assert.Single(study.Responses);
    }
}
