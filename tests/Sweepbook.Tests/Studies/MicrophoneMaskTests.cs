// SPDX-License-Identifier: MIT
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class MicrophoneMaskTests
{
    private const string Level = "max_spl_db = 120\nsensitivity_dbfs_at_94db = -40\ninput_gain_db = 24";   // 120 dB is −14 dBFS, three less −17

    [Fact]
    public void Beyond_the_calibration_the_data_sheet_is_believed_and_marked()
    {
        using var folder = new SmallSurvey("calibration = \"omni.txt\"\nlowest_hz = 15\nhighest_hz = 15000\ntolerance_db = 2");
        folder.WriteCalibration("40 0\n5000 0\n");
        folder.Add("a.wav", [(480, 0.5)]);
        var study = Sweepbook.Studies.Study.Of(folder.Read());
        var response = Assert.Single(study.Responses).Response;
        Assert.Equal("omni is believed beyond its calibration down to 15 Hz and up to 15 kHz, on the word of its data sheet: the shape there is not calibrated, ± 2 dB.",
            Assert.Single(study.Findings, finding => finding.Id == "microphone-shape").Sentence);
        const string NotCalibrated = "the microphone's shape is not calibrated here, ± 2 dB by the data sheet";
        Assert.Equal(NotCalibrated, response.ReasonAt(25).Sentence);
        Assert.Equal(NotCalibrated, response.ReasonAt(10_000).Sentence);
        Assert.Null(response.ReasonAt(1000).Sentence);
        Assert.Equal([Doubt.None], response.Doubts(15.2, 14_800));
        Assert.Equal((Doubt.Microphone, Doubt.Microphone), (response.ReasonAt(14).Doubt, response.ReasonAt(16_000).Doubt));
    }

    [Fact]
    public void Without_any_calibration_everything_is_marked_and_a_missing_tolerance_is_said()
    {
        using var folder = new SmallSurvey("lowest_hz = 15");
        folder.Add("a.wav", [(480, 0.5)]);
        Assert.Equal("the microphone's shape is not calibrated here, tolerance not stated", MaskScene.Only(folder).ReasonAt(1000).Sentence);
    }

    [Theory]
    [InlineData("input_gain_db = 24", Level, true)]
    [InlineData("input_gain_db = 30", Level, false)]   // the level calibration holds for one gain only
    [InlineData("input_gain_db = 24", "max_spl_db = 120", false)]
    public void Sound_within_3_dB_of_the_microphones_maximum_masks_the_frequencies_then_playing(string keys, string microphone, bool isDoubted)
    {
        using var folder = new SmallSurvey(microphone);
        // 0.19 of full scale are −14.4 dBFS, 119.6 dB, in one octave; 0.1 elsewhere, 114 dB.
        folder.Add("a.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz is > 100 and < 200 ? 0.76 : 0.4)), keys);
        var response = MaskScene.Only(folder);
        Assert.Equal(isDoubted ? (Doubt.Microphone, "the sound came within 3 dB of the microphone's maximum of 120 dB") : (Doubt.None, response.ReasonAt(140).Sentence),
            (response.ReasonAt(140).Doubt, response.ReasonAt(140).Sentence));
        Assert.Equal([Doubt.None], response.Doubts(12, 80));
        Assert.Equal([Doubt.None], response.Doubts(250, 16_000));
    }
}
