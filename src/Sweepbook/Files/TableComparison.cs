// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Files;

/// <summary>How far a table that was written once agrees with the same table computed again.</summary>
internal enum TableAgreement
{
    /// <summary>Every cell has the same text.</summary>
    Equal,

    /// <summary>Numbers differ by no more than one step of their last printed digit; all else is the same.</summary>
    Agrees,

    /// <summary>Something differs by more, or a row or a column is only in one of the two.</summary>
    Differs,
}

/// <summary>One cell that is not the same in both tables.</summary>
/// <param name="Row">What the row is about, from its keys.</param>
/// <param name="Column">The column.</param>
/// <param name="Was">The text that was written; empty where there was none.</param>
/// <param name="Is">The text now.</param>
/// <param name="Difference">By how much they differ, in the unit of the column; NaN where one of them is no number.</param>
/// <param name="Steps">The same in steps of the last printed digit; 0 where one of them is no number.</param>
/// <param name="Unit">The unit as it is written, or empty.</param>
internal readonly record struct CellDifference(string Row, string Column, string Was, string Is, double Difference, double Steps, string Unit);

/// <summary>Compares a table on disk with the same table computed again: rows are found by their keys, numbers compared as numbers, text as text.</summary>
/// <remarks>
/// The order of the rows does not matter, unless several have the same keys: these are compared in their order. A number agrees where it is at most one step of its last
/// printed digit off, or less than a billionth of the largest number of its column (a value that should be zero is made of rounding alone). Angles that a whole turn parts are
/// equal. Rows whose keys are numbers are found where those agree in the same sense. Misleads where a table without a key of its own lost a row in its middle: the rows
/// behind it then seem to have changed. Own definition; it needs no source.
/// </remarks>
internal sealed class TableComparison
{
    private const int Kept = 3;
    private const double OneStep = 1.0001;        // decimal fractions are not exact in binary
    private const double RoundingRatio = 1e-9;    // of the largest number in the column: sums of 10⁵ rounded terms stay far below
    private const double TurnDegrees = 360;

    private readonly PriorityQueue<CellDifference, double> _worst = new();

    private TableComparison()
    {
    }

    /// <summary>The three numbers that differ most, in steps of their last printed digit, the worst first; then other cells.</summary>
    public IReadOnlyList<CellDifference> Worst { get; private set; } = [];

    /// <summary>The number that is farthest off among those that agree; null where all agree to the last digit.</summary>
    public CellDifference? LargestThatAgrees { get; private set; }

    /// <summary>How many cells differ by more than agreement allows.</summary>
    public int DifferentCells { get; private set; }

    /// <summary>The rows that are no longer computed, by their keys.</summary>
    public IReadOnlyList<string> MissingRows { get; private set; } = [];

    /// <summary>The rows that were not there, by their keys.</summary>
    public IReadOnlyList<string> AddedRows { get; private set; } = [];

    /// <summary>The columns that are no longer written.</summary>
    public IReadOnlyList<string> MissingColumns { get; private set; } = [];

    /// <summary>The columns that were not there.</summary>
    public IReadOnlyList<string> AddedColumns { get; private set; } = [];

    /// <summary>The verdict.</summary>
    public TableAgreement Agreement =>
        DifferentCells + MissingRows.Count + AddedRows.Count + MissingColumns.Count + AddedColumns.Count > 0 ? TableAgreement.Differs
        : LargestThatAgrees is null ? TableAgreement.Equal : TableAgreement.Agrees;

