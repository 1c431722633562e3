// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The tidy tables of a study: one row per fact, unit in the column name, keys first.</summary>
internal static class StudyTables
{
    internal static CsvTable Findings(Study study) => Findings(study.Findings);

    internal static CsvTable Findings(IEnumerable<Finding> findings)
    {
        var table = new CsvTable(
            CsvColumn.Text("id"), CsvColumn.Text("severity"), CsvColumn.Text("subject"), CsvColumn.Number("value"), CsvColumn.Text("unit"), CsvColumn.Text("sentence"));
        foreach (var finding in findings)
            table.Add(finding.Id, finding.Severity.ToString().ToLowerInvariant(), finding.Subject, finding.Value, finding.Unit, finding.Sentence);
        return table;
    }

    internal static CsvTable Takes(Study study)
    {
        var table = new CsvTable(
            [.. Keys, CsvColumn.Text("take"), CsvColumn.Text("time_zero"), CsvColumn.Text("time_group"), CsvColumn.Milliseconds("arrival_ms"),
            CsvColumn.Text("arrival_method"), CsvColumn.Metres("distance_m"), CsvColumn.Text("polarity"), CsvColumn.Decibels("polarity_confidence_db"),
            CsvColumn.Decibels("peak_dbfs"), CsvColumn.Decibels("snr_db"), CsvColumn.Integer("clipped"), CsvColumn.Integer("dropouts"), CsvColumn.Text("faults"), CsvColumn.Ppm("clock_ppm"), CsvColumn.Boolean("used"),
            CsvColumn.Text("reason"), CsvColumn.Hertz("trusted_from_hz"), CsvColumn.Hertz("trusted_to_hz"), CsvColumn.Text("low_limit_reason"), CsvColumn.Text("high_limit_reason")]);
        foreach (var result in study.Takes)
        {
            var take = result.Take;
            table.Add(take.SourceName, take.Setting, take.Seat, take.Microphone, take.File, Word(result.TimeZero), result.TimeGroup.Name ?? "",
                result.Arrival?.Seconds * 1000, result.Arrival is { } arrival ? Word(arrival.Method) : "", result.DistanceMetres,
                result.Arrival?.PolarityInWords ?? "", result.Arrival?.PolarityConfidenceDb, result.PeakDbfs, result.SnrDb,
                result.IsUsed ? result.ClippedSamples : CsvCell.Empty, result.Dropouts is { } dropouts ? dropouts : CsvCell.Empty, string.Join("; ", result.Faults), result.ClockPpm, result.IsUsed, result.WhyNot ?? "",
                result.LevelBand.FromHz, result.LevelBand.ToHz, result.LevelBand.LowReason.Sentence, result.LevelBand.HighReason.Sentence);
        }
        return table;
    }

    internal static CsvTable Bands(Study study)
    {
        var table = new CsvTable(
            [.. Keys, .. Circumstances, CsvColumn.Integer("repeats"), CsvColumn.Hertz("level_from_hz"), CsvColumn.Hertz("level_to_hz"), CsvColumn.Text("low_limit_reason"),
            CsvColumn.Text("high_limit_reason"), CsvColumn.Hertz("phase_from_hz"), CsvColumn.Hertz("phase_to_hz")]);
        foreach (var (result, take) in study.Responses.Select(result => (result, result.Takes[0])))
            table.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", Word(take.Field), take.DistanceMm, take.AngleDeg,
                take.DriveDb, take.InputGainDb, result.Repeats, result.LevelBand.FromHz, result.LevelBand.ToHz, result.LevelBand.LowReason.Sentence,
                result.LevelBand.HighReason.Sentence, result.PhaseBand.FromHz, result.PhaseBand.ToHz);
        return table;
    }

    internal static CsvTable Responses(Study study)
    {
        var table = new CsvTable(
            [.. Keys, .. Circumstances, CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("level_db"), CsvColumn.Text("level_reference"), CsvColumn.Degrees("phase_deg"), CsvColumn.Milliseconds("group_delay_ms"),
            CsvColumn.Decibels("snr_db"), CsvColumn.Decibels("repeatability_db"), CsvColumn.Text("repeatability_basis"), CsvColumn.Decibels("expanded_db"), CsvColumn.Boolean("trusted_level"), CsvColumn.Boolean("trusted_phase"), CsvColumn.Boolean("censored"), CsvColumn.Text("reason")]);
        foreach (var (result, take) in study.Responses.Select(result => (result, result.Takes[0])))
        {
            var (delays, k) = (result.Response.GroupDelaysSeconds(), 0);
            foreach (var point in result.Response.Points())
                table.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", Word(take.Field), take.DistanceMm, take.AngleDeg,
                    take.DriveDb, take.InputGainDb, point.FrequencyHz, point.LevelDb, result.Response.LevelReference,
                    result.ImpulseResponse.TimeZero == TimeZero.Unknown ? CsvCell.Empty : point.PhaseDegrees, delays[k++] * 1000, point.SnrDb,
                    point.Uncertainty.RepeatabilityDb, Word(point.Uncertainty.Basis), point.Uncertainty.ExpandedDb,
                    point.TrustedLevel, point.TrustedPhase, point.IsCensored, (point.TrustedLevel ? point.PhaseReason : point.LevelReason).Sentence);
        }
        return table;
    }

    internal static CsvColumn[] Keys => [CsvColumn.Text("source"), CsvColumn.Text("setting"), CsvColumn.Text("seat"), CsvColumn.Text("microphone")];

    /// <summary>What else tells two responses of one source and seat apart: takes that differ here are no repeats.</summary>
    internal static CsvColumn[] Circumstances =>
        [CsvColumn.Text("stimulus"), CsvColumn.Text("field"), CsvColumn.Number("distance_mm"), CsvColumn.Number("angle_deg"), CsvColumn.Decibels("drive_db"), CsvColumn.Decibels("input_gain_db")];

    private static string Word(RepeatabilityBasis basis) => basis switch { RepeatabilityBasis.None => "", RepeatabilityBasis.Noise => "noise only", _ => "repeats" };

    internal static string Word(SoundField field) => field.ToString().ToLowerInvariant();

    private static string Word(TimeZero timeZero) => timeZero.ToString().ToLowerInvariant();

    internal static string Word(ArrivalMethod method) => method == ArrivalMethod.CrossPhase ? "cross-phase" : method.ToString().ToLowerInvariant();
}
