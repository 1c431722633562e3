// SPDX-License-Identifier: MIT
using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;

namespace Sweepbook.Notebook.Pictures;

/// <summary>Draws the chart of a figure, from the same data as the page, inside a frame of the picture: grid, traces, axes, words.</summary>
internal sealed partial class ChartPlot
{
    private const double TickSize = 12, TitleSize = 13, WordSize = 11.5;
    private const double TitleAway = 44;   // pixels from the upright axis to its title, where the labels are short
    private readonly JsonElement _chart;
    private readonly PictureCanvas _canvas;
    private readonly Frame _frame;
    private readonly PlotAxis _x, _y;

    private ChartPlot(JsonElement chart, PictureCanvas canvas, Frame frame)
    {
        (_chart, _canvas, _frame) = (chart, canvas, frame);
        var layout = chart.GetProperty("layout");
        _x = new(layout.GetProperty("xaxis"), frame.X, frame.Right, isUpright: false);
        _y = new(layout.GetProperty("yaxis"), frame.Bottom, frame.Y, isUpright: true);
    }

    /// <summary>Draws it.</summary>
    /// <param name="chart">The chart: data and layout.</param>
    /// <param name="canvas">Where.</param>
    /// <param name="frame">The rectangle between the axes.</param>
    public static void Draw(JsonElement chart, PictureCanvas canvas, Frame frame) => new ChartPlot(chart, canvas, frame).Draw();

    /// <summary>A text of the chart as plain words: entities decoded, the tag for bold left out.</summary>
    public static string Plain(string? text) => WebUtility.HtmlDecode(Tags().Replace(text ?? "", ""));

    [GeneratedRegex("</?b>")]
    private static partial Regex Tags();

    private Frame Inside => new(_x.Start, _y.End, _x.End - _x.Start, _y.Start - _y.End);

    private void Draw()
    {
        var layout = _chart.GetProperty("layout");
        _canvas.Clip(Inside);
        if (layout.TryGetProperty("shapes", out var shapes)) foreach (var shape in shapes.EnumerateArray()) Behind(shape);
        Grid();
        foreach (var trace in Traces()) if (Kind(trace) != "text") Draw(trace);
        _canvas.Clip(null);
        Axes();
        foreach (var trace in Traces()) Words(trace);
        if (layout.TryGetProperty("annotations", out var annotations)) foreach (var annotation in annotations.EnumerateArray()) Note(annotation);
    }

    private IEnumerable<JsonElement> Traces() => _chart.GetProperty("data").EnumerateArray().Where(IsShown);

    private static string Kind(JsonElement trace) => trace.TryGetProperty("mode", out var mode) ? mode.GetString()! : trace.GetProperty("type").GetString()!;

    /// <summary>The words at the ends of a bar stand inside it, else together beside it, else nowhere.</summary>
    private bool IsShown(JsonElement trace)
    {
        if (!trace.TryGetProperty("meta", out var meta) || !meta.TryGetProperty("words", out var words))
            return !trace.TryGetProperty("visible", out var visible) || visible.ValueKind != JsonValueKind.False;
        var (from, to, inside) = (meta.GetProperty("from").GetDouble(), meta.GetProperty("to").GetDouble(), meta.GetProperty("inside").GetDouble());
        var fits = Math.Log10(to / from) * _x.Unit > inside;
        var beside = meta.GetProperty("right").GetBoolean() ? _x.Last - Math.Log10(to) : Math.Log10(from) - _x.First;
        return words.GetString() == "pair" ? fits : !fits && beside * _x.Unit > inside;
    }

    private void Grid()
    {
        if (!_x.IsVisible) return;
        if (_x.HasGrid) foreach (var at in _x.Minor) Upright(at, Ink.FaintGrid);
        if (_y.HasGrid) foreach (var at in _y.Minor) Level(at, Ink.FaintGrid);
        if (_x.HasGrid) foreach (var (at, _) in _x.Ticks()) Upright(at, Ink.Grid);
        if (_y.HasGrid) foreach (var (at, _) in _y.Ticks()) Level(at, Ink.Grid);
        if (_y.Zero is { } zero) Level(zero, new(0xa0, 0x9d, 0x96, 1));

        void Upright(double at, Ink ink) => _canvas.Line(new(at, _frame.Y), new(at, _frame.Bottom), new(ink, 1));
        void Level(double at, Ink ink) => _canvas.Line(new(_x.Start, at), new(_x.End, at), new(ink, 1));
    }

