// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Compares the responses of takes that differ in <c>drive_db</c> only: results, linearity.csv and one finding a pair.</summary>
internal static class LinearityStudy
{
    internal const string FileName = "linearity.csv";
    private const int Step = 8;                      // of the grid's 96 points per octave: twelve are enough for a third of an octave
    private const double ToldDb = 0.5;               // own choice: below it repeats of a careful session differ as much
    private const double MuchDb = 1;                 // design, "What may be believed": non-linearity

    internal static IReadOnlyList<LinearityResult> Of(ResponseAnalysis.Gathered[] all) =>
        [.. Enumerable.Range(0, all.Length).Where(n => all[n].Repeats[0].Result.Take.DriveDb is not null).GroupBy(n => LevelDependence.KeyWithoutDrive(all[n]))
            .SelectMany(drives => LevelDependence.Pairs([.. drives])).Select(pair => Compare(all[pair.One], all[pair.Other])).OfType<LinearityResult>()];

    private static LinearityResult? Compare(ResponseAnalysis.Gathered one, ResponseAnalysis.Gathered other)
    {
        var (softer, louder) = one.Repeats[0].Result.Take.DriveDb <= other.Repeats[0].Result.Take.DriveDb ? (one, other) : (other, one);
        var (softDb, loudDb, grid) = (LevelDependence.LevelsDb(softer), LevelDependence.LevelsDb(louder), softer.Grid);
        var kept = Enumerable.Range(0, grid.Count).Where(k => k % Step == 0).ToList();
        var medianDb = Median(kept.Select(k => loudDb[k] - softDb[k]));
        if (double.IsNaN(medianDb)) return null;
        var (softTake, loudTake) = (softer.Repeats[0].Result.Take, louder.Repeats[0].Result.Take);
        var askedDb = loudTake.DriveDb!.Value - softTake.DriveDb!.Value;
        var isInLoopback = loudTake.TimeZero == TimeZero.Loopback && Math.Abs(medianDb) < Math.Abs(medianDb - askedDb);
        var expectedDb = isInLoopback ? 0 : askedDb;
        return new(softTake, loudTake, [.. kept.Select(k => new LinearityPoint(grid[k], loudDb[k] - softDb[k], expectedDb - (loudDb[k] - softDb[k]), medianDb - (loudDb[k] - softDb[k])))], isInLoopback, expectedDb - medianDb);
    }

    private static double Median(IEnumerable<double> values)
    {
        var sorted = values.Where(double.IsFinite).Order().ToArray();
        return sorted.Length == 0 ? double.NaN : sorted[sorted.Length / 2];
    }

    internal static CsvTable? Table(Study study)
    {
        if (study.Linearity.Count == 0) return null;
        var table = new CsvTable(
            [.. StudyTables.Keys, .. StudyTables.Circumstances.Where(column => column.Name != "drive_db"), CsvColumn.Decibels("softer_drive_db"), CsvColumn.Decibels("louder_drive_db"), CsvColumn.Boolean("drive_in_loopback"),
            CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("change_db"), CsvColumn.Decibels("compression_db"), CsvColumn.Decibels("shape_db"), CsvColumn.Boolean("trusted"), CsvColumn.Text("reason")]);
        foreach (var (result, take) in study.Linearity.Select(result => (result, result.Softer)))
            foreach (var point in result.Points)
                table.Add(take.SourceName, take.Setting, take.Seat, take.Microphone, take.Stimulus ?? "", StudyTables.Word(take.Field), take.DistanceMm, take.AngleDeg, take.InputGainDb, take.DriveDb, result.Louder.DriveDb,
                    result.IsDriveInLoopback, point.FrequencyHz, point.ChangeDb, point.CompressionDb, point.ShapeDb, double.IsFinite(point.ChangeDb), double.IsFinite(point.ChangeDb) ? "" : "one of the two does not stand 20 dB above its noise here, or is limited otherwise");
        return table;
    }

    internal static IEnumerable<Finding> Findings(Study study)
    {
        foreach (var result in study.Linearity)
        {
            var known = result.Points.Where(point => double.IsFinite(point.ShapeDb)).ToList();
            var worst = known.MaxBy(point => Math.Abs(point.ShapeDb));
            var name = result.Softer.Seat.Length == 0 ? result.Softer.SourceName : $"{result.Softer.SourceName} at {result.Softer.Seat}";
            var drives = $"{DistortionFindings.Signed(result.Softer.DriveDb!.Value)} and {DistortionFindings.Signed(result.Louder.DriveDb!.Value)} dB";
            var sentence = Math.Abs(worst.ShapeDb) < ToldDb
                ? FormattableString.Invariant($"Between drives of {drives} the response of {name} keeps its shape within {Math.Abs(worst.ShapeDb):0.0} dB from {TakeLimits.Hertz(known[0].FrequencyHz)} to {TakeLimits.Hertz(known[^1].FrequencyHz)}.")
                : FormattableString.Invariant($"Between drives of {drives} {name} {(worst.ShapeDb > 0 ? "compresses" : "gains")} by {Math.Abs(worst.ShapeDb):0.0} dB at {TakeLimits.Hertz(worst.FrequencyHz)} against the rest of its band.");
            if (Math.Abs(result.MedianCompressionDb) >= ToldDb)
                sentence += string.Create(CultureInfo.InvariantCulture, $" As a whole it gives {Math.Abs(result.MedianCompressionDb):0.0} dB {(result.MedianCompressionDb > 0 ? "less" : "more")} than the drives ask for: either the source does, or they are not as stated.");
            yield return new("linearity", Math.Abs(worst.ShapeDb) > MuchDb ? Severity.Caution : Severity.Note, name, worst.ShapeDb, "dB", sentence);
        }
    }
}
