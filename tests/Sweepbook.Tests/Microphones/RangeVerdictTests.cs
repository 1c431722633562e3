// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Trust;
using Xunit;
using static Sweepbook.Tests.Microphones.RangeScene;

namespace Sweepbook.Tests.Microphones;

public sealed class RangeVerdictTests
{
    private static readonly Reason NotPlayed = new(Doubt.Excitation, "the sweep starts at 10 Hz");

    [Theory]
    [InlineData(20, 16_000, "yes")]      // from end to end
    [InlineData(19.9, 16_000, "no")]
    [InlineData(20, 16_200, "no")]
    [InlineData(5, 120, "no")]
    [InlineData(100, 101, "yes")]
    [InlineData(100, 100, "yes")]
    [InlineData(100.1, 100.2, "yes")]    // between two points of the grid
    [InlineData(30_000, 40_000, "no")]
    public void A_microphone_that_ends_inside_the_wanted_range_does_not_serve(double fromHz, double toHz, string word) =>
        Assert.Equal(word, new MicrophoneRange(Evidence(DataSheet)).Serves(fromHz, toHz).Word);

    [Fact]
    public void The_verdicts_say_why_and_what_to_do()
    {
        var sheet = new MicrophoneRange(Evidence(DataSheet));
        Assert.Equal("pocket serves from 25 to 120 Hz within ± 2 dB.", sheet.Serves(25, 120).Sentence);
        Assert.Equal("pocket does not serve from 5 to 120 Hz within ± 2 dB (5 to 20 Hz: its data sheet ends at 20 Hz). Use another microphone there, or have this one calibrated.", sheet.Serves(5, 120).Sentence);
        var calibrated = new MicrophoneRange(Evidence(Calibrated));
        Assert.Equal("It is not shown whether pocket serves from 2 to 120 Hz within ± 2 dB (2 to 5 Hz: its calibration ends at 5 Hz, and no more is known about it). "
            + "Give it a calibration or its data sheet's limits and tolerance in survey.toml, or record a reference microphone at the same spot.", calibrated.Serves(2, 120).Sentence);
        Assert.Equal("pocket serves at 100 Hz within ± 2 dB.", sheet.At(100).Sentence);
    }

    [Fact]
    public void What_nobody_played_is_no_limit_of_the_microphone()
    {
        var verdict = new MicrophoneRange(Evidence(Calibrated, hertz => hertz < 10 ? NotPlayed : Reason.None)).Serves(5, 120);
        Assert.Equal((false, false, "not shown"), (verdict.Serves, verdict.IsShown, verdict.Word));
        Assert.Equal("It is not shown whether pocket serves from 5 to 120 Hz within ± 2 dB (5 to 9.99 Hz: the sweep starts at 10 Hz). Record a take whose sweep and source reach that far.", verdict.Sentence);
    }

    [Fact]
    public void Where_both_end_the_microphone_decides()
    {
        var verdict = new MicrophoneRange(Evidence(DataSheet, hertz => hertz < 30 ? NotPlayed : Reason.None)).Serves(5, 120);
        Assert.Equal((false, true), (verdict.Serves, verdict.IsShown));
        Assert.Contains("(5 to 20 Hz: its data sheet ends at 20 Hz)", verdict.Sentence, StringComparison.Ordinal);
        Assert.DoesNotContain("sweep", verdict.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_line_of_hum_does_not_count_against_a_range_and_does_at_its_own_frequency()
    {
        var hum = new Reason(Doubt.Hum, "mains hum at 50 Hz may come within 15 dB of the signal");
        var range = new MicrophoneRange(Evidence(Calibrated, hertz => hertz is > 49 and < 51 ? hum : Reason.None));
        Assert.True(range.Serves(20, 120).Serves);
        Assert.Equal("not shown", range.At(50).Word);
        var wide = new MicrophoneRange(Evidence(Calibrated, hertz => hertz is > 44 and < 56 ? hum : Reason.None));   // a third of an octave
        Assert.Equal("not shown", wide.Serves(20, 120).Word);
        Assert.Contains("Record with less noise, a longer sweep, or louder as far as ears, drivers and neighbours allow.", wide.Serves(20, 120).Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_shorter_stretch_serves_too()
    {
        var noise = new Reason(Doubt.Noise, "noise may come within 15 dB of the signal");
        var range = new MicrophoneRange(Evidence(Calibrated, hertz => hertz is > 100 and < 300 ? noise : Reason.None));
        Assert.True(range.FromHz > 100);   // six octaves above, four below
        Assert.True(range.Serves(10, 90).Serves);
        Assert.False(range.Serves(10, 400).Serves);
    }

    [Theory]
    [InlineData(0.5, 100, "fromHz")]
    [InlineData(100, 50, "toHz")]
    [InlineData(double.NaN, 50, "fromHz")]
    [InlineData(100, double.NaN, "toHz")]
    [InlineData(100, 200_000, "toHz")]
    public void Ranges_that_are_none_are_refused(double fromHz, double toHz, string name) =>
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => new MicrophoneRange(Evidence(Calibrated)).Serves(fromHz, toHz)).ParamName);
}
