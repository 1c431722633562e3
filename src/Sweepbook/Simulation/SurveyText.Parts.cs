// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Simulation;

internal sealed partial class SurveyText
{
    private const int TapeDigits = 2;   // what a tape measure tells, in metres

    private void Microphone(PlannedSurvey plan, PlannedMicrophone microphone)
    {
        Line($"\n[[microphone]]");
        if (microphone.Note.Length > 0) Line($"# {microphone.Note}");
        Line($"id = {TomlText.Quoted(microphone.Id)}");
        if (microphone.IsReference) Line($"reference = true                   # the others are compared with it");
        if (microphone.IsCalibrated)
        {
            Line($"calibration = {TomlText.Quoted($"microphones/{microphone.Id}.txt")}");
            Line($"calibration_sign = \"response\"      # the file states what the microphone adds");
        }
        if (microphone.LowestHz is { } lowestHz) Line($"lowest_hz = {lowestHz}");
        if (microphone.HighestHz is { } highestHz) Line($"highest_hz = {highestHz}");
        if (microphone.ToleranceDb is { } tolerance) Line($"tolerance_db = {tolerance}");
        if (microphone.CalibratedOn is { } day) Line($"calibrated_on = {day:yyyy-MM-dd}");
        if (microphone.CalibrationUncertaintyDb is { } uncertainty) Line($"calibration_uncertainty_db = {uncertainty}");
        if (microphone.MaxSplDb is { } loudest) Line($"max_spl_db = {loudest}");
        if (microphone.NoiseDba is { } noise) Line($"noise_dba = {noise}");
        Line($"input_gain_db = {plan.Interface.InputGainDb}");
    }

    private void Boxes(PlannedSurvey plan)
    {
        foreach (var box in plan.Boxes)
        {
            Line($"\n[[box]]");
            Line($"id = {TomlText.Quoted(box.Id)}");
            Line($"width_m = {box.WidthMetres}");
            Line($"height_m = {box.HeightMetres}");
            Line($"depth_m = {box.DepthMetres}");
        }
    }

    private void Radiator(PlannedRadiator radiator)
    {
        Line($"part_of = {TomlText.Quoted(radiator.Box.Id)}");
        if (radiator.Kind == BoxPart.Whole) return;
        Line($"area_cm2 = {radiator.AreaCm2}");
        if (!double.IsNaN(radiator.BaffleXMetres)) Line($"baffle_position_m = [{radiator.BaffleXMetres}, {radiator.BaffleYMetres}]");
    }

    private void Calibrators(PlannedSurvey plan)
    {
        if (plan.Calibrator is not { } calibrator) return;
        foreach (var microphone in plan.Microphones)
        {
            Line($"\n[[calibrator]]");
            Line($"file = {TomlText.Quoted(CalibratorTone.FileOf(microphone))}");
            Line($"microphone = {TomlText.Quoted(microphone.Id)}");
            Line($"level_db = {calibrator.LevelDb}");
            Line($"frequency_hz = {calibrator.FrequencyHz}");
            Line($"input_gain_db = {plan.Interface.InputGainDb}");
        }
    }

    private void Takes(PlannedSurvey plan)
    {
        var isListed = plan.Microphone.IsListed;
        Line($"\n[take-defaults]");
        Line($"stimulus = {TomlText.Quoted(plan.StimulusId)}");
        if (!isListed) Line($"microphone = {TomlText.Quoted(plan.Microphone.Id)}");
        Line($"microphone_channel = 1");
        if (!isListed && plan.Recorder is null) Line($"reference_channel = 2");
        if (!isListed) Line($"time_zero = {TomlText.Quoted(plan.Recorder is null ? "loopback" : "marker")}");
        if (!isListed) Line($"field = \"room\"");
        else Line($"input_gain_db = {plan.Interface.InputGainDb}");
        foreach (var take in plan.Takes)
        {
            Line($"\n[[take]]");
            Line($"file = {TomlText.Quoted(take.File)}");
            Line($"sources = [{TomlText.Quoted(take.Source.Id)}]");
            if (isListed) Line($"microphone = {TomlText.Quoted(take.Microphone.Id)}");
            if (take.Seat.Field != PlannedField.Near) Line($"seat = {TomlText.Quoted(take.Seat.Id)}");
            if (take.Seat.Field != PlannedField.Room) Line($"field = {TomlText.Quoted(take.Seat.Field == PlannedField.Near ? "near" : "free")}");
            if (take.Seat.Field == PlannedField.Near) Line($"distance_mm = {take.Seat.DistanceMm ?? Math.Round(1000 * take.Source.Place.DistanceMetresTo(take.Seat.Place))}");
            else if (take.Seat.Field == PlannedField.Free) Line($"distance_mm = {Math.Round(1000 * take.Source.Place.DistanceMetresTo(take.Seat.Place))}");
            if (isListed && plan.Recorder is not null) Line($"time_zero = \"marker\"");
            else if (isListed && take.Microphone.HasLoopback) Line($"reference_channel = 2");
            else if (isListed) Line($"time_zero = \"unknown\"              # no second input for a loopback");
            if (plan.Recorder is { } recorder) Line($"marker_distance_m = {Math.Round(recorder.Marker.Place.DistanceMetresTo(take.Seat.Place), TapeDigits)}");
        }
    }
}
