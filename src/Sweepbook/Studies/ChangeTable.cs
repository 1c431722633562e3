// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Seats;

namespace Sweepbook.Studies;

/// <summary><c>comparison.csv</c>: one row per figure that was looked at before and after; those that could not be compared come last, with their reasons.</summary>
internal static class ChangeTable
{
    internal const string FileName = "comparison.csv";

    internal static CsvTable Of(StudyComparison comparison)
    {
        var table = new CsvTable(CsvColumn.Text("source"), CsvColumn.Text("setting_before"), CsvColumn.Text("setting_after"), CsvColumn.Text("seat"), CsvColumn.Text("microphone"), CsvColumn.Text("quantity"),
            CsvColumn.Text("label"), CsvColumn.Hertz("from_hz"), CsvColumn.Hertz("to_hz"), CsvColumn.Number("before"), CsvColumn.Number("after"), CsvColumn.Number("change"), CsvColumn.Text("unit"),
            CsvColumn.Number("repeatability"), CsvColumn.Text("repeatability_basis"), CsvColumn.Number("setting_up"), CsvColumn.Number("explained"), CsvColumn.Boolean("compared"), CsvColumn.Boolean("significant"), CsvColumn.Text("reason"));
        foreach (var row in comparison.Changes.Concat(comparison.NotCompared))
            table.Add(row.Source, comparison.BeforeSetting, comparison.AfterSetting, row.Seat, row.Microphone, Word(row.Quantity), row.Label, row.FromHz, row.ToHz, row.Before, row.After, row.Difference, row.Unit,
                row.Repeatability, row.Basis, row.IsCompared ? row.SettingUp : CsvCell.Empty, row.IsCompared ? row.Limit : CsvCell.Empty, row.IsCompared, row.IsCompared ? row.IsSignificant : CsvCell.Empty, row.Reason);
        return table;
    }

    private static string Word(ChangedQuantity quantity) => quantity switch
    {
        ChangedQuantity.SlowPeak => "slow-peak",
        ChangedQuantity.Delay => "relative-delay",
        _ => quantity.ToString().ToLowerInvariant(),
    };
}
