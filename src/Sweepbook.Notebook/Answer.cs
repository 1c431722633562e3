// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Notebook;

/// <summary>The number that a student gives to an exercise; its default is no answer yet.</summary>
/// <remarks>A plain number becomes an answer by itself, so that a cell can say <c>Check(answer)</c>. It carries no unit: that is what the exercise asks about. Own convention.</remarks>
public readonly record struct Answer
{
    private readonly double? _number;

    private Answer(double? number) => _number = number;

    /// <summary>True where a number was given, infinity included; false for NaN, which stands in an exercise until it is answered.</summary>
    public bool IsGiven => _number is not null;

    internal double Number => _number ?? double.NaN;

    /// <summary>A number as an answer.</summary>
    /// <param name="number">Any number; NaN means that there is no answer yet.</param>
    public static implicit operator Answer(double number) => new(double.IsNaN(number) ? null : number);

    /// <summary>The number in the invariant culture, or that there is none yet.</summary>
    public override string ToString() => _number?.ToString("G6", CultureInfo.InvariantCulture) ?? "no answer yet";
}
