// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The slowest resonance of each source, as a sentence, and all of them as a table.</summary>
internal static class SlowPeakFindings
{
    private const double SameOctaves = 1 / 24.0;   // own choice: a resonance found at two seats this close together is the same one

    /// <summary>One finding per source, setting and microphone (of those that took turns at one place the reference) in which a resonance stands out without a doubt: the slowest over all its seats.</summary>
    internal static IEnumerable<Finding> Of(Study study)
    {
        foreach (var group in study.ResponsesOfOneMicrophone.Where(result => result.Seat.Length > 0).GroupBy(result => (result.Source, result.Setting, result.Microphone)))
        {
            if (group.Where(seat => seat.SlowPeaks is [{ SureDecaySeconds: > 0 }, ..]).MaxBy(seat => seat.SlowPeaks[0].SureDecaySeconds) is not { } result) continue;
            var peak = result.SlowPeaks[0];
            var seats = group.Select(seat => seat.Seat).Distinct().Count();
            var shared = group.Where(seat => seat.SlowPeaks.Any(other => Math.Abs(Math.Log2(other.FrequencyHz / peak.FrequencyHz)) <= SameOctaves)).Select(seat => seat.Seat).Distinct().Count();
            var name = group.Key.Setting == Setting.AsFoundId ? group.Key.Source : $"{group.Key.Source}, {group.Key.Setting}";
            var around = double.IsNaN(peak.AroundSeconds) ? "" : FormattableString.Invariant($"; what lies around it takes {peak.AroundSeconds:0.00} s");
            var where = seats == 1 ? "" : shared == 1 ? $" It stands out at this one of {seats} seats." : $" It stands out at {shared} of {seats} seats.";
            yield return new("slow-peak", Severity.Note, $"{group.Key.Source} at {result.Seat}", peak.DecaySeconds, "s", FormattableString.Invariant(
                $"{name} at {result.Seat}: {peak.FrequencyHz:0.0} Hz takes {peak.DecaySeconds:0.00} s (± {peak.DecaySdSeconds:0.00} s) to fall by 60 dB, the slowest of its bass{around}.{where}"));
        }
    }

    internal static CsvTable Table(Study study)
    {
        var table = new CsvTable(
            CsvColumn.Text("source"), CsvColumn.Text("setting"), CsvColumn.Text("seat"), CsvColumn.Text("microphone"), CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("level_db"),
            CsvColumn.Seconds("decay_s"), CsvColumn.Seconds("decay_sd_s"), CsvColumn.Decibels("range_db"), CsvColumn.Seconds("around_s"), CsvColumn.Text("reason"));
        foreach (var result in study.Responses)
            foreach (var peak in result.SlowPeaks)
                table.Add(result.Source, result.Setting, result.Seat, result.Microphone, peak.FrequencyHz, peak.LevelDb, peak.DecaySeconds, peak.DecaySdSeconds, peak.RangeDb,
                    peak.AroundSeconds, peak.Doubt.Sentence ?? "");
        return table;
    }
}