    /// <summary>Compares.</summary>
    /// <param name="was">The table as it was written.</param>
    /// <param name="now">The table as it is computed now.</param>
    /// <param name="keys">Columns of <paramref name="now"/> that say what a row is about.</param>
    /// <exception cref="ArgumentException">A key is no column of the table.</exception>
    public static TableComparison Of(CsvContents was, CsvTable now, IReadOnlyList<string> keys)
    {
        var names = now.Columns.Select(column => column.Name).ToList();
        if (keys.FirstOrDefault(key => !names.Contains(key)) is { } stranger) throw new ArgumentException($"The table has no column \"{stranger}\".", nameof(keys));
        var comparison = new TableComparison { MissingColumns = [.. was.Names.Except(names)], AddedColumns = [.. names.Except(was.Names)] };
        var places = was.Names.ToList();
        var shared = now.Columns.Index().Select(entry => new Shared(entry.Item, places.IndexOf(entry.Item.Name), entry.Index)).Where(column => column.Was >= 0).ToArray();
        foreach (var column in shared.Where(column => column.Kind.LastDigitOf is not null))
            column.RoundingOf = RoundingRatio * was.Rows.Select(row => Number(row[column.Was]) is var number && double.IsFinite(number) ? Math.Abs(number) : 0).DefaultIfEmpty().Max();
        var pairs = new RowPairs(was.Rows, now.Rows, [.. shared.Where(column => keys.Contains(column.Kind.Name))]);
        foreach (var (old, fresh) in pairs.Both)
            foreach (var column in shared)
                if (old[column.Was] != fresh[column.Is]) comparison.Add(pairs.NameOf(fresh), names.IndexOf("unit") is var unit && unit >= 0 && column.Kind.Name == "value" ? fresh[unit] : UnitOf(column.Kind.Name), column, old[column.Was], fresh[column.Is]);
        comparison.MissingRows = pairs.Missing;
        comparison.AddedRows = pairs.Added;
        var worst = new List<CellDifference>();
        while (comparison._worst.TryDequeue(out var difference, out _)) worst.Insert(0, difference);
        comparison.Worst = worst;
        return comparison;
    }

    private void Add(string row, string unit, Shared column, string was, string now)
    {
        var (difference, steps, agrees) = column.Compare(was, now);
        var cell = new CellDifference(row, column.Kind.Name, was, now, difference, steps, unit);
        if (agrees)
        {
            if (LargestThatAgrees is not { } largest || steps > largest.Steps) LargestThatAgrees = cell;
            return;
        }
        DifferentCells++;
        _worst.Enqueue(cell, steps - 1e-9 * DifferentCells / (1.0 + DifferentCells));   // the first of equals is kept
        if (_worst.Count > Kept) _worst.Dequeue();
    }

    internal static double Number(string text) =>
        double.TryParse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowDecimalPoint | NumberStyles.AllowExponent, CultureInfo.InvariantCulture, out var number) ? number : double.NaN;

    /// <summary>The unit in the name of a column as it is written beside a number.</summary>
    internal static string UnitOf(string column) => column[(column.LastIndexOf('_') + 1)..] switch
    {
        _ when !column.Contains('_', StringComparison.Ordinal) => "",
        "hz" => "Hz",
        "db" => "dB",
        "dbfs" => "dBFS",
        "ms" => "ms",
        "mm" => "mm",
        "s" => "s",
        "m" => "m",
        "deg" => "°",
        "percent" => "%",
        "permille" => "‰",
        "ppm" => "ppm",
        _ => "",
    };

    /// <summary>A column that both tables have.</summary>
    internal sealed record Shared(CsvColumn Kind, int Was, int Is)
    {
        /// <summary>What rounding alone may change in the column.</summary>
        public double RoundingOf { get; set; }

        public (double Difference, double Steps, bool Agrees) Compare(string was, string now)
        {
            if (was == now) return (0, 0, true);
            var (one, other) = (Number(was), Number(now));
            if (Kind.LastDigitOf is not { } lastDigitOf || !double.IsFinite(one) || !double.IsFinite(other)) return (double.NaN, 0, false);
            var difference = Math.Abs(one - other);
            if (UnitOf(Kind.Name) == "°") difference = Math.Min(difference, Math.Abs(TurnDegrees - difference));
            var step = Math.Max(lastDigitOf(one), lastDigitOf(other));
            return (difference, step > 0 ? difference / step : difference, difference <= Math.Max(step * OneStep, RoundingOf));
        }
    }
}
