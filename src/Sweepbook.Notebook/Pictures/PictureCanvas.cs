// SPDX-License-Identifier: MIT
namespace Sweepbook.Notebook.Pictures;

/// <summary>What a picture is drawn on: a few marks on a white page. Everything is in pixels of the page, downwards.</summary>
internal abstract class PictureCanvas
{
    /// <summary>Lines between dots, one stroke for each stretch.</summary>
    /// <param name="stretches">Each at least two dots.</param>
    /// <param name="pen">How.</param>
    /// <param name="name">What it is of, for formats that keep names; or nothing.</param>
    public abstract void Lines(IReadOnlyList<IReadOnlyList<Dot>> stretches, Pen pen, string name = "");

    /// <summary>A closed shape, filled.</summary>
    public abstract void Shape(IReadOnlyList<Dot> corners, Ink fill, Pen? edge = null);

    /// <summary>Rectangles of one colour without seams between neighbours.</summary>
    public abstract void Tiles(IReadOnlyList<Frame> tiles, Ink fill);

    /// <summary>A circle.</summary>
    public abstract void Circle(Dot middle, double radius, Ink? fill, Pen? edge);

    /// <summary>One line of text; <paramref name="at"/> is where its base line is held.</summary>
    public abstract void Text(string text, Dot at, double size, Hold hold, Ink ink, bool isBold = false, bool isUpright = false);

    /// <summary>Until the next call only what lies inside is drawn; null for all of the page.</summary>
    public abstract void Clip(Frame? inside);

    public void Line(Dot from, Dot to, Pen pen) => Lines([[from, to]], pen);
}
