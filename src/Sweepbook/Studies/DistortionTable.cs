// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;

namespace Sweepbook.Studies;

/// <summary>distortion.csv: one row per response, fundamental and harmonic, with the total as a harmonic of its own. A fundamental that was not heard has no row.</summary>
internal static class DistortionTable
{
    internal const string FileName = "distortion.csv";

    internal static CsvTable? Of(Study study)
    {
        var results = study.Responses.Where(result => result.Harmonics is not null).ToList();
        if (results.Count == 0) return null;
        var table = new CsvTable(
            [.. StudyTables.Keys, .. StudyTables.Circumstances, CsvColumn.Hertz("frequency_hz"), CsvColumn.Text("harmonic"), CsvColumn.Decibels("level_db"), CsvColumn.Percent("level_percent"),
            CsvColumn.Degrees("phase_deg"), CsvColumn.Decibels("floor_db"), CsvColumn.Boolean("is_bound"), CsvColumn.Boolean("trusted"), CsvColumn.Text("reason")]);
        foreach (var (result, take) in results.Select(result => (result, result.Takes[0])))
            foreach (var point in Points(result.Harmonics!).Where(point => !(double.IsNaN(point.LevelDb) && point.Reason!.StartsWith("fundamental", StringComparison.Ordinal))))
            {
                var isTrusted = point.IsTrusted && result.DoubtOf(point).Length == 0;
                table.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", StudyTables.Word(take.Field), take.DistanceMm, take.AngleDeg, take.DriveDb, take.InputGainDb,
                    point.FundamentalHz, point.Order == 0 ? "thd" : FormattableString.Invariant($"{point.Order}"), point.LevelDb, point.Percent, point.PhaseDegrees, point.FloorDb, point.IsBound, isTrusted,
                    isTrusted ? point.Reason ?? "" : result.DoubtOf(point));
            }
        return table;
    }

    private static IEnumerable<HarmonicPoint> Points(Harmonics harmonics) =>
        Enumerable.Range(2, Harmonics.HighestOrder - 1).SelectMany(harmonics.OfOrder).Concat(harmonics.Total);
}
