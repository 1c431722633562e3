// SPDX-License-Identifier: MIT
using Sweepbook.Files;

namespace Sweepbook.Studies;

/// <summary>A response as rows of text: frequency, level in decibels and, where there is one, phase in degrees, followed from row to row.</summary>
/// <remarks>
/// Where all phases of a file lie within one turn they are taken as wrapped, and each step to the next row as the shorter way round. That is only known
/// while the true steps stay well below half a turn: a delay of τ seconds turns the phase by 360° · τ · Δf from one row to the next. Source: derived.
/// </remarks>
internal sealed class ResponseRows
{
    private const double HighestHz = 400_000;
    private const double LoudestDb = 400;
    private const double WrappedWithinDegrees = 360.5;
    private const double SafeStepDegrees = 150;      // of 180: what noise and rounding add stays on the right side
    private const double FollowedWithinDb = 40;      // below the highest level by more, the phase is that of noise and turns no matter
    private readonly double[] _frequenciesHz, _levelsDb, _phaseDegrees;

    private ResponseRows(string file, double[] frequenciesHz, double[] levelsDb, double[] phaseDegrees, IReadOnlyList<string> notes) =>
        (File, _frequenciesHz, _levelsDb, _phaseDegrees, Notes) = (file, frequenciesHz, levelsDb, phaseDegrees, notes);

    /// <summary>The file as the user knows it.</summary>
    internal string File { get; }

    /// <summary>Lines that are no numbers.</summary>
    internal IReadOnlyList<string> Notes { get; }

    internal bool HasPhase => _phaseDegrees.Length > 0;

    internal int Count => _frequenciesHz.Length;

    internal double LowestHz => _frequenciesHz[0];

    internal double HighestFrequencyHz => _frequenciesHz[^1];

    /// <summary>Smallest distance between two rows in hertz: what it is the inverse of is the longest time that the response can hold.</summary>
    internal double FinestStepHz => Enumerable.Range(1, Count - 1).Min(k => _frequenciesHz[k] - _frequenciesHz[k - 1]);

    /// <summary>Where the phase cannot be followed, and by how much it steps there; null where it can, or where there is none.</summary>
    internal (double FrequencyHz, double StepDegrees, double StepHz)? Unfollowed { get; private init; }

    /// <summary>Reads a file.</summary>
    /// <exception cref="DataFault">Not two or three columns, frequencies that do not rise, fewer than two rows, or a number that no response has.</exception>
    internal static ResponseRows Read(string path, string? shownAs = null)
    {
        var columns = NumberColumns.Read(path, shownAs);
        var file = columns.File;
        if (columns.Rows.Count > 0 && columns.Rows[0].Count is not (2 or 3))
            throw new DataFault(file, columns.Rows[0].Line, $"the rows have {columns.Rows[0].Count} numbers", "A response has two or three columns: frequency in hertz, level in decibels, and phase in degrees where it is known.");
        var rows = columns.Rows.Where(row => row[0] != 0).ToList();   // a row at 0 Hz has no place on a logarithmic axis
        if (rows.Count < 2) throw new DataFault(file, null, rows.Count == 1 ? "it has only one row" : "it has no rows of numbers", "A response has at least two rows of frequency, level and, where it is known, phase.");
        for (var k = 0; k < rows.Count; k++)
        {
            if (!(rows[k][0] > 0 && rows[k][0] <= HighestHz)) throw new DataFault(file, rows[k].Line, FormattableString.Invariant($"{rows[k][0]} is no frequency"), FormattableString.Invariant($"The first column holds hertz, above 0 and up to {HighestHz}."));
            if (k > 0 && rows[k][0] <= rows[k - 1][0])
                throw new DataFault(file, rows[k].Line, FormattableString.Invariant($"the frequency {rows[k][0]} Hz does not rise above the {rows[k - 1][0]} Hz of the row before"), "Sort the rows by rising frequency, each once.");
            if (Math.Abs(rows[k][1]) > LoudestDb) throw new DataFault(file, rows[k].Line, FormattableString.Invariant($"{rows[k][1]} is no level in decibels"), "The second column holds decibels, not linear values.");
        }
        var levels = rows.Select(row => row[1]).ToArray();
        var frequencies = rows.Select(row => row[0]).ToArray();
        var phase = rows[0].Count == 3 ? rows.Select(row => row[2]).ToArray() : [];
        var unfollowed = Follow(frequencies, levels, phase);
        return new(file, frequencies, levels, phase, [.. columns.Notes.Select(note => note.Text)]) { Unfollowed = unfollowed };
    }

    /// <summary>Level in decibels, on straight lines over log frequency; held beyond the rows.</summary>
    internal double LevelDbAt(double frequencyHz) => Between(frequencyHz, _levelsDb, logarithmic: true);

    /// <summary>Phase in degrees, on straight lines over frequency, as a delay has it; beyond the rows the nearest line goes on.</summary>
    internal double PhaseDegreesAt(double frequencyHz) => Between(frequencyHz, _phaseDegrees, logarithmic: false);

    private double Between(double frequencyHz, double[] values, bool logarithmic)
    {
        var k = Array.BinarySearch(_frequenciesHz, frequencyHz);
        if (k >= 0) return values[k];
        k = Math.Clamp(~k, 1, Count - 1);
        var (low, high) = (_frequenciesHz[k - 1], _frequenciesHz[k]);
        var part = logarithmic ? Math.Clamp(Math.Log(frequencyHz / low) / Math.Log(high / low), 0, 1) : (frequencyHz - low) / (high - low);
        return values[k - 1] + part * (values[k] - values[k - 1]);
    }

    private static (double, double, double)? Follow(double[] frequencies, double[] levels, double[] phase)
    {
        if (phase.Length == 0 || phase.Max() - phase.Min() > WrappedWithinDegrees) return null;   // more than one turn: somebody has followed it already
        (double, double, double)? worst = null;
        var (widest, loud) = (SafeStepDegrees, levels.Max() - FollowedWithinDb);
        for (var k = 1; k < phase.Length; k++)
        {
            var step = Math.IEEERemainder(phase[k] - phase[k - 1], 360);
            phase[k] = phase[k - 1] + step;
            if (Math.Abs(step) <= widest || levels[k] < loud || levels[k - 1] < loud) continue;
            (widest, worst) = (Math.Abs(step), (frequencies[k], step, frequencies[k] - frequencies[k - 1]));
        }
        return worst;
    }
}