    private void Axes()
    {
        if (!_x.IsVisible) return;
        var pen = new Pen(new(0x8c, 0x89, 0x82, 1), 1);
        var inside = Inside;
        if (_x.HasLine) _canvas.Line(new(inside.X, inside.Bottom), new(inside.Right, inside.Bottom), pen);
        if (_y.HasLine) _canvas.Line(new(inside.X, inside.Y), new(inside.X, inside.Bottom), pen);
        foreach (var (at, label) in _x.Ticks())
        {
            if (_x.HasMarks) _canvas.Line(new(at, inside.Bottom), new(at, inside.Bottom + 4), pen);
            if (label.Length > 0) _canvas.Text(label, new(at, inside.Bottom + 18), TickSize, Hold.Middle, Ink.Black);
        }
        foreach (var (at, label) in _y.Ticks())
        {
            if (_y.HasMarks) _canvas.Line(new(inside.X - 4, at), new(inside.X, at), pen);
            if (label.Length > 0) _canvas.Text(label, new(inside.X - 8, at + 0.36 * TickSize), TickSize, Hold.Right, Ink.Black);
        }
        if (_x.Title.Length > 0) _canvas.Text(_x.Title, new((inside.X + inside.Right) / 2, inside.Bottom + 42), TitleSize, Hold.Middle, Ink.Black);
        var room = inside.Height + 60;
        var title = _y.Title;
        if (Lettering.Width(title, TitleSize) > room) title = AfterComma().Replace(title, ")");
        if (Lettering.Width(title, TitleSize) > room) title = Named().Replace(title, "$1");
        var left = _y.Ticks().Select(tick => Lettering.Width(tick.Label, TickSize)).DefaultIfEmpty(0).Max();
        if (title.Length > 0) _canvas.Text(title, new(inside.X - Math.Max(TitleAway, 8 + left + 5), (inside.Y + inside.Bottom) / 2), TitleSize, Hold.Middle, Ink.Black, isUpright: true);
    }

    [GeneratedRegex(@",[^()]*\)$")]
    private static partial Regex AfterComma();

    [GeneratedRegex(@"^Level \((dB re .*)\)$")]
    private static partial Regex Named();

    private void Behind(JsonElement shape)
    {
        double X(string name) => shape.GetProperty("xref").GetString() == "paper" ? _frame.X + shape.GetProperty(name).GetDouble() * _frame.Width : _x.Place(shape.GetProperty(name).GetDouble());
        double Y(string name) => shape.GetProperty("yref").GetString() == "paper" ? _frame.Bottom - shape.GetProperty(name).GetDouble() * _frame.Height : _y.Place(shape.GetProperty(name).GetDouble());
        var (left, right, low, high) = (X("x0"), X("x1"), Y("y0"), Y("y1"));
        Pen? edge = shape.TryGetProperty("line", out var line) && Width(line) > 0 ? PenOf(line, 1) : null;
        _canvas.Shape([new(left, low), new(right, low), new(right, high), new(left, high)], Ink.Read(shape.GetProperty("fillcolor").GetString()), edge);
    }

    private void Note(JsonElement annotation)
    {
        double Number(string name) => annotation.TryGetProperty(name, out var value) ? value.GetDouble() : 0;
        bool IsPaper(string name) => annotation.TryGetProperty(name, out var value) && value.GetString() == "paper";
        var x = (IsPaper("xref") ? _frame.X + Number("x") * _frame.Width : _x.Place(Number("x"))) + Number("xshift");
        var y = IsPaper("yref") ? _frame.Bottom - Number("y") * _frame.Height : _y.Place(Number("y"));
        var text = annotation.GetProperty("text").GetString()!;
        if (Number("textangle") == -90) _canvas.Text(Plain(text), new(x + 0.36 * WordSize, y), WordSize, Hold.Left, Ink.Black, isUpright: true);
        else
            _canvas.Text(Plain(text), new(x, y + 0.36 * TickSize), TickSize, annotation.TryGetProperty("xanchor", out var anchor) && anchor.GetString() == "right" ? Hold.Right : Hold.Middle, Ink.Black, isBold: text.Contains("<b>", StringComparison.Ordinal));
    }
}
