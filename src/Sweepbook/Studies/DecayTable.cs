// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Files;

namespace Sweepbook.Studies;

/// <summary>decay.csv: one row per response or mean, band and figure.</summary>
internal static class DecayTable
{
    internal static CsvTable Of(Study study)
    {
        var table = new CsvTable(
            [.. StudyTables.Keys, .. StudyTables.Circumstances, CsvColumn.Text("bandwidth"), CsvColumn.Hertz("band_hz"), CsvColumn.Text("quantity"), CsvColumn.Number("value"), CsvColumn.Text("unit"),
            CsvColumn.Number("uncertainty"), CsvColumn.Decibels("range_db"), CsvColumn.Permille("nonlinearity_permille"), CsvColumn.Percent("curvature_percent"), CsvColumn.Boolean("valid"), CsvColumn.Text("reason")]);
        foreach (var (result, take) in study.Decays.Select(result => (result, result.Take)))
            foreach (var decay in result.Octaves.Concat(result.ThirdOctaves))
                foreach (var value in decay.Values)
                    table.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", StudyTables.Word(take.Field), result.IsMean ? CsvCell.Empty : take.DistanceMm,
                        result.IsMean ? CsvCell.Empty : take.AngleDeg, take.DriveDb, take.InputGainDb, decay.Band.BandsPerOctave == 1 ? "octave" : "third", decay.Band.NominalHz, Word(value.Quantity),
                        value.Value, value.Unit, value.Uncertainty, value.RangeDb, value.NonlinearityPermille, value.CurvaturePercent, value.IsValid, value.Reason ?? "");
        return table;
    }

    private static string Word(DecayQuantity quantity) => quantity.ToString().ToLowerInvariant();
}
