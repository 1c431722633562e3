// SPDX-License-Identifier: MIT
using SkiaSharp;
using Sweepbook.Files;

namespace Sweepbook.Notebook.Pictures;

/// <summary>A drawing in pixels, several of which may make one of the page's.</summary>
internal sealed class PngCanvas : PictureCanvas, IDisposable
{
    private readonly SKBitmap _bitmap;
    private readonly SKCanvas _canvas;
    private readonly Dictionary<(double Size, bool IsBold), SKFont> _fonts = [];
    private bool _isClipped;

    /// <param name="width">Pixels of the page.</param>
    /// <param name="height">Pixels of the page.</param>
    /// <param name="widthPixels">Pixels of the picture.</param>
    public PngCanvas(double width, double height, int widthPixels)
    {
        var scale = widthPixels / width;
        _bitmap = new(widthPixels, (int)Math.Round(height * scale), SKColorType.Rgba8888, SKAlphaType.Opaque);
        _canvas = new(_bitmap);
        _canvas.Clear(SKColors.White);
        _canvas.Scale((float)scale);
    }

    /// <summary>Ends the drawing.</summary>
    public byte[] ToBytes()
    {
        _canvas.Flush();
        using var data = _bitmap.Encode(SKEncodedImageFormat.Png, 100);
        return data.ToArray();
    }

    public void Dispose()
    {
        foreach (var font in _fonts.Values) font.Dispose();
        _canvas.Dispose();
        _bitmap.Dispose();
    }

    public override void Lines(IReadOnlyList<IReadOnlyList<Dot>> stretches, Pen pen, string name = "")
    {
        using var builder = new SKPath();
        foreach (var stretch in stretches)
        {
            builder.MoveTo(Point(stretch[0]));
            for (var n = 1; n < stretch.Count; n++) builder.LineTo(Point(stretch[n]));
        }
        using var paint = Stroke(pen);
        _canvas.DrawPath(builder, paint);
    }

    public override void Shape(IReadOnlyList<Dot> corners, Ink fill, Pen? edge = null)
    {
        using var path = new SKPath();
        path.AddPoly([.. corners.Select(Point)], close: true);
        using (var paint = Filled(fill)) _canvas.DrawPath(path, paint);
        if (edge is not { } pen) return;
        using var stroke = Stroke(pen);
        _canvas.DrawPath(path, stroke);
    }

    public override void Tiles(IReadOnlyList<Frame> tiles, Ink fill)
    {
        using var paint = Filled(fill);
        paint.IsAntialias = false;
        foreach (var tile in tiles) _canvas.DrawRect(Rectangle(tile), paint);
    }

    public override void Circle(Dot middle, double radius, Ink? fill, Pen? edge)
    {
        if (fill is { } ink)
        {
            using var paint = Filled(ink);
            _canvas.DrawCircle(Point(middle), (float)radius, paint);
        }
        if (edge is not { } pen) return;
        using var stroke = Stroke(pen);
        _canvas.DrawCircle(Point(middle), (float)radius, stroke);
    }

    public override void Text(string text, Dot at, double size, Hold hold, Ink ink, bool isBold = false, bool isUpright = false)
    {
        var font = FontOf(size, isBold);
        using var paint = Filled(ink);
        var pieces = Pieces(text, font.Typeface).ToArray();
        float Width((string Text, SKTypeface? Other) piece)
        {
            if (piece.Other is null) return font.MeasureText(piece.Text);
            using var other = new SKFont(piece.Other, font.Size);
            return other.MeasureText(piece.Text);
        }
        var widths = pieces.Select(Width).ToArray();
        var x = hold switch { Hold.Left => 0, Hold.Middle => -widths.Sum() / 2, _ => -widths.Sum() };
        _canvas.Save();
        _canvas.Translate(Point(at));
        if (isUpright) _canvas.RotateDegrees(-90);
        for (var n = 0; n < pieces.Length; n++)
        {
            using var other = pieces[n].Other is { } typeface ? new SKFont(typeface, font.Size) : null;
            _canvas.DrawText(pieces[n].Text, x, 0, SKTextAlign.Left, other ?? font, paint);
            x += widths[n];
        }
        _canvas.Restore();
    }

    public override void Clip(Frame? inside)
    {
        if (_isClipped) _canvas.Restore();
        _isClipped = inside is not null;
        if (inside is not { } frame) return;
        _canvas.Save();
        _canvas.ClipRect(Rectangle(frame));
    }

    /// <summary>Runs of letters that one typeface has; a name typed in another script takes the letters from a typeface that knows it.</summary>
    private static IEnumerable<(string Text, SKTypeface? Other)> Pieces(string text, SKTypeface typeface)
    {
        var (run, of) = ("", (SKTypeface?)null);
        foreach (var rune in text.EnumerateRunes())
        {
            var other = typeface.ContainsGlyph(rune.Value) ? null : SKFontManager.Default.MatchCharacter(rune.Value);
            if (run.Length > 0 && other?.FamilyName != of?.FamilyName)
            {
                yield return (run, of);
                run = "";
            }
            (run, of) = (run + rune, other);
        }
        if (run.Length > 0) yield return (run, of);
    }

    /// <summary>The typeface, if it has letters: a machine without any gives an empty one, and the words would be missing without a word.</summary>
    /// <exception cref="DataFault">It has none.</exception>
    internal static SKTypeface WithLetters(SKTypeface? typeface) => typeface?.ContainsGlyph('0') == true ? typeface
        : throw new DataFault(Lettering.Family, null, "no typeface is installed here, so the words of a picture cannot be drawn", "Install one (Debian: fonts-dejavu-core), or write a drawing with SaveSvg.");

    private SKFont FontOf(double size, bool isBold)
    {
        if (_fonts.TryGetValue((size, isBold), out var known)) return known;
        var style = isBold ? SKFontStyle.Bold : SKFontStyle.Normal;
        var typeface = SKFontManager.Default.MatchFamily(Lettering.Family, style) ?? SKTypeface.FromFamilyName(null, style);
        return _fonts[(size, isBold)] = new SKFont(WithLetters(typeface), (float)size) { Edging = SKFontEdging.Antialias, Subpixel = true, Hinting = SKFontHinting.None };
    }

    private static SKPoint Point(Dot dot) => new((float)dot.X, (float)dot.Y);

    private static SKRect Rectangle(Frame frame) => new((float)frame.X, (float)frame.Y, (float)frame.Right, (float)frame.Bottom);

    private static SKColor Colour(Ink ink) => new(ink.Red, ink.Green, ink.Blue, (byte)Math.Round(255 * ink.OpacityRatio));

    private static SKPaint Filled(Ink ink) => new() { Color = Colour(ink), IsAntialias = true, Style = SKPaintStyle.Fill };

    private static SKPaint Stroke(Pen pen) => new()
    {
        Color = Colour(pen.Ink),
        IsAntialias = true,
        Style = SKPaintStyle.Stroke,
        StrokeWidth = (float)pen.Width,
        StrokeJoin = SKStrokeJoin.Round,
        PathEffect = pen.Dashes is { } dashes ? SKPathEffect.CreateDash([.. dashes.Select(length => (float)length)], 0) : null,
    };
}
