// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;

namespace Sweepbook.Studies;

/// <summary><c>delays.csv</c>: one row per source, the source that it is compared with, setting, seat and microphone; positive is later. No file where no seat heard two sources.</summary>
internal static class DelayTable
{
    internal const string FileName = "delays.csv";

    internal static CsvTable? Of(Study study)
    {
        if (study.RelativeDelays.Count == 0) return null;
        var table = new CsvTable(CsvColumn.Text("source"), CsvColumn.Text("compared_with"), CsvColumn.Text("setting"), CsvColumn.Text("seat"), CsvColumn.Text("microphone"),
            CsvColumn.Milliseconds("delay_ms"), CsvColumn.Milliseconds("uncertainty_ms"), CsvColumn.Text("method"), CsvColumn.Hertz("from_hz"), CsvColumn.Hertz("to_hz"), CsvColumn.Degrees("residual_deg"),
            CsvColumn.Text("polarity"), CsvColumn.Decibels("polarity_confidence_db"), CsvColumn.Text("reason"));
        foreach (var entry in study.RelativeDelays)
        {
            var delay = entry.Delay;
            table.Add(entry.Source, entry.ComparedWith, entry.Setting, entry.Seat, entry.Microphone, delay?.Seconds * 1000, delay?.UncertaintySeconds * 1000,
                Method(delay), delay?.FromHz, delay?.ToHz, entry.ResidualDegrees, delay?.PolarityInWords ?? "", delay?.PolarityConfidenceDb, entry.WhyNot ?? "");
        }
        return table;
    }

    private static string Method(RelativeDelay? delay) => delay switch { null => "", { EarlySeconds: > 0 } => "early cross-phase", _ => StudyTables.Word(RelativeDelay.Method) };
}
