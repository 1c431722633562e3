// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.Json;

namespace Sweepbook.Notebook.Pictures;

internal sealed partial class ChartPlot
{
    private const double BarRoom = 0.5;   // half a pixel more, so that tiles leave no seam in print
    private const int HeatSteps = 64;

    private void Draw(JsonElement trace)
    {
        switch (trace.GetProperty("type").GetString())
        {
            case "heatmap": Heat(trace); break;
            case "bar": Bar(trace); break;
            default: Scatter(trace); break;
        }
    }

    private void Scatter(JsonElement trace)
    {
        var mode = Kind(trace);
        var opacity = trace.TryGetProperty("opacity", out var faint) ? faint.GetDouble() : 1;
        var dots = DotsOf(trace);
        var stretches = Stretches(dots);
        if (trace.TryGetProperty("fill", out var fill) && fill.GetString() is "toself" or "tozeroy" && trace.TryGetProperty("fillcolor", out var fillColour))
        {
            foreach (var stretch in stretches)
            {
                IReadOnlyList<Dot> corners = fill.GetString() == "toself" ? stretch : [.. stretch, new(stretch[^1].X, _y.Place(0)), new(stretch[0].X, _y.Place(0))];
                _canvas.Shape(corners, Ink.Read(fillColour.GetString()).Fainter(opacity));
            }
        }
        if (mode.Contains("lines", StringComparison.Ordinal) && stretches.Count > 0 && trace.TryGetProperty("line", out var line) && Width(line) > 0)
            _canvas.Lines(stretches, PenOf(line, opacity), Plain(Text(trace, "name")));
        if (trace.TryGetProperty("error_y", out var error) && error.TryGetProperty("visible", out var visible) && visible.ValueKind == JsonValueKind.True) Errors(trace, error);
        if (mode.Contains("markers", StringComparison.Ordinal) && trace.TryGetProperty("marker", out var marker)) Marks(dots, marker, opacity);
    }

    private Dot[] DotsOf(JsonElement trace)
    {
        var (x, y) = (PlotAxis.Numbers(trace.GetProperty("x")), PlotAxis.Numbers(trace.GetProperty("y")));
        return [.. x.Zip(y, (right, up) => new Dot(_x.Place(right), _y.Place(up)))];
    }

    /// <summary>Runs of dots between gaps; a dot on its own is no line.</summary>
    private static List<IReadOnlyList<Dot>> Stretches(Dot[] dots)
    {
        var (all, run) = (new List<IReadOnlyList<Dot>>(), new List<Dot>());
        foreach (var dot in dots.Append(new(double.NaN, double.NaN)))
        {
            if (double.IsFinite(dot.X) && double.IsFinite(dot.Y))
            {
                run.Add(dot);
                continue;
            }
            if (run.Count > 1) all.Add(run);
            run = [];
        }
        return all;
    }

    private void Errors(JsonElement trace, JsonElement error)
    {
        var (x, y, around) = (PlotAxis.Numbers(trace.GetProperty("x")), PlotAxis.Numbers(trace.GetProperty("y")), PlotAxis.Numbers(error.GetProperty("array")));
        var lines = new List<IReadOnlyList<Dot>>();
        var cap = error.GetProperty("width").GetDouble();
        for (var n = 0; n < x.Length; n++)
        {
            if (!(around[n] > 0)) continue;
            var (at, high, low) = (_x.Place(x[n]), _y.Place(y[n] + around[n]), _y.Place(y[n] - around[n]));
            lines.Add([new(at, low), new(at, high)]);
            foreach (var end in new[] { low, high }) lines.Add([new(at - cap, end), new(at + cap, end)]);
        }
        if (lines.Count > 0) _canvas.Lines(lines, new(Ink.Read(Text(error, "color")), error.GetProperty("thickness").GetDouble()));
    }

