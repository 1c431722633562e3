// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Xml;

namespace Sweepbook.Notebook.Pictures;

/// <summary>A drawing as SVG 1.1: lines stay lines and words stay words, so that it can be searched and changed.</summary>
internal sealed class SvgCanvas : PictureCanvas
{
    public const string Maker = "Sweepbook";
    private const string Space = "http://www.w3.org/2000/svg";
    private readonly MemoryStream _bytes = new();
    private readonly XmlWriter _writer;
    private int _clips;
    private bool _isClipped;

    public SvgCanvas(double width, double height, string title, string description)
    {
        _writer = XmlWriter.Create(_bytes, new() { Encoding = new UTF8Encoding(false), Indent = true, IndentChars = " ", NewLineChars = "\n", CheckCharacters = false });
        _writer.WriteStartElement("svg", Space);
        Attributes(("version", "1.1"), ("width", Number(width)), ("height", Number(height)), ("viewBox", $"0 0 {Number(width)} {Number(height)}"), ("role", "img"),
            ("aria-labelledby", "title desc"), ("font-family", $"'{Lettering.Family}', Verdana, Arial, sans-serif"));
        Element("title", title, ("id", "title"));
        Element("desc", description, ("id", "desc"));
        Element("metadata", Maker);
        Empty("rect", ("width", Number(width)), ("height", Number(height)), ("fill", "#ffffff"));
    }

    /// <summary>Ends the drawing.</summary>
    public byte[] ToBytes()
    {
        Clip(null);
        _writer.WriteEndElement();
        _writer.Dispose();
        return [.. _bytes.ToArray(), (byte)'\n'];
    }

    public override void Lines(IReadOnlyList<IReadOnlyList<Dot>> stretches, Pen pen, string name = "")
    {
        var path = new StringBuilder();
        foreach (var stretch in stretches)
            for (var n = 0; n < stretch.Count; n++) path.Append(n == 0 ? 'M' : n == 1 ? 'L' : ' ').Append(Number(stretch[n].X)).Append(' ').Append(Number(stretch[n].Y));
        _writer.WriteStartElement("path", Space);
        Attributes([("d", path.ToString()), ("fill", "none"), ("stroke-linejoin", "round"), .. Stroke(pen)]);
        if (name.Length > 0) Element("title", name);
        _writer.WriteEndElement();
    }

    public override void Shape(IReadOnlyList<Dot> corners, Ink fill, Pen? edge = null) => Empty("polygon",
        [("points", string.Join(' ', corners.Select(corner => $"{Number(corner.X)},{Number(corner.Y)}"))), .. Fill(fill), .. edge is { } pen ? Stroke(pen) : []]);

    public override void Tiles(IReadOnlyList<Frame> tiles, Ink fill)
    {
        var path = new StringBuilder();
        foreach (var tile in tiles) path.Append(CultureInfo.InvariantCulture, $"M{Number(tile.X)} {Number(tile.Y)}h{Number(tile.Width)}v{Number(tile.Height)}h{Number(-tile.Width)}z");
        Empty("path", [("d", path.ToString()), ("shape-rendering", "crispEdges"), .. Fill(fill)]);
    }

    public override void Circle(Dot middle, double radius, Ink? fill, Pen? edge) => Empty("circle",
        [("cx", Number(middle.X)), ("cy", Number(middle.Y)), ("r", Number(radius)), .. fill is { } ink ? Fill(ink) : [("fill", "none")], .. edge is { } pen ? Stroke(pen) : []]);

    public override void Text(string text, Dot at, double size, Hold hold, Ink ink, bool isBold = false, bool isUpright = false) => Element("text", text,
        [("x", Number(at.X)), ("y", Number(at.Y)), ("font-size", Number(size)), .. Fill(ink), .. hold == Hold.Left ? Array.Empty<(string, string)>() : [("text-anchor", hold == Hold.Middle ? "middle" : "end")],
            .. isBold ? new[] { ("font-weight", "bold") } : [], .. isUpright ? new[] { ("transform", $"rotate(-90 {Number(at.X)} {Number(at.Y)})") } : []]);

    public override void Clip(Frame? inside)
    {
        if (_isClipped) _writer.WriteEndElement();
        _isClipped = inside is not null;
        if (inside is not { } frame) return;
        var id = $"inside-{++_clips}";
        _writer.WriteStartElement("clipPath", Space);
        Attributes(("id", id));
        Empty("rect", ("x", Number(frame.X)), ("y", Number(frame.Y)), ("width", Number(frame.Width)), ("height", Number(frame.Height)));
        _writer.WriteEndElement();
        _writer.WriteStartElement("g", Space);
        Attributes(("clip-path", $"url(#{id})"));
    }

    private static (string, string)[] Fill(Ink ink) => ink.OpacityRatio >= 1 ? [("fill", ink.Hex)] : [("fill", ink.Hex), ("fill-opacity", Number(ink.OpacityRatio, 3))];

    private static (string, string)[] Stroke(Pen pen) =>
    [
        ("stroke", pen.Ink.Hex), ("stroke-width", Number(pen.Width)), .. pen.Ink.OpacityRatio < 1 ? new[] { ("stroke-opacity", Number(pen.Ink.OpacityRatio, 3)) } : [],
        .. pen.Dashes is { } dashes ? new[] { ("stroke-dasharray", string.Join(' ', dashes.Select(length => Number(length)))) } : [],
    ];

    private static string Number(double value, int digits = 2) => Math.Round(value, digits).ToString("0.###", CultureInfo.InvariantCulture);

    private void Attributes(params IEnumerable<(string Name, string Value)> attributes)
    {
        foreach (var (name, value) in attributes) _writer.WriteAttributeString(name, value);
    }

    private void Empty(string element, params IEnumerable<(string Name, string Value)> attributes)
    {
        _writer.WriteStartElement(element, Space);
        Attributes(attributes);
        _writer.WriteEndElement();
    }

    private void Element(string element, string text, params IEnumerable<(string Name, string Value)> attributes)
    {
        _writer.WriteStartElement(element, Space);
        Attributes(attributes);
        _writer.WriteString(string.Concat(text.Where(letter => !char.IsControl(letter))));
        _writer.WriteEndElement();
    }
}
