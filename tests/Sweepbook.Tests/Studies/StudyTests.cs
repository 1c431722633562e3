// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class StudyTests
{
    private const double FiftiethOfASample = 0.02 / SmallSurvey.Rate;   // design, "Numerical promises": full-band arrival
    private static readonly (int, double)[] Direct = [(480, 0.5)];

    [Fact]
    public void A_loudspeaker_take_gives_its_level_arrival_distance_and_polarity()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, -0.5)]);
        var study = Study.Of(folder.Read());
        var take = Assert.Single(study.Takes);
        Assert.Null(take.WhyNot);
        Assert.Equal(480.0 / SmallSurvey.Rate, take.Arrival!.Value.Seconds, FiftiethOfASample);
        Assert.Equal(0.01 * study.SpeedOfSoundMetresPerSecond, take.DistanceMetres, 0.001);
        Assert.Equal(-1, take.Arrival.Value.Polarity);
        var response = Assert.Single(study.Responses).Response;
        foreach (var point in response.Points().Where(point => point.FrequencyHz is > 12 and < 17_000))
            Assert.Equal(0, point.LevelDb, 0.05);   // 0.5 in the room over 0.5 in the loopback; noise 1e-5 leaves 0.02 dB at the top
    }

    [Fact]
    public void Every_finding_is_a_headline_or_about_the_recordings_or_about_the_room()
    {
        using var folder = new SmallSurvey(top: "[room]\nlength_m = 5\nwidth_m = 4\nheight_m = 2.5\n");
        folder.Add("a.wav", Direct, noise: 0.3);
        var study = Study.Of(folder.Read());
        Assert.Equal(study.Findings, [.. study.Findings.Take(Study.Headlines), .. study.RecordingFindings, .. study.NearFieldFindings, .. study.RoomFindings]);
        Assert.Contains(study.RecordingFindings, finding => finding.Id == "microphone-unknown");
        Assert.Contains(study.RoomFindings, finding => finding.Id == "room-modes");
    }

    [Fact]
    public void The_uncut_response_is_the_windowed_one_before_the_window_and_goes_on_to_the_end_of_the_tail()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5), (9000, 0.01)]);
        var result = Study.Of(folder.Read()).Responses[0];
        var (uncut, windowed) = (result.UncutImpulseResponse, result.ImpulseResponse);
        var shift = (int)Math.Round(uncut.TimeZeroSamples - windowed.TimeZeroSamples);
        var peak = (int)Math.Round(windowed.TimeZeroSamples) + 480;
        for (var n = peak; n < peak + 2000; n++) Assert.Equal(windowed[n], uncut[n + shift], 1e-12);   // where the window is 1
        Assert.Equal(SmallSurvey.Design.Description.TailSeconds - (double)SmallSurvey.LatencySamples / SmallSurvey.Rate, uncut.SecondsAt(uncut.Length), 0.001);
    }

    [Fact]
    public void A_calibration_that_says_plus_one_and_a_half_lowers_the_reading_by_one_and_a_half()
    {
        using var folder = new SmallSurvey("calibration = \"omni.txt\"");
        folder.WriteCalibration("20 1.5\n875 1.5\n20000 1.5\n");
        folder.Add("a.wav", Direct);
        var response = Study.Of(folder.Read()).Responses[0].Response;
        Assert.Equal(-1.5, response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 875)).LevelDb, 0.05);
    }

    [Fact]
    public void A_correction_file_raises_the_reading()
    {
        using var folder = new SmallSurvey("calibration = \"omni.txt\"\ncalibration_sign = \"correction\"");
        folder.WriteCalibration("20 1.5\n875 1.5\n20000 1.5\n");
        folder.Add("a.wav", Direct);
        Assert.Equal(1.5, Study.Of(folder.Read()).Responses[0].Response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 875)).LevelDb, 0.05);
    }

    [Fact]
    public void The_trusted_band_ends_where_the_sweep_does_and_says_so()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        var band = Study.Of(folder.Read()).Responses[0].LevelBand;
        Assert.Equal((Doubt.Excitation, "the sweep starts at 10 Hz"), (band.LowReason.Doubt, band.LowReason.Sentence));
        Assert.Equal((Doubt.UpperEnd, "the sweep ends at 20 kHz"), (band.HighReason.Doubt, band.HighReason.Sentence));
        Assert.InRange(band.ToHz, 20_000 * Math.Pow(2, -1 / 12.0 - 1 / 96.0), 20_000 * Math.Pow(2, -1 / 12.0));   // design: upper end; one grid point
    }

    [Fact]
    public void The_microphones_range_ends_the_band()
    {
        using var folder = new SmallSurvey("calibration = \"omni.txt\"\nlowest_hz = 25\nhighest_hz = 10000\ntolerance_db = 2");
        folder.WriteCalibration("40 0\n5000 0\n");
        folder.Add("a.wav", Direct);
        var band = Study.Of(folder.Read()).Responses[0].LevelBand;
        Assert.Equal((Doubt.Microphone, Doubt.Microphone), (band.LowReason.Doubt, band.HighReason.Doubt));
        Assert.InRange(band.FromHz, 25, 25 * Math.Pow(2, 1 / 96.0));
        Assert.InRange(band.ToHz, 10_000 * Math.Pow(2, -1 / 96.0), 10_000);
    }

    [Fact]
    public void Noise_ends_the_band_where_it_comes_within_15_dB_and_phase_earlier_than_level()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, noise: 0.03);
        var result = Study.Of(folder.Read()).Responses[0];
        Assert.Equal(Doubt.Noise, result.LevelBand.HighReason.Doubt);
        Assert.True(result.PhaseBand.ToHz < result.LevelBand.ToHz);
        // White noise over a falling sweep spectrum: the ratio falls by 3 dB per octave, so 5 dB more cost 5/3 octaves.
        Assert.InRange(Math.Log2(result.LevelBand.ToHz / result.PhaseBand.ToHz), 0.8, 2.6);
    }

    [Fact]
    public void A_dip_inside_the_band_is_censored_and_the_band_never_ends_on_one()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.25), (576, 0.2499)], noise: 0.003);   // 2 ms apart: dips at 250, 750, 1250 Hz … down to 1/2500
        var result = Study.Of(folder.Read()).Responses[0];
        var points = result.Response.Points().ToList();
        Assert.Contains(points, point => point is { TrustedLevel: true, IsCensored: true, FrequencyHz: > 240 and < 260 });
        foreach (var endHz in new[] { result.LevelBand.FromHz, result.LevelBand.ToHz })
            Assert.False(points.Single(point => point.FrequencyHz == endHz).IsCensored);
    }

    [Fact]
    public void A_converter_offset_changes_neither_level_nor_noise_nor_trust()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", Direct, offset: 0.2, seat: "chair");
        var (clean, offset) = (Study.Of(folder.Read()).Responses[0], Study.Of(folder.Read()).Responses[1]);
        Assert.Equal(clean.LevelBand, offset.LevelBand);
        for (var k = 0; k < clean.Response.Count; k++)
        {
            if (!clean.Response[k].TrustedLevel) continue;
            Assert.Equal(clean.Response[k].LevelDb, offset.Response[k].LevelDb, 0.01);   // the two differ by rounding to 24 bits only
            Assert.Equal(clean.Response[k].SnrDb, offset.Response[k].SnrDb, 0.5);
        }
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Noise_is_judged_against_the_level_over_all_seats_so_that_a_dip_at_one_is_censored_and_not_missing(bool isOtherSeatMeasured)
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.125), (576, 0.25), (672, 0.125)], noise: 4e-3, seat: "chair");   // cos²: a wide dip at 250 Hz
        if (isOtherSeatMeasured) folder.Add("b.wav", [(480, 0.5)], noise: 4e-3);
        var dip = Study.Of(folder.Read()).Responses[0].Response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 250));
        Assert.True(dip.IsCensored);
        Assert.False(dip.TrustedPhase);
        Assert.Equal(isOtherSeatMeasured, dip.TrustedLevel);
    }

    [Fact]
    public void Repeats_are_averaged_into_one_response()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, noise: 1e-3, seed: 1);
        folder.Add("b.wav", Direct, noise: 1e-3, seed: 2);
        var study = Study.Of(folder.Read());
        var result = Assert.Single(study.Responses);
        Assert.Equal(2, result.Repeats);
        Assert.Equal(2, study.Takes.Count);
        using var single = new SmallSurvey();
        single.Add("a.wav", Direct, noise: 1e-3, seed: 1);
        var one = Study.Of(single.Read()).Responses[0].Response.Points().Where(point => point.FrequencyHz is > 200 and < 10_000).Average(point => point.SnrDb);
        var two = result.Response.Points().Where(point => point.FrequencyHz is > 200 and < 10_000).Average(point => point.SnrDb);
        Assert.Equal(3, two - one, 1.0);   // ISO 18233:2006, fact sheet 4.16: +3 dB per doubling; one silent block of half a second scatters
    }

    [Fact]
    public void A_take_without_time_zero_gives_levels_only()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, keys: "time_zero = \"unknown\"");
        var study = Study.Of(folder.Read());
        Assert.Null(study.Takes[0].Arrival);
        Assert.True(study.Responses[0].PhaseBand.IsEmpty);
        Assert.False(study.Responses[0].LevelBand.IsEmpty);
        Assert.Contains("No take has a known time zero", study.Findings.Single(finding => finding.Id == "time-zero").Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(8000)]
    [InlineData(16_000)]
    [InlineData(32_000)]
    [InlineData(96_000)]
    public void Any_usual_rate_gives_a_response_up_to_its_upper_end(int rate)
    {
        using var folder = new SmallSurvey();
        const string Keys = "impulse = true\ntime_zero = \"unknown\"";
        for (var odd = 0; odd < 2; odd++)
        {
            var samples = Signals.Noise(rate + odd * 77, 9).Select(x => x * 1e-6).ToArray();
            samples[rate / 5] = 0.5;
            folder.Add($"{odd}.wav", new Recording(rate, [samples, samples]), Keys, seat: odd == 0 ? "sofa" : "chair");
        }
        foreach (var result in Study.Of(folder.Read()).Responses)
            Assert.InRange(result.LevelBand.ToHz, 0.44 * rate, 0.45 * rate);
    }

    [Fact]
    public void Levels_of_different_references_are_neither_averaged_nor_compared()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, loopback: 0.25);
        folder.Add("b.wav", Direct, loopback: 0.25, keys: "time_zero = \"unknown\"");
        folder.Add("c.wav", Direct, loopback: 0.25, keys: "time_zero = \"unknown\"", seat: "chair");
        var study = Study.Of(folder.Read());
        Assert.Equal(3, study.Responses.Count);
        Assert.Equal(["relative to the loopback", "relative to the stimulus", "relative to the stimulus"], study.Responses.Select(result => result.Response.LevelReference));
        Assert.True(study.Findings.Single(finding => finding.Id == "seat-difference").Value < 0.5);   // the two that may be compared are alike
    }

    [Fact]
    public void A_repeat_of_opposite_polarity_is_not_hidden_at_a_wrong_lag()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, keys: "time_zero = \"unknown\"");
        folder.Add("b.wav", [(480, -0.5)], keys: "time_zero = \"unknown\"", seed: 2);
        Assert.True(Study.Of(folder.Read()).Responses[0].LevelBand.IsEmpty);   // the two cancel; what is left is noise
    }

    [Fact]
    public void A_subwoofer_gets_no_distance()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct, source: "sub");
        var take = Study.Of(folder.Read()).Takes[0];
        Assert.Null(take.Arrival);
        Assert.True(double.IsNaN(take.DistanceMetres));
    }

    [Fact]
    public void A_recorded_impulse_response_needs_no_stimulus()
    {
        using var folder = new SmallSurvey();
        var samples = new double[SmallSurvey.Rate];
        samples[12_000] = 0.9;
        for (var n = 0; n < samples.Length; n++) samples[n] += 1e-6 * Math.Sin(n * 1.7);
        folder.Add("clap.wav", new Recording(SmallSurvey.Rate, [samples, samples]), "impulse = true\ntime_zero_s = 0.2\ntime_zero = \"unknown\"");
        var study = Study.Of(folder.Read());
        Assert.Null(study.Takes[0].WhyNot);
        Assert.Equal(0.05, study.Takes[0].Arrival!.Value.Seconds, FiftiethOfASample);
        Assert.Equal(20 * Math.Log10(0.9), study.Responses[0].Response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 1000)).LevelDb, 0.01);
    }
}
