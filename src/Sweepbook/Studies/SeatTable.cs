// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Studies;

/// <summary>
/// <c>seats.csv</c>: one row per set of seats and frequency, from the lowest to the highest frequency that every seat can be trusted at. Rows in between
/// that are not trusted keep their place, so that a line drawn through the table is broken there: trusted false, numbers empty, the reason beside.
/// The spread is divided by the sum of the seats' weights, which is their number where none is stated; <c>complex_mean_db</c> is empty where the seats may not be added.
/// </summary>
internal static class SeatTable
{
    internal const string FileName = "seats.csv";

    internal static CsvTable Of(Study study)
    {
        var table = new CsvTable(CsvColumn.Text("source"), CsvColumn.Text("setting"), CsvColumn.Text("microphone"), CsvColumn.Text("stimulus"), CsvColumn.Decibels("drive_db"),
            CsvColumn.Decibels("input_gain_db"), CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("power_mean_db"), CsvColumn.Decibels("level_mean_db"),
            CsvColumn.Decibels("complex_mean_db"), CsvColumn.Text("level_reference"), CsvColumn.Decibels("spread_db"), CsvColumn.Boolean("spread_is_lower_bound"), CsvColumn.Decibels("min_db"),
            CsvColumn.Decibels("max_db"), CsvColumn.Integer("seats"), CsvColumn.Boolean("trusted"), CsvColumn.Text("reason"));
        foreach (var result in study.SeatResults())
        {
            var (seats, take) = (result.Seats, result.FirstTake);
            var sum = seats.WhyNoComplexMean is null ? seats.ComplexMean() : null;
            var points = seats.Points().ToList();
            var (first, last) = (points.FindIndex(point => point.IsTrusted), points.FindLastIndex(point => point.IsTrusted));
            if (first < 0) continue;
            for (var k = first; k <= last; k++)
            {
                var point = points[k];
                CsvCell complexDb = sum is null || double.IsNaN(sum[k].Real) ? CsvCell.Empty : Quantities.Decibels.FromAmplitude(sum[k].Magnitude);
                table.Add(result.Source, result.Setting, result.Microphone, take.Stimulus ?? "", take.DriveDb, take.InputGainDb, point.FrequencyHz,
                    point.PowerMeanDb, point.LevelMeanDb, complexDb, seats.Seats[0].Response.LevelReference, point.SpreadDb, point.IsTrusted ? point.IsLowerBound : CsvCell.Empty,
                    point.LowestDb, point.HighestDb, seats.Seats.Count, point.IsTrusted, point.Reason.Sentence);
            }
        }
        return table;
    }
}
