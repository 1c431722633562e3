// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Notebook.Pictures;

namespace Sweepbook.Notebook;

public sealed partial class Figure
{
    private const int PageWidth = 860;
    private const int LeastWidthPixels = 300, MostWidthPixels = 12_000;
    private const double LeastScaleRatio = 0.25, MostScaleRatio = 12;
    private const int LeastPageWidth = 300, MostPageWidth = 3000;

    /// <summary>Writes the figure as a drawing for a document: lines stay lines, words stay words, at any size. No browser is needed.</summary>
    /// <param name="path">Where it goes, ending in <c>.svg</c>; missing folders are made, an older picture of this library is replaced.</param>
    /// <returns>The figure itself, so that a cell that ends here shows what it wrote.</returns>
    /// <exception cref="DataFault">The name has another ending, another file is in the way, or the system refuses.</exception>
    /// <remarks>
    /// Drawn from the same data, in the same proportions and colours as on the page, on white. Letters are those of the reader's machine (DejaVu Sans, else another sans serif).
    /// The text alternative is its description. Source of the format: W3C, Scalable Vector Graphics 1.1.
    /// </remarks>
    public Figure SaveSvg(string path)
    {
        Save(path, ".svg", "a drawing", ToSvg);
        return this;
    }

    /// <summary>Writes the figure as a picture of pixels. No browser is needed.</summary>
    /// <param name="path">Where it goes, ending in <c>.png</c>; missing folders are made, an older picture of this library is replaced.</param>
    /// <param name="widthPixels">Width in pixels, 300 to 12000; the height follows from the figure's proportions.</param>
    /// <param name="scaleRatio">Pixels of the picture for one of the page: larger letters and thicker lines in the same width. Width over this must lie between 300 and 3000.</param>
    /// <returns>The figure itself.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The width or the scale is outside its limits.</exception>
    /// <exception cref="DataFault">The name has another ending, another file is in the way, no typeface is installed, or the system refuses.</exception>
    /// <remarks>Without DejaVu Sans the letters are those of another typeface, and the bytes differ from machine to machine. Source of the format: ISO/IEC 15948.</remarks>
    public Figure SavePng(string path, int widthPixels = 2 * PageWidth, double scaleRatio = 2)
    {
        if (widthPixels is < LeastWidthPixels or > MostWidthPixels)
            throw new ArgumentOutOfRangeException(nameof(widthPixels), widthPixels, $"Must be in [{LeastWidthPixels}, {MostWidthPixels}] pixels.");
        if (!(scaleRatio is >= LeastScaleRatio and <= MostScaleRatio && widthPixels / scaleRatio is >= LeastPageWidth and <= MostPageWidth))
            throw new ArgumentOutOfRangeException(nameof(scaleRatio), scaleRatio, FormattableString.Invariant($"Must be in [{LeastScaleRatio}, {MostScaleRatio}], and {widthPixels} pixels over it in [{LeastPageWidth}, {MostPageWidth}]."));
        Save(path, ".png", "a picture", () => ToPng(widthPixels, scaleRatio));
        return this;
    }

    internal byte[] ToSvg()
    {
        var page = new PicturePage(this, PageWidth);
        var canvas = new SvgCanvas(PageWidth, page.Height, Title.Length > 0 ? Title : TextAlternative, TextAlternative);
        page.Draw(canvas);
        return canvas.ToBytes();
    }

    internal byte[] ToPng(int widthPixels, double scaleRatio)
    {
        NativeDrawing.MustBeThere();
        return PngOf(widthPixels, widthPixels / scaleRatio);
    }

    private byte[] PngOf(int widthPixels, double width)
    {
        var page = new PicturePage(this, width);
        using var canvas = new PngCanvas(width, page.Height, widthPixels);
        page.Draw(canvas);
        return PngWords.Into(canvas.ToBytes(), ("Software", SvgCanvas.Maker), ("Title", Title.Length > 0 ? Title : TextAlternative), ("Description", TextAlternative));
    }

    private static void Save(string path, string ending, string what, Func<byte[]> draw)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        if (!string.Equals(Path.GetExtension(path), ending, StringComparison.OrdinalIgnoreCase))
            throw new DataFault(path, null, $"the name of {what} must end in {ending}", $"Call it {Path.ChangeExtension(path, ending)}.");
        if (File.Exists(path) && !IsOurs(path))
            throw new DataFault(path, null, "this file was not written here and is not overwritten", "Choose another name, or move the old file away first.");
        var bytes = draw();
        AtomicFile.Write(path, stream => stream.Write(bytes));
    }

    /// <summary>True for a picture that says it was made here; the words stand near its beginning.</summary>
    private static bool IsOurs(string path)
    {
        try
        {
            var start = new byte[1 << 15];
            using var stream = File.OpenRead(path);
            var text = Encoding.UTF8.GetString(start, 0, stream.ReadAtLeast(start, start.Length, throwOnEndOfStream: false));
            return text.Contains($"<metadata>{SvgCanvas.Maker}</metadata>", StringComparison.Ordinal) || text.Contains($"Software\0\0\0\0\0{SvgCanvas.Maker}", StringComparison.Ordinal);
        }
        catch (Exception thrown) when (thrown is IOException or UnauthorizedAccessException)
        {
            throw new DataFault(path, null, "this file is in the way and cannot be read", "Choose another name, or move the old file away first.", thrown);
        }
    }
}
