// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.RegularExpressions;

namespace Sweepbook.Files;

/// <summary>A column of a <see cref="CsvTable"/>: its name with its unit, and how many digits its unit deserves.</summary>
/// <remarks>
/// Names are lower case with underscores; a unit stands at the end (<c>level_db</c>, <c>trusted_from_hz</c>). Numbers are rounded to the nearest decimal,
/// halves away from zero, and never have an exponent; zero has no sign. NaN and null are empty; infinite values are <c>inf</c> and <c>-inf</c>, the
/// level of a ratio of zero for instance. Misleads where the digits are read as accuracy: they are only room for it. Own convention; it needs no source.
/// </remarks>
public sealed partial class CsvColumn
{
    private const int Significant = 6;
    private readonly Func<CsvCell, string?> _write;
    private readonly string _takes;

    private CsvColumn(string name, string[] units, string takes, Func<CsvCell, string?> write, Func<double, double>? lastDigitOf = null)
    {
        ArgumentNullException.ThrowIfNull(name);
        if (!NamePattern().IsMatch(name))
            throw new ArgumentException($"The column name \"{name}\" must be lower-case letters and digits joined by single underscores.", nameof(name));
        if (units.Length > 0 && !units.Any(unit => name.EndsWith("_" + unit, StringComparison.Ordinal)))
            throw new ArgumentException($"The column name \"{name}\" must end in its unit: _{string.Join(" or _", units)}.", nameof(name));
        (Name, _takes, _write, LastDigitOf) = (name, takes, write, lastDigitOf);
    }

    /// <summary>The name with its unit.</summary>
    public string Name { get; }

    /// <summary>What one step of the last printed digit is worth, for a number of the column; null where the column holds no numbers.</summary>
    internal Func<double, double>? LastDigitOf { get; }

    /// <summary>Text, as it is. A cell that begins with =, +, - or @ is not altered: whoever opens it in a spreadsheet should import it as text.</summary>
    /// <param name="name">Column name, for example <c>seat</c>.</param>
    public static CsvColumn Text(string name) => new(name, [], "text", cell => cell.Kind == CsvCell.CellKind.Text ? cell.Text : null);

    /// <summary>Whole numbers.</summary>
    /// <param name="name">Column name, for example <c>seats</c>.</param>
    public static CsvColumn Integer(string name) => new(name, [], "a whole number",
        cell => cell.Kind == CsvCell.CellKind.Integer ? cell.Integer.ToString(CultureInfo.InvariantCulture) : null, _ => 0);

    /// <summary><c>true</c> or <c>false</c>.</summary>
    /// <param name="name">Column name, for example <c>valid</c>.</param>
    public static CsvColumn Boolean(string name) => new(name, [], "true or false",
        cell => cell.Kind == CsvCell.CellKind.Boolean ? cell.Integer == 1 ? "true" : "false" : null);

    /// <summary>Levels in decibels: 3 decimals.</summary>
    /// <param name="name">Column name that ends in <c>_db</c> or <c>_dbfs</c>.</param>
    public static CsvColumn Decibels(string name) => Fixed(name, 3, "db", "dbfs");

    /// <summary>Frequencies: 6 significant digits.</summary>
    /// <param name="name">Column name that ends in <c>_hz</c>.</param>
    public static CsvColumn Hertz(string name) => SixDigits(name, "hz");

    /// <summary>Times in seconds: 6 significant digits.</summary>
    /// <param name="name">Column name that ends in <c>_s</c>.</param>
    public static CsvColumn Seconds(string name) => SixDigits(name, "s");

    /// <summary>Times in milliseconds: 6 significant digits.</summary>
    /// <param name="name">Column name that ends in <c>_ms</c>.</param>
    public static CsvColumn Milliseconds(string name) => SixDigits(name, "ms");

    /// <summary>Lengths in metres: 3 decimals.</summary>
    /// <param name="name">Column name that ends in <c>_m</c>.</param>
    public static CsvColumn Metres(string name) => Fixed(name, 3, "m");

    /// <summary>Angles: 2 decimals.</summary>
    /// <param name="name">Column name that ends in <c>_deg</c>.</param>
    public static CsvColumn Degrees(string name) => Fixed(name, 2, "deg");

    /// <summary>Parts of a hundred: 3 decimals.</summary>
    /// <param name="name">Column name that ends in <c>_percent</c>.</param>
    public static CsvColumn Percent(string name) => Fixed(name, 3, "percent");

    /// <summary>Parts of a thousand: 3 decimals.</summary>
    /// <param name="name">Column name that ends in <c>_permille</c>.</param>
    public static CsvColumn Permille(string name) => Fixed(name, 3, "permille");

    /// <summary>Parts of a million: 3 decimals.</summary>
    /// <param name="name">Column name that ends in <c>_ppm</c>.</param>
    public static CsvColumn Ppm(string name) => Fixed(name, 3, "ppm");

    /// <summary>Numbers without a unit, or with their unit in another column: 6 significant digits.</summary>
    /// <param name="name">Column name, for example <c>q</c> or <c>value</c>.</param>
    public static CsvColumn Number(string name) => SixDigits(name);

    /// <summary>The cell as it stands in the file; empty for an empty cell.</summary>
    /// <exception cref="ArgumentException">The column does not take such a value.</exception>
    internal string Write(CsvCell cell) => cell.Kind == CsvCell.CellKind.Empty
        ? ""
        : _write(cell) ?? throw new ArgumentException($"The column \"{Name}\" takes {_takes}; got {cell.Kind.ToString().ToLowerInvariant()}.", nameof(cell));

    private static CsvColumn Fixed(string name, int decimals, params string[] units) => Numeric(name, units, x => Unsigned(x.ToString("F" + decimals, CultureInfo.InvariantCulture)), _ => Math.Pow(10, -decimals));

    private static CsvColumn SixDigits(string name, params string[] units) => Numeric(name, units, WithSixDigits, x => x == 0 ? 0 : Math.Pow(10, Math.Floor(Math.Log10(Math.Abs(x))) - Significant + 1));

    private static CsvColumn Numeric(string name, string[] units, Func<double, string> write, Func<double, double> lastDigitOf) => new(name, units, "a number", cell =>
        cell.Kind is not (CsvCell.CellKind.Number or CsvCell.CellKind.Integer) ? null
        : double.IsInfinity(cell.Number) ? cell.Number > 0 ? "inf" : "-inf"
        : write(cell.Number), lastDigitOf);

    private static string WithSixDigits(double x)
    {
        if (x == 0) return "0.00000";
        var rounded = x.ToString("E" + (Significant - 1), CultureInfo.InvariantCulture);   // d.dddddE±ddd
        var exponent = int.Parse(rounded.AsSpan(rounded.IndexOf('E') + 1), NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture);
        var sign = x < 0 ? "-" : "";
        var digits = rounded[sign.Length..rounded.IndexOf('E')].Replace(".", "", StringComparison.Ordinal);
        return sign + exponent switch
        {
            < 0 => "0." + new string('0', -exponent - 1) + digits,
            >= Significant - 1 => digits + new string('0', exponent - Significant + 1),
            _ => digits.Insert(exponent + 1, "."),
        };
    }

    private static string Unsigned(string written) =>
        written.StartsWith('-') && written.AsSpan(1).IndexOfAnyExcept('0', '.') < 0 ? written[1..] : written;

    [GeneratedRegex(@"^[a-z][a-z0-9]*(_[a-z0-9]+)*\z", RegexOptions.CultureInvariant)]
    private static partial Regex NamePattern();
}
