// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Findings below the headlines: takes left out, faults of takes, microphones, arrivals against the stated positions, notes of the survey.</summary>
internal static class DetailFindings
{
    private const int MostGapsNamed = 3;
    private const double PositionToleranceMetres = 0.15; // own choice: a tape measure, the acoustic centre and 1 K of air together

    internal static IEnumerable<Finding> Of(Study study) =>
        [.. Takes(study), .. InputCheck.Findings(study), .. Microphones(study), .. study.CalibrationFindings, .. Gaps(study).Distinct(), .. DoubtFindings.Of(study), .. Distances(study), .. Unmatched(study), .. Notes(study)];

    private static IEnumerable<Finding> Takes(Study study)
    {
        foreach (var result in study.Takes)
        {
            var file = result.Take.File;
            if (!result.IsUsed)
            {
                var isWish = !result.Take.Use;
                yield return new(isWish ? "take-switched-off" : "take-left-out", isWish ? Severity.Note : Severity.Fault, file, double.NaN, "",
                    result.WhyNot!.StartsWith(file, StringComparison.Ordinal) ? result.WhyNot : $"{file}: {result.WhyNot}.");
            }
            foreach (var fault in result.Named)
                yield return new("take-fault", Severity.Fault, file, fault.Value, fault.Unit, $"{file}: {fault.Words}.");
        }
    }

    private static IEnumerable<Finding> Microphones(Study study)
    {
        foreach (var microphone in study.Survey.Microphones.Where(microphone => study.Responses.Any(result => result.Microphone == microphone.Id)))
        {
            if (microphone.Calibrations.Count == 0 && microphone.LowestHz is null && microphone.HighestHz is null)
                yield return new("microphone-unknown", Severity.Caution, microphone.Id, double.NaN, "",
                    $"{microphone.Id} has neither a calibration nor data-sheet limits, so its range is not checked; add calibration, lowest_hz and highest_hz to survey.toml.");
            foreach (var finding in MicrophoneMask.BeyondCalibration(microphone, study.Responses)) yield return finding;
            if (microphone.Calibrations.Count > 1)
                yield return new("calibration-angle", Severity.Note, microphone.Id, microphone.Calibrations.Count, "files",
                    $"{microphone.Id} has {microphone.Calibrations.Count} calibrations; the one nearest to frontal incidence (0°) was used for every take.");
            if (microphone.CalibratedOn is not { } calibrated || study.Survey.Date is not { } measured) continue;
            var years = CalibrationDrift.AgeYears(calibrated, measured);
            if (years >= CalibrationDrift.RenewedAfterYears)
                yield return new("calibration-age", Severity.Caution, microphone.Id, years, "years", FormattableString.Invariant(
                    $"The calibration of {microphone.Id} was {years:0.0} years old when the survey was made; calibrations are renewed about every {CalibrationDrift.RenewedAfterYears} years."));
        }
    }

    private static IEnumerable<Finding> Distances(Study study)
    {
        foreach (var takes in study.Takes.Where(result => result.Arrival is not null && result.Take.Sources.Count == 1 && result.Take.Seat.Length > 0
            && !result.Named.Any(fault => fault.Kind == "copy-in-microphone"))   // such an arrival is the copy's
            .Select(result => (result.Take, Heard: result.DistanceMetres, Stated: Stated(study, result.Take))).Where(take => Math.Abs(take.Heard - take.Stated) > PositionToleranceMetres)
            .GroupBy(take => take.Take.SourceName).Select(group => group.ToList()))
        {
            double[] extra = [.. takes.Select(take => take.Heard - take.Stated).Order()];
            if (extra.Length > 1 && extra[^1] - extra[0] <= PositionToleranceMetres && takes.DistinctBy(take => take.Take.Seat).Count() > 1)
            {
                var mean = extra.Average();
                yield return new("distance", Severity.Caution, takes[0].Take.SourceName, mean, "m", FormattableString.Invariant(
                    $"In {takes.Count} takes {takes[0].Take.SourceName} sounds {Math.Abs(mean):0.00} m {(mean > 0 ? "farther away" : "nearer")} than the positions say, everywhere by the same: {(mean > 0 ? FormattableString.Invariant($"a processing delay of {mean / study.SpeedOfSoundMetresPerSecond * 1000:0.0} ms or a wrong position") : "a wrong position or temperature")} explains it."));
                continue;
            }
            foreach (var (take, heard, stated) in takes)
                yield return new("distance", Severity.Caution, $"{take.SourceName} at {take.Seat}", heard, "m", FormattableString.Invariant(
                    $"{take.File}: sound takes as long as {heard:0.00} m from {take.SourceName} to {take.Seat}, but the positions are {stated:0.00} m apart; a processing delay or a wrong position explains it."));
        }
    }

    /// <summary>Distance between the positions of source and seat; NaN where one of them is not stated.</summary>
    private static double Stated(Study study, Take take) =>
        study.Survey.Source(take.Sources[0]).Position is { } from && study.Survey.Seat(take.Seat).Position is { } to ? from.DistanceMetresTo(to) : double.NaN;

    private static IEnumerable<Finding> Gaps(Study study)
    {
        foreach (var result in study.Responses)
        {
            foreach (var gaps in result.Response.LevelTrust.Gaps().GroupBy(gap => gap.LowReason.Doubt).Select(group => group.ToList()))
            {
                var why = gaps.All(gap => gap.LowReason == gaps[0].LowReason) ? $": {gaps[0].LowReason.Sentence}" : $", because of {StudyFindings.Cause(gaps[0].LowReason)}";
                string[] more = gaps.Count > MostGapsNamed ? [$"{gaps.Count - MostGapsNamed} more {(gaps.Count - MostGapsNamed == 1 ? "gap" : "gaps")}"] : [];
                yield return new("gaps", Severity.Note, $"{result.Source} at {result.Seat}", gaps.Count, "gaps",
                    $"Inside the band of {result.Source} at {result.Seat} do not believe {StudyFindings.Listed([.. gaps.Take(MostGapsNamed).Select(gap => gap.Words), .. more])}{why}.");
            }
        }
    }

    private static IEnumerable<Finding> Unmatched(Study study) =>
        study.Survey.UnmatchedFiles.Select(file => new Finding("file-not-recognised", Severity.Caution, file.File, double.NaN, "",
            $"{file.File} was not analysed, because its name does not fit the takes pattern. {file.Advice}"));

    private static IEnumerable<Finding> Notes(Study study) =>
        study.Survey.Notes.Select(note => new Finding("survey-note", Severity.Note, "survey", double.NaN, "", note));
}
