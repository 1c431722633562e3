// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>One value on its way into a <see cref="CsvTable"/>. Text, numbers and truth values become cells by themselves; the default is an empty cell.</summary>
/// <remarks>The column decides how the value is written, see <see cref="CsvColumn"/>. Own convention; it needs no source.</remarks>
public readonly record struct CsvCell
{
    private CsvCell(CellKind kind, string? text = null, long integer = 0, double number = 0) => (Kind, Text, Integer, Number) = (kind, text, integer, number);

    internal enum CellKind
    {
        Empty,
        Text,
        Integer,
        Number,
        Boolean,
    }

    /// <summary>A cell without a value.</summary>
    public static CsvCell Empty => default;

    internal CellKind Kind { get; }

    internal string? Text { get; }

    internal long Integer { get; }

    internal double Number { get; }

    /// <summary>Text; null is an empty cell.</summary>
    public static implicit operator CsvCell(string? text) => text is null ? default : new(CellKind.Text, text: text);

    /// <summary>A whole number.</summary>
    public static implicit operator CsvCell(long integer) => new(CellKind.Integer, integer: integer, number: integer);

    /// <summary>A number in the unit of its column; null and NaN are an empty cell.</summary>
    public static implicit operator CsvCell(double? number) => number is not { } value || double.IsNaN(value) ? default : new(CellKind.Number, number: value);

    /// <summary>True or false; null is an empty cell.</summary>
    public static implicit operator CsvCell(bool? truth) => truth is not { } value ? default : new(CellKind.Boolean, integer: value ? 1 : 0);
}
