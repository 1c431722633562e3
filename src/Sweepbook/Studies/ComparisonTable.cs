// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Studies;

/// <summary><c>microphones.csv</c>: one row per place, microphone and band, octaves first; a band without a number keeps its row and says why. No file where nothing can be compared.</summary>
internal static class ComparisonTable
{
    internal const string FileName = "microphones.csv";

    internal static CsvTable? Of(Study study)
    {
        var table = new CsvTable(
            [.. StudyTables.Keys, .. StudyTables.Circumstances, CsvColumn.Text("compared_with"), CsvColumn.Text("bandwidth"), CsvColumn.Hertz("band_hz"), CsvColumn.Decibels("offset_db"),
            CsvColumn.Decibels("deviation_db"), CsvColumn.Decibels("repeatability_db"), CsvColumn.Text("repeatability_basis"), CsvColumn.Boolean("significant"), CsvColumn.Text("reason")]);
        foreach (var place in study.Microphones.SelectMany(microphone => microphone.Places))
        {
            var (result, take) = (place.Tested, place.Tested.Takes[0]);
            if (place.Comparison is not { } comparison)
            {
                table.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", StudyTables.Word(take.Field), take.DistanceMm, take.AngleDeg, take.DriveDb, take.InputGainDb,
                    place.Reference.Microphone, "", CsvCell.Empty, CsvCell.Empty, CsvCell.Empty, CsvCell.Empty, "", CsvCell.Empty, place.WhyNot);
                continue;
            }
            foreach (var (word, bands) in new[] { ("octave", comparison.Octaves), ("third", comparison.ThirdOctaves) })
                foreach (var band in bands)
                    table.Add(result.Source, result.Setting, result.Seat, result.Microphone, take.Stimulus ?? "", StudyTables.Word(take.Field), take.DistanceMm, take.AngleDeg, take.DriveDb, take.InputGainDb,
                        comparison.Reference, word, band.Band.NominalHz, comparison.OffsetDb, band.DeviationDb, band.RepeatabilityDb,
                        !band.IsGiven ? "" : comparison.IsNoiseOnly ? "noise only" : "repeats", band.IsGiven ? band.IsSignificant : CsvCell.Empty, band.Reason);
        }
        return table.Count == 0 ? null : table;
    }
}
