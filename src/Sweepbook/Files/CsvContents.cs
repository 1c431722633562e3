// SPDX-License-Identifier: MIT
using CsvHelper;

namespace Sweepbook.Files;

/// <summary>A CSV file as it stands: the names of its columns and its rows as text.</summary>
/// <remarks>Source: RFC 4180 (2005); LF and CR LF end a line alike. Nothing is converted, so that what was written can be compared with what would be written.</remarks>
internal sealed class CsvContents
{
    private CsvContents(string[] names, List<string[]> rows) => (Names, Rows) = (names, rows);

    /// <summary>The names of the columns, in their order.</summary>
    public IReadOnlyList<string> Names { get; }

    /// <summary>One text a column in each row; the head is none of them.</summary>
    public IReadOnlyList<string[]> Rows { get; }

    /// <summary>Reads a table.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">What the user calls it.</param>
    /// <exception cref="DataFault">The file is missing or empty, no table, or a row has more or fewer cells than the head.</exception>
    public static CsvContents Read(string path, string shownAs) => InputFile.Read(path, shownAs, stream =>
    {
        string[]? names = null;
        var rows = new List<string[]>();
        var pool = new Dictionary<string, string>(StringComparer.Ordinal);   // keys and reasons stand in thousands of rows
        try
        {
            using var csv = CsvReader.Create(stream, new CsvReaderOptions { HasHeader = false, FieldCountMismatch = CsvFieldCountHandling.Allow, TrackLineNumbers = true }, leaveOpen: true);
            while (csv.Read())
            {
                var row = new string[csv.FieldCount];
                for (var k = 0; k < row.Length; k++)
                {
                    var text = csv.GetString(k);
                    if (!pool.TryGetValue(text, out var known)) pool.Add(text, known = text);
                    row[k] = known;
                }
                if (names is not null && row.Length != names.Length)
                    throw new DataFault(shownAs, (int)csv.LineNumber, $"the row has {row.Length} cells, and the head has {names.Length}", Remedy);
                if (names is null) names = row;
                else rows.Add(row);
            }
        }
        catch (CsvFormatException broken)
        {
            throw new DataFault(shownAs, rows.Count + 2, $"this is no table ({broken.Message.Split('\n')[0].TrimEnd('.', '\r')})", Remedy, broken);
        }
        return new CsvContents(names ?? [], rows);
    });

    private const string Remedy = "Somebody may have saved it from another program; compute the results again to have it as it was.";
}