    private void Marks(Dot[] dots, JsonElement marker, double opacity)
    {
        var ink = Ink.Read(Text(marker, "color")).Fainter(opacity);
        var radius = marker.GetProperty("size").GetDouble() / 2;
        var edge = marker.TryGetProperty("line", out var line) && Width(line) > 0 ? Width(line) : 1.3;
        for (var n = 0; n < dots.Length; n++)
        {
            if (!double.IsFinite(dots[n].X) || !double.IsFinite(dots[n].Y)) continue;
            var symbol = !marker.TryGetProperty("symbol", out var symbols) ? "circle" : symbols.ValueKind == JsonValueKind.Array ? symbols[n].GetString()! : symbols.GetString()!;
            Mark(dots[n], symbol, radius, ink, edge);
        }
    }

    private void Mark(Dot at, string symbol, double radius, Ink ink, double edge)
    {
        var isOpen = symbol.EndsWith("-open", StringComparison.Ordinal);
        Pen? pen = isOpen ? new(ink, edge) : null;
        var fill = isOpen ? Ink.White.Fainter(0) : ink;
        Dot Turned(double degrees, double far) => new(at.X + far * radius * Math.Sin(degrees * Math.PI / 180), at.Y - far * radius * Math.Cos(degrees * Math.PI / 180));
        IReadOnlyList<Dot> Corners(int count, double first, double far) => [.. Enumerable.Range(0, count).Select(n => Turned(first + n * 360.0 / count, far))];
        switch (isOpen ? symbol[..^5] : symbol)
        {
            case "circle": _canvas.Circle(at, radius, isOpen ? null : ink, pen); break;
            case "square": _canvas.Shape(Corners(4, 45, Math.Sqrt(2)), fill, pen); break;
            case "diamond": _canvas.Shape(Corners(4, 0, 1.3), fill, pen); break;
            case "triangle-up": _canvas.Shape(Corners(3, 0, 1.2), fill, pen); break;
            case "triangle-down": _canvas.Shape(Corners(3, 180, 1.2), fill, pen); break;
            case "pentagon": _canvas.Shape(Corners(5, 0, 1.15), fill, pen); break;
            case "star": _canvas.Shape([.. Enumerable.Range(0, 10).Select(n => Turned(n * 36, n % 2 == 0 ? 1.4 : 0.6))], fill, pen); break;
            case "line-ew": break;   // a row whose line is enough
            default: throw new InvalidOperationException($"No picture of the mark \"{symbol}\".");
        }
    }

    private void Bar(JsonElement trace)
    {
        var marker = trace.GetProperty("marker");
        var (from, long_, y, wide) = (trace.GetProperty("base")[0].GetDouble(), trace.GetProperty("x")[0].GetDouble(), trace.GetProperty("y")[0].GetDouble(), trace.GetProperty("width").GetDouble());
        var (left, right, low, high) = (_x.Place(from), _x.Place(from + long_), _y.Place(y + wide / 2), _y.Place(y - wide / 2));
        _canvas.Shape([new(left, low), new(right, low), new(right, high), new(left, high)], Ink.Read(Text(marker, "color")).Fainter(marker.GetProperty("opacity").GetDouble()));
    }

    /// <summary>A tile per cell, those of one colour in one shape, and the scale of colours beside it.</summary>
    private void Heat(JsonElement trace)
    {
        var (x, y) = (PlotAxis.Numbers(trace.GetProperty("x")).Select(_x.Place).ToArray(), PlotAxis.Numbers(trace.GetProperty("y")).Select(_y.Place).ToArray());
        var (least, most) = (trace.GetProperty("zmin").GetDouble(), trace.GetProperty("zmax").GetDouble());
        var colours = trace.GetProperty("colorscale").EnumerateArray().Select(step => (At: step[0].GetDouble(), Ink: Ink.Read(step[1].GetString()))).ToArray();
        var tiles = new SortedDictionary<int, List<Frame>>();
        var row = 0;
        foreach (var cells in trace.GetProperty("z").EnumerateArray())
        {
            var levels = PlotAxis.Numbers(cells).Select(level => double.IsNaN(level) ? -1 : (int)Math.Round(Math.Clamp((level - least) / (most - least), 0, 1) * HeatSteps)).ToArray();
            for (var n = 0; n < levels.Length; n++)
            {
                if (levels[n] < 0) continue;
                var first = n;
                while (n + 1 < levels.Length && levels[n + 1] == levels[first]) n++;
                if (!tiles.TryGetValue(levels[first], out var known)) tiles[levels[first]] = known = [];
                known.Add(new(x[first], y[row + 1], x[n + 1] - x[first], y[row] - y[row + 1]));
            }
            row++;
        }
        foreach (var (step, frames) in tiles) _canvas.Tiles(frames, Colour(colours, step / (double)HeatSteps));
        _canvas.Clip(null);
        ColourScale(trace.GetProperty("colorbar"), step => Colour(colours, step / (double)HeatSteps), least, most);
        _canvas.Clip(Inside);
    }

