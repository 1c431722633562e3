// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class CalibratingTests
{
    private static readonly string[] Changed = [nameof(Microphone.Calibrations), nameof(Microphone.CalibrationSign), nameof(Microphone.IsCalibrationPhaseMinimum), nameof(Microphone.CalibratedOn), nameof(Microphone.CalibrationUncertaintyDb)];

    [Fact]
    public void A_calibration_on_trial_takes_the_place_of_the_stated_one_and_leaves_everything_else()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Whole).Wanting("20:200");
        var trial = survey.Calibrating("omni-1", "new.txt", 0.4, new(2026, 11, 14));
        var (before, after) = (survey.Microphone("omni-1"), trial.Microphone("omni-1"));
        Assert.Equal(Path.GetFullPath("new.txt"), Assert.Single(after.Calibrations).Path);
        Assert.Equal(("new.txt", CalibrationSign.Response, 0.4, new DateOnly(2026, 11, 14)), (after.Calibrations[0].File, after.CalibrationSign, after.CalibrationUncertaintyDb, after.CalibratedOn));
        foreach (var property in typeof(Microphone).GetProperties().Where(property => !Changed.Contains(property.Name)))
            Assert.Equal((property.Name, property.GetValue(before)), (property.Name, property.GetValue(after)));
        Assert.Same(survey.Microphone("omni-2"), trial.Microphone("omni-2"));
        Assert.Equal((survey.Takes.Count, survey.WantedFromHz, survey.Seats), (trial.Takes.Count, trial.WantedFromHz, trial.Seats));
        Assert.Equal(CalibrationSign.Correction, before.CalibrationSign);
        Assert.Null(survey.Calibrating("omni-1", "new.txt").Microphone("omni-1").CalibratedOn);
    }

    [Fact]
    public void What_is_no_calibration_is_refused()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Whole);
        Assert.Throws<ArgumentException>(() => survey.Calibrating("omni-3", "new.txt"));
        Assert.Throws<ArgumentException>(() => survey.Calibrating("omni-1", " "));
        Assert.Throws<ArgumentOutOfRangeException>("uncertaintyDb", () => survey.Calibrating("omni-1", "new.txt", 0));
        Assert.Throws<ArgumentOutOfRangeException>("uncertaintyDb", () => survey.Calibrating("omni-1", "new.txt", double.NaN));
    }
}
