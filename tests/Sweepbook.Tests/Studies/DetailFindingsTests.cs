// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class DetailFindingsTests
{
    private static readonly (int, double)[] Direct = [(480, 0.5)];

    [Fact]
    public void An_old_calibration_is_a_reminder_and_a_fresh_one_is_not()
    {
        Assert.Contains("5.6 years old", Sentence("calibration-age", "calibration = \"omni.txt\"\ncalibrated_on = 2021-03-02"), StringComparison.Ordinal);
        Assert.Null(Sentence("calibration-age", "calibration = \"omni.txt\"\ncalibrated_on = 2024-03-02"));
    }

    [Fact]
    public void A_microphone_without_any_stated_range_is_named() =>
        Assert.Contains("omni has neither a calibration nor data-sheet limits", Sentence("microphone-unknown", ""), StringComparison.Ordinal);

    [Fact]
    public void Of_several_calibrations_the_frontal_one_is_used_and_said()
    {
        using var folder = new SmallSurvey("calibration = [{ angle_deg = 90, file = \"side.txt\" }, { angle_deg = 0, file = \"omni.txt\" }]");
        folder.WriteCalibration("20 3\n20000 3\n");
        File.WriteAllText(Path.Combine(folder.Folder, "side.txt"), "20 0\n20000 0\n");
        folder.Add("a.wav", Direct);
        var study = Study.Of(folder.Read());
        Assert.Equal(-3, study.Responses[0].Response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 1000)).LevelDb, 0.05);
        Assert.Contains(study.Findings, finding => finding.Id == "calibration-angle");
    }

    [Fact]
    public void A_calibration_far_from_zero_is_asked_about() =>
        Assert.Contains("sensitivity", Sentence("calibration-median", "calibration = \"omni.txt\"", "20 -38\n20000 -38\n"), StringComparison.Ordinal);

    [Theory]
    [InlineData("[3.43, 0, 1]", false)]   // 10 ms at 343.2 m/s
    [InlineData("[5.00, 0, 1]", true)]
    public void An_arrival_that_does_not_fit_the_positions_is_said(string seat, bool isSaid)
    {
        using var folder = new SmallSurvey(source: "position_m = [0, 0, 1]", seat: $"position_m = {seat}", top: "[room]\nlength_m = 6\nwidth_m = 4\nheight_m = 2.5\n");
        folder.Add("a.wav", Direct);
        var finding = Study.Of(folder.Read()).Findings.FirstOrDefault(finding => finding.Id == "distance");
        Assert.Equal(isSaid, finding.Sentence?.Contains("sound takes as long as 3.43 m", StringComparison.Ordinal) ?? false);
    }

    [Fact]
    public void A_take_switched_off_is_a_note_and_no_fault()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", Direct);
        folder.Add("b.wav", Direct, keys: "use = false");
        var finding = Study.Of(folder.Read()).Findings.Single(finding => finding.Id == "take-switched-off");
        Assert.Equal((Severity.Note, "takes/b.wav"), (finding.Severity, finding.Subject));
    }

    [Fact]
    public void The_seats_that_differ_most_are_named_with_their_frequency()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5)], noise: 1e-6);
        folder.Add("b.wav", [(480, 0.5), (480 + 480, 0.45)], noise: 1e-6, seat: "chair");   // 10 ms apart: a dip of 20·lg(0.1) at 50 Hz
        var finding = Study.Of(folder.Read()).Findings.Single(finding => finding.Id == "seat-difference");
        Assert.Contains("at 50 Hz, loud at sofa, weak at chair", finding.Sentence, StringComparison.Ordinal);
        Assert.InRange(finding.Value, 15, 20.1);   // 20 dB, less what a twelfth of an octave fills in
    }

    private static string? Sentence(string id, string microphone, string calibration = "20 0\n20000 0\n")
    {
        using var folder = new SmallSurvey(microphone);
        folder.WriteCalibration(calibration);
        folder.Add("a.wav", Direct);
        return Study.Of(folder.Read()).Findings.FirstOrDefault(finding => finding.Id == id).Sentence;
    }
}
