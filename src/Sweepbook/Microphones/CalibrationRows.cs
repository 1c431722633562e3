// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;

namespace Sweepbook.Microphones;

/// <summary>Turns the rows of a calibration file into rising points, refusing what cannot be meant.</summary>
/// <remarks>Own convention (design, calibration text); it needs no source.</remarks>
internal static class CalibrationRows
{
    /// <summary>Two rows at one frequency are merged up to this difference: it is the rounding of common files.</summary>
    internal const double MergedWithinDb = 0.1;

    private const double RoundingSlackDb = 1e-9;   // 0.3 − 0.2 is a little more than 0.1 in binary
    private const double HighestHz = 1e6;
    private const double LargestLevelDb = 200;
    private const double LargestPhaseDegrees = 1e6;

    internal static CalibrationPoint[] Points(NumberColumns table)
    {
        var (points, lines, sums, counts) = (new List<CalibrationPoint>(), new List<int>(), new List<double>(), new List<int>());
        foreach (var row in table.Rows)
        {
            var point = PointOf(row, table.File);
            if (point.FrequencyHz == 0) continue;   // no logarithm, and no sound
            var previous = points.Count > 0 ? points[^1].FrequencyHz : 0;
            if (point.FrequencyHz < previous)
                throw new DataFault(table.File, row.Line, Text($"the frequency falls from {previous} Hz (line {lines[^1]}) to {point.FrequencyHz} Hz"), "Sort the rows by rising frequency.");
            if (point.FrequencyHz > previous)
            {
                points.Add(point);
                lines.Add(row.Line);
                sums.Add(point.LevelDb);
                counts.Add(1);
                continue;
            }
            if (Math.Abs(point.LevelDb - points[^1].LevelDb) > MergedWithinDb + RoundingSlackDb)
                throw new DataFault(table.File, row.Line, Text($"{point.FrequencyHz} Hz is given twice, with {points[^1].LevelDb} dB (line {lines[^1]}) and {point.LevelDb} dB"), "Keep the right one.");
            sums[^1] += point.LevelDb;
            counts[^1]++;
        }
        if (points.Count < 2)
            throw new DataFault(table.File, null, $"the calibration has {points.Count} point{(points.Count == 1 ? "" : "s")}; at least two are needed", "Check that the file holds lines of frequency and level.");
        return Unwrapped([.. points.Select((point, k) => point with { LevelDb = sums[k] / counts[k] })]);
    }

    private static CalibrationPoint PointOf(NumberRow row, string file)
    {
        if (row.Count is < 2 or > 3)
            throw new DataFault(file, row.Line, $"the row has {row.Count} number{(row.Count == 1 ? "" : "s")}", "A calibration row is frequency in Hz, level in dB and, if there is one, phase in degrees.");
        var point = new CalibrationPoint(row[0], row[1], row.Count == 3 ? row[2] : double.NaN);
        var problem =
            !(point.FrequencyHz >= 0 && point.FrequencyHz <= HighestHz) ? Text($"the frequency must lie in [0, {HighestHz}] Hz, is {point.FrequencyHz}")
            : Math.Abs(point.LevelDb) > LargestLevelDb ? Text($"the level must lie in [-{LargestLevelDb}, {LargestLevelDb}] dB, is {point.LevelDb}")
            : Math.Abs(point.PhaseDegrees) > LargestPhaseDegrees ? Text($"the phase must lie within ±{LargestPhaseDegrees}°, is {point.PhaseDegrees}")
            : null;
        return problem is null ? point : throw new DataFault(file, row.Line, problem, "Correct the row, or export the file again.");
    }

    /// <summary>Adds whole turns so that no step exceeds half a turn: between two points the phase then runs the short way.</summary>
    private static CalibrationPoint[] Unwrapped(CalibrationPoint[] points)
    {
        for (var k = 1; k < points.Length; k++)
            points[k] = points[k] with { PhaseDegrees = points[k].PhaseDegrees - 360 * Math.Round((points[k].PhaseDegrees - points[k - 1].PhaseDegrees) / 360) };
        return points;
    }

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
