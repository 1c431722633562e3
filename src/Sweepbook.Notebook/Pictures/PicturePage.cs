// SPDX-License-Identifier: MIT
using System.Text.Json;
using Plotly.NET;

namespace Sweepbook.Notebook.Pictures;

/// <summary>A figure as a page of its own: title, legend, plot in its proportions, what the note says, and the file its numbers are in.</summary>
internal sealed class PicturePage
{
    private const double Margin = 14, RightOfPlot = 26, AbovePlot = 16, BelowPlot = 52;
    private const double TitleSize = 16, LegendSize = 12.5, NoteSize = 12, LineRatio = 1.35;
    private const double SampleWidth = 26, SampleGap = 6, EntryGap = 18;
    private readonly Figure _figure;
    private readonly double _width;
    private readonly IReadOnlyList<string> _title, _note;
    private readonly List<List<LegendEntry>> _legend = [];
    private readonly double _plotTop, _plotHeight;

    public PicturePage(Figure figure, double width)
    {
        (_figure, _width) = (figure, width);
        var room = width - 2 * Margin;
        _title = Lettering.Lines(figure.Title, TitleSize, room, isBold: true);
        _note = Lettering.Lines($"{figure.Note} From this file: {figure.FromFile}".Trim(), NoteSize, room);
        var at = double.PositiveInfinity;
        foreach (var entry in figure.Legend)
        {
            var wide = SampleWidth + SampleGap + Lettering.Width(entry.Name, LegendSize) + EntryGap;
            if (at + wide > room)
            {
                _legend.Add([]);
                at = 0;
            }
            _legend[^1].Add(entry);
            at += wide;
        }
        _plotTop = Margin + _title.Count * TitleSize * LineRatio + _legend.Count * LegendSize * LineRatio * 1.15 + AbovePlot;
        var plotWidth = width - Margin - figure.LeftMargin - RightOfPlot;
        _plotHeight = figure is { Axis: { } axis, Scale: { } scale } ? plotWidth / axis.Decades * scale.SpanDb / scale.DecadeDb : Math.Max(40, figure.Height - AbovePlot - BelowPlot);
        Height = Math.Ceiling(_plotTop + _plotHeight + BelowPlot + _note.Count * NoteSize * LineRatio + Margin);
    }

    /// <summary>Height in pixels that follows from the width.</summary>
    public double Height { get; }

    public void Draw(PictureCanvas canvas)
    {
        var y = Margin;
        foreach (var line in _title) canvas.Text(line, new(Margin, y += TitleSize * LineRatio), TitleSize, Hold.Left, Ink.Black, isBold: true);
        foreach (var row in _legend)
        {
            y += LegendSize * LineRatio * 1.15;
            var x = Margin;
            foreach (var entry in row)
            {
                canvas.Line(new(x, y - 0.34 * LegendSize), new(x + SampleWidth, y - 0.34 * LegendSize), new(Ink.Read(entry.Colour), 2.5, Pen.Pattern(entry.Dash, 1.6)));
                canvas.Text(entry.Name, new(x + SampleWidth + SampleGap, y), LegendSize, Hold.Left, Ink.Black);
                x += SampleWidth + SampleGap + Lettering.Width(entry.Name, LegendSize) + EntryGap;
            }
        }
        using var chart = JsonDocument.Parse(GenericChart.toFigureJson(_figure.Chart));
        ChartPlot.Draw(chart.RootElement, canvas, new(Margin + _figure.LeftMargin, _plotTop, _width - Margin - _figure.LeftMargin - RightOfPlot, _plotHeight));
        y = _plotTop + _plotHeight + BelowPlot;
        foreach (var line in _note) canvas.Text(line, new(Margin, y += NoteSize * LineRatio), NoteSize, Hold.Left, new(0x52, 0x57, 0x5c, 1));
    }
}