    private void ColourScale(JsonElement bar, Func<int, Ink> colour, double least, double most)
    {
        var (left, tall, wide) = (_frame.X + bar.GetProperty("x").GetDouble() * _frame.Width, bar.GetProperty("len").GetDouble() * _frame.Height, bar.GetProperty("thickness").GetDouble());
        for (var step = 0; step < HeatSteps; step++)
            _canvas.Tiles([new(left, _frame.Bottom - (step + 1) * tall / HeatSteps, wide, tall / HeatSteps + BarRoom)], colour(step));
        var labels = bar.GetProperty("ticktext").EnumerateArray().Select(text => Plain(text.GetString())).ToArray();
        var values = PlotAxis.Numbers(bar.GetProperty("tickvals"));
        for (var n = 0; n < labels.Length; n++)
        {
            var at = _frame.Bottom - (values[n] - least) / (most - least) * tall;
            _canvas.Line(new(left + wide, at), new(left + wide + 3, at), new(Ink.Black, 1));
            _canvas.Text(labels[n], new(left + wide + 6, at + 0.36 * TickSize), TickSize, Hold.Left, Ink.Black);
        }
    }

    private static Ink Colour((double At, Ink Ink)[] colours, double at)
    {
        var next = Math.Clamp(Array.FindIndex(colours, step => step.At >= at), 1, colours.Length - 1);
        var (from, to) = (colours[next - 1], colours[next]);
        return from.Ink.Towards(to.Ink, (at - from.At) / (to.At - from.At));
    }

    private void Words(JsonElement trace)
    {
        if (!Kind(trace).Contains("text", StringComparison.Ordinal)) return;
        var dots = DotsOf(trace);
        var texts = trace.GetProperty("text").ValueKind == JsonValueKind.Array ? [.. trace.GetProperty("text").EnumerateArray().Select(text => text.GetString() ?? "")] : new[] { Text(trace, "text") };
        var position = Text(trace, "textposition").Split(' ');
        for (var n = 0; n < Math.Min(dots.Length, texts.Length); n++)
        {
            if (texts[n].Length == 0 || !double.IsFinite(dots[n].X) || !double.IsFinite(dots[n].Y)) continue;
            var lines = texts[n].Split("<br>").Select(line => Plain(line).Trim('\u2009', ' ')).ToArray();
            var hold = position[^1] switch { "right" => Hold.Left, "left" => Hold.Right, _ => Hold.Middle };   // where the words lie, seen from the point
            var x = dots[n].X + hold switch { Hold.Left => 6, Hold.Right => -6, _ => 0 };
            var tall = 1.25 * WordSize;
            var y = dots[n].Y + position[0] switch { "top" => -4 - (lines.Length - 1) * tall, "bottom" => 1 + WordSize, _ => 0.36 * WordSize - (lines.Length - 1) * tall / 2 };
            foreach (var line in lines)
            {
                _canvas.Text(line, new(x, y), WordSize, hold, Ink.Black);
                y += tall;
            }
        }
    }

    private static string Text(JsonElement part, string name) => part.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString()! : "";

    private static double Width(JsonElement line) => line.TryGetProperty("width", out var width) ? width.GetDouble() : 1;

    private static Pen PenOf(JsonElement line, double opacity) =>
        new(Ink.Read(Text(line, "color")).Fainter(opacity), Width(line), Pen.Pattern(Text(line, "dash"), Width(line)));
}
