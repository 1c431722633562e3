// SPDX-License-Identifier: MIT
using System.Globalization;
using CsvHelper;

namespace Sweepbook.Files;

/// <summary>A tidy table on its way to a CSV file: one row per fact, the columns named and typed beforehand.</summary>
/// <remarks>
/// The bytes depend on the values alone, not on the machine, its language or the clock: UTF-8 without byte order mark, lines end in LF, invariant culture.
/// Sources: RFC 4180 (2005) for quoting, with LF in place of CR LF; H. Wickham, "Tidy Data", J. Stat. Software 59 (2014), section 2.3.
/// </remarks>
/// <example>
/// <code>
/// var table = new CsvTable(CsvColumn.Text("source"), CsvColumn.Hertz("frequency_hz"), CsvColumn.Decibels("level_db"));
/// table.Add("sub-left", 31.5, -3.2);   // sub-left,31.5000,-3.200
/// </code>
/// </example>
public sealed class CsvTable
{
    private readonly CsvColumn[] _columns;
    private readonly List<string[]> _rows = [];

    /// <summary>An empty table.</summary>
    /// <param name="columns">At least one column; names differ.</param>
    /// <exception cref="ArgumentException">There is no column, or two have one name.</exception>
    public CsvTable(params IReadOnlyList<CsvColumn> columns)
    {
        ArgumentNullException.ThrowIfNull(columns);
        if (columns.Count == 0) throw new ArgumentException("Got 0 columns; at least 1 is needed.", nameof(columns));
        if (columns.GroupBy(column => column.Name).FirstOrDefault(group => group.Count() > 1) is { } twice)
            throw new ArgumentException($"The column \"{twice.Key}\" is named twice; names must differ.", nameof(columns));
        _columns = [.. columns];
    }

    /// <summary>Number of rows, the head not counted.</summary>
    public int Count => _rows.Count;

    internal IReadOnlyList<CsvColumn> Columns => _columns;

    /// <summary>The rows as they are written.</summary>
    internal IReadOnlyList<string[]> Rows => _rows;

    /// <summary>Appends a row.</summary>
    /// <param name="cells">One value per column, in their order.</param>
    /// <exception cref="ArgumentException">The number of values differs from that of the columns, or a column does not take its value.</exception>
    public void Add(params ReadOnlySpan<CsvCell> cells)
    {
        if (cells.Length != _columns.Length)
            throw new ArgumentException($"Got {cells.Length} values for {_columns.Length} columns; the numbers must be equal.", nameof(cells));
        var row = new string[cells.Length];
        for (var k = 0; k < row.Length; k++) row[k] = _columns[k].Write(cells[k]);
        _rows.Add(row);
    }

    /// <summary>Writes the table to a stream, which stays open.</summary>
    /// <param name="stream">Where the bytes go.</param>
    public void Write(Stream stream)
    {
        var options = new CsvWriterOptions
        {
            NewLine = "\n",
            Quoting = CsvQuoting.WhenNeededOrWhitespace,
            Injection = CsvInjection.None,   // protecting a cell would alter it
            FormatProvider = CultureInfo.InvariantCulture,
        };
        using var csv = CsvWriter.Create(stream, options, leaveOpen: true);
        foreach (var column in _columns) csv.WriteField(column.Name);
        csv.EndRecord();
        foreach (var row in _rows)
        {
            foreach (var cell in row) csv.WriteField(cell);
            csv.EndRecord();
        }
    }

    /// <summary>Writes the table to a file, in the place of an older one if there is one, whole or not at all.</summary>
    /// <param name="path">Where it goes; missing folders are made.</param>
    /// <exception cref="DataFault">The system refuses; the old file is whole.</exception>
    public void Write(string path) => AtomicFile.Write(path, Write);
}
