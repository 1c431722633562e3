// SPDX-License-Identifier: MIT
using Deedle;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

/// <summary>The results of a study as frames: the columns are those of the CSV tables that matter when reading.</summary>
/// <remarks>For further work in a cell; the files hold more columns and all digits. Missing values are missing, not zero. Own convention.</remarks>
public static partial class Tables
{
    /// <summary>One row per take: what it is, when the sound arrived, how loud and how clean it was, whether it was used.</summary>
    /// <param name="study">The study.</param>
    /// <returns>Numbered rows in the order of the survey; NaN where a value is not known.</returns>
    public static Frame<int, string> Takes(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return Of(study.Takes.Count,
            Column("take", study.Takes.Select(result => result.Take.File)),
            Column("time zero", study.Takes.Select(result => result.TimeZero.ToString().ToLowerInvariant())),
            Column("arrival (ms)", study.Takes.Select(result => Rounded(result.Arrival?.Seconds * 1000, 3))),
            Column("distance (m)", study.Takes.Select(result => Rounded(result.DistanceMetres, 2))),
            Column("peak (dBFS)", study.Takes.Select(result => Rounded(result.PeakDbfs, 1))),
            Column("SNR (dB)", study.Takes.Select(result => Rounded(result.SnrDb, 1))),
            Column("from (Hz)", study.Takes.Select(result => Rounded(result.LevelBand.FromHz, 1))),
            Column("to (Hz)", study.Takes.Select(result => Rounded(result.LevelBand.ToHz, 0))),
            Column("used", study.Takes.Select(result => result.IsUsed)));
    }

    /// <summary>One row per response and frequency: level, phase, signal over noise and whether to believe them.</summary>
    /// <param name="study">The study.</param>
    /// <returns>Numbered rows: 96 per octave, source and seat.</returns>
    public static Frame<int, string> Responses(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var rows = study.Responses.SelectMany(result => result.Response.Points().Select(point => (Result: result, Point: point))).ToArray();
        return Of(rows.Length,
            Column("source", rows.Select(row => row.Result.Source)),
            Column("setting", rows.Select(row => row.Result.Setting)),
            Column("seat", rows.Select(row => row.Result.Seat)),
            Column("frequency (Hz)", rows.Select(row => row.Point.FrequencyHz)),
            Column("level (dB)", rows.Select(row => row.Point.LevelDb)),
            Column("0 dB is", rows.Select(row => row.Result.Response.LevelReference)),
            Column("phase (°)", rows.Select(row => row.Result.ImpulseResponse.TimeZero == Trust.TimeZero.Unknown ? double.NaN : row.Point.PhaseDegrees)),
            Column("SNR (dB)", rows.Select(row => row.Point.SnrDb)),
            Column("level trusted", rows.Select(row => row.Point.TrustedLevel)),
            Column("phase trusted", rows.Select(row => row.Point.TrustedPhase)));
    }

    /// <summary>One row per finding, the five of the first screen first.</summary>
    /// <param name="study">The study.</param>
    /// <returns>Numbered rows.</returns>
    public static Frame<int, string> Findings(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return Of(study.Findings.Count,
            Column("subject", study.Findings.Select(finding => finding.Subject)),
            Column("severity", study.Findings.Select(finding => finding.Severity.ToString().ToLowerInvariant())),
            Column("value", study.Findings.Select(finding => finding.Value)),
            Column("unit", study.Findings.Select(finding => finding.Unit)),
            Column("sentence", study.Findings.Select(finding => finding.Sentence)));
    }

    private static double Rounded(double? value, int digits) => value is { } number ? Math.Round(number, digits) : double.NaN;

    private static (string Name, Func<int[], ISeries<int>> Values) Column<T>(string name, IEnumerable<T> values) =>
        (name, keys => new Series<int, T>(keys, values));

    private static Frame<int, string> Of(int count, params ReadOnlySpan<(string Name, Func<int[], ISeries<int>> Values)> columns)
    {
        var keys = Enumerable.Range(0, count).ToArray();
        var frame = Frame.CreateEmpty<int, string>();
        foreach (var (name, values) in columns) frame.AddColumn(name, values(keys));
        return frame;
    }
}
