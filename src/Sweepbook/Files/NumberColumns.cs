// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>One line of numbers.</summary>
/// <param name="line">Line in the file, counted from 1.</param>
/// <param name="values">Its numbers, all finite.</param>
internal sealed class NumberRow(int line, double[] values)
{
    /// <summary>Line in the file, counted from 1.</summary>
    public int Line => line;

    /// <summary>How many numbers.</summary>
    public int Count => values.Length;

    /// <summary>Number <paramref name="k"/>, counted from 0.</summary>
    public double this[int k] => values[k];
}

/// <summary>One line that is no numbers: a heading, a serial number, a remark.</summary>
/// <param name="Line">Line in the file, counted from 1.</param>
/// <param name="Text">The line without blanks around it.</param>
internal readonly record struct NumberNote(int Line, string Text);

/// <summary>A text file with columns of numbers, such as a calibration: rows and notes with their lines, no meaning attached.</summary>
/// <remarks>
/// <para>A line whose first word is a number is a row; any other is a note. A # after a blank begins a remark in a row. Columns are separated by blanks, tabs,
/// semicolons or commas. All rows have equally many numbers.</para>
/// <para>A comma is a decimal comma when no number of the file has a point and some row has commas inside its numbers and blanks, tabs or semicolons
/// between them (<c>20,5; 1,2</c>). It separates columns when it has a blank beside it, when numbers have points (<c>20.5,1.2</c>), or when each row has one comma and
/// nothing else (<c>20,5</c> is 20 and 5). Whatever could be read in two ways is refused.</para>
/// <para>Misleads where a program grouped thousands with commas in every row alike; the numbers of columns then usually differ, which is refused. Own convention.</para>
/// </remarks>
internal sealed class NumberColumns
{
    private NumberColumns(string file, IReadOnlyList<NumberRow> rows, IReadOnlyList<NumberNote> notes) => (File, Rows, Notes) = (file, rows, notes);

    /// <summary>The file as the user knows it.</summary>
    public string File { get; }

    /// <summary>The rows in their order; may be empty. All have the same count.</summary>
    public IReadOnlyList<NumberRow> Rows { get; }

    /// <summary>The notes in their order; empty lines are not among them.</summary>
    public IReadOnlyList<NumberNote> Notes { get; }

    /// <summary>Reads the file.</summary>
    /// <param name="path">Where it is.</param>
    /// <param name="shownAs">What the user calls it, for faults; the path where null.</param>
    /// <exception cref="DataFault">The file is missing, empty, too long or no text; a row has a word, NaN or an infinite number in it; commas are ambiguous; rows differ in length.</exception>
    public static NumberColumns Read(string path, string? shownAs = null) =>
        InputFile.Read(path, shownAs ?? path, stream => Read(stream, shownAs ?? path));

    /// <summary>Reads from an open, seekable stream.</summary>
    internal static NumberColumns Read(Stream stream, string file)
    {
        var (candidates, notes) = (new List<NumberLine>(), new List<NumberNote>());
        var number = 0;
        foreach (var text in NumberText.Lines(stream, file))
        {
            number++;
            var line = new NumberLine(number, text);
            if (line.IsEmpty) continue;
            if (line.IsRow(afterRows: candidates.Count > 0, file)) candidates.Add(line);
            else notes.Add(new(number, text.Trim()));
        }
        var comma = MeaningOfComma(candidates);
        var rows = new List<NumberRow>(candidates.Count);
        foreach (var line in candidates)
        {
            rows.Add(new(line.Number, line.Values(comma, file)));
            if (rows[^1].Count != rows[0].Count)
                throw new DataFault(file, line.Number, $"this row has {Numbers(rows[^1].Count)}, and the row in line {rows[0].Line} has {rows[0].Count}",
                    "Give every row the same columns.");
        }
        return new(file, rows, notes);
    }

    private static CommaMeaning MeaningOfComma(List<NumberLine> lines) =>
        !lines.Any(line => line.HasTightComma) ? CommaMeaning.SeparatesColumns
        : lines.Any(line => line.HasPoint) ? CommaMeaning.SeparatesColumnsBesidePoints
        : lines.Any(line => line.HasTightComma && line.HasHardSeparator) ? CommaMeaning.MarksDecimals
        : CommaMeaning.SeparatesTwoColumns;

    private static string Numbers(int count) => count == 1 ? "1 number" : $"{count} numbers";
}
