// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Sweepbook.Notebook.Pictures;

/// <summary>A colour with its opacity, read from the ways in which charts write it.</summary>
internal readonly record struct Ink(byte Red, byte Green, byte Blue, double OpacityRatio)
{
    public static Ink Black => new(0x20, 0x26, 0x2c, 1);

    public static Ink Grid => new(0xcd, 0xca, 0xc2, 1);

    public static Ink FaintGrid => new(0xeb, 0xe8, 0xe1, 1);

    public static Ink White => new(255, 255, 255, 1);

    public string Hex => $"#{Red:x2}{Green:x2}{Blue:x2}";

    public Ink Fainter(double ratio) => this with { OpacityRatio = OpacityRatio * ratio };

    /// <summary>Reads #rrggbb, #rrggbbaa and rgba(r, g, b, a); anything else is the colour of the text.</summary>
    public static Ink Read(string? text)
    {
        if (text is { Length: 7 or 9 } && text[0] == '#' && uint.TryParse(text.AsSpan(1), NumberStyles.HexNumber, CultureInfo.InvariantCulture, out var number))
        {
            if (text.Length == 7) number = (number << 8) | 0xff;
            return new((byte)(number >> 24), (byte)(number >> 16), (byte)(number >> 8), (byte)number / 255.0);
        }
        if (text?.StartsWith("rgba(", StringComparison.Ordinal) == true && text.EndsWith(')'))
        {
            var parts = text[5..^1].Split(',').Select(part => double.Parse(part, CultureInfo.InvariantCulture)).ToArray();
            return new((byte)parts[0], (byte)parts[1], (byte)parts[2], parts[3]);
        }
        return Black;
    }

    /// <summary>Between two colours; 0 gives this one.</summary>
    public Ink Towards(Ink other, double ratio) =>
        new(Between(Red, other.Red, ratio), Between(Green, other.Green, ratio), Between(Blue, other.Blue, ratio), OpacityRatio);

    private static byte Between(byte from, byte to, double ratio) => (byte)Math.Round(from + (to - from) * ratio);
}

/// <summary>How a line is drawn: colour, width in pixels, and the lengths of dashes and gaps in pixels.</summary>
internal readonly record struct Pen(Ink Ink, double Width, IReadOnlyList<double>? Dashes = null)
{
    /// <summary>The lengths of a pattern by its name in the chart; they grow with the width of the line.</summary>
    public static IReadOnlyList<double>? Pattern(string? dash, double width)
    {
        var unit = Math.Max(1, width) / 2;
        double[]? lengths = dash switch { "dash" => [9, 6], "dot" => [2, 4], "dashdot" => [9, 4, 2, 4], "longdash" => [16, 6], _ => null };
        return lengths is null ? null : [.. lengths.Select(length => length * unit)];
    }
}

/// <summary>Where a text hangs on its point.</summary>
internal enum Hold
{
    Left,
    Middle,
    Right,
}

/// <summary>A place on the picture, in pixels to the right and down.</summary>
internal readonly record struct Dot(double X, double Y);

/// <summary>A rectangle on the picture, in pixels.</summary>
internal readonly record struct Frame(double X, double Y, double Width, double Height)
{
    public double Right => X + Width;

    public double Bottom => Y + Height;
}
