// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text.Json;

namespace Sweepbook.Notebook.Pictures;

/// <summary>One axis as the chart states it, laid along a stretch of the picture.</summary>
internal sealed class PlotAxis
{
    private const double Letter = 7.8, Gap = 8;   // of a label, in pixels
    private const double Ticked = 8;   // ticks on an axis that states none
    private readonly JsonElement _axis;
    private readonly double _first, _last, _start, _end;
    private readonly bool _isUpright;

    /// <param name="axis">The axis of the chart's layout.</param>
    /// <param name="start">Pixel at which its range begins.</param>
    /// <param name="end">Pixel at which it ends.</param>
    /// <param name="isUpright">True for the axis at the left.</param>
    public PlotAxis(JsonElement axis, double start, double end, bool isUpright)
    {
        (_axis, _start, _end, _isUpright) = (axis, start, end, isUpright);
        IsLog = Text("type") == "log";
        var range = axis.TryGetProperty("range", out var given) ? Numbers(given) : [0, 1];
        (_first, _last) = (range[0], range[1]);
        Domain = axis.TryGetProperty("domain", out var domain) ? Numbers(domain) : [0, 1];
        (_start, _end) = (start + Domain[0] * (end - start), start + Domain[1] * (end - start));
    }

    public bool IsLog { get; }

    public bool IsVisible => Flag("visible", true);

    public bool HasLine => Flag("showline", false);

    public bool HasGrid => Flag("showgrid", true);

    public bool HasMarks => Text("ticks") == "outside";

    /// <summary>Pixel of the line at zero, or null.</summary>
    public double? Zero => !IsLog && Flag("zeroline", true) && 0 >= Math.Min(_first, _last) && 0 <= Math.Max(_first, _last) ? Place(0) : null;

    public double Start => _start;

    public double End => _end;

    /// <summary>Share of the width or height that it takes.</summary>
    public double[] Domain { get; }

    /// <summary>Pixels that a decade is long, or a unit.</summary>
    public double Unit => Math.Abs((_end - _start) / (_last - _first));

    public double First => _first;

    public double Last => _last;

    public string Title => _axis.TryGetProperty("title", out var title) && title.TryGetProperty("text", out var text) ? ChartPlot.Plain(text.GetString()) : "";

    /// <summary>Pixel of a value in its own unit.</summary>
    public double Place(double value) => _start + ((IsLog ? Math.Log10(value) : value) - _first) / (_last - _first) * (_end - _start);

    /// <summary>Pixels of the thin lines between the labelled ones.</summary>
    public IEnumerable<double> Minor => _axis.TryGetProperty("minor", out var minor) && minor.TryGetProperty("tickvals", out var values) ? Numbers(values).Select(Place) : [];

    /// <summary>Ticks with their labels, those that would run into others without.</summary>
    public IReadOnlyList<(double At, string Label)> Ticks()
    {
        if (!_axis.TryGetProperty("tickvals", out var given)) return Even();
        var values = Numbers(given);
        var labels = _axis.TryGetProperty("ticktext", out var texts) ? [.. texts.EnumerateArray().Select(text => ChartPlot.Plain(text.GetString()))]
            : values.Select(value => value.ToString("0.######", CultureInfo.InvariantCulture).Replace('-', '−')).ToArray();
        var kept = IsLog ? Apart(values, labels) : _axis.TryGetProperty("strides", out var strides) ? Every(values, labels, Numbers(strides)) : [.. values.Select(_ => true)];
        return [.. values.Select((value, n) => (Place(value), kept[n] ? labels[n] : ""))];
    }

    public static double[] Numbers(JsonElement array) => [.. array.EnumerateArray().Select(Number)];

    public static double Number(JsonElement value) => value.ValueKind == JsonValueKind.Number ? value.GetDouble() : double.NaN;

    /// <summary>The 1s of the decades first, then the 2s, then the 5s, as far as the labels stay apart.</summary>
    private bool[] Apart(double[] values, string[] labels)
    {
        var placed = new List<int>();
        foreach (var first in "125")
            for (var n = 0; n < values.Length; n++)
                if (labels[n].TrimStart('0', '.') is [var digit, ..] && digit == first && placed.TrueForAll(other => IsClear(n, other))) placed.Add(n);
        return [.. values.Select((_, n) => placed.Contains(n))];

        bool IsClear(int one, int other) => Math.Abs(Place(values[one]) - Place(values[other])) >= (_isUpright ? 16 : Wide(labels[one]) + Wide(labels[other]));
        static double Wide(string label) => (label.Length * Letter + Gap) / 2;
    }

    /// <summary>Every label, or every so many, always with that of number 0.</summary>
    private bool[] Every(double[] values, string[] labels, double[] strides)
    {
        var stride = strides.FirstOrDefault(Fits, strides[^1]);
        return [.. values.Select(value => value % stride == 0)];

        bool Fits(double every)
        {
            var shown = Enumerable.Range(0, values.Length).Where(n => values[n] % every == 0).ToArray();
            return shown.Skip(1).Zip(shown, (n, before) => Math.Abs(Place(values[n]) - Place(values[before])) >= (labels[n].Length + labels[before].Length) / 2.0 * Letter + Gap).All(clear => clear);
        }
    }

    private List<(double At, string Label)> Even()
    {
        var (low, high) = (Math.Min(_first, _last), Math.Max(_first, _last));
        var isGiven = _axis.TryGetProperty("dtick", out var given);
        var step = isGiven ? given.GetDouble() : Step(high - low);
        while ((high - low) / step * (!_isUpright ? 44 : isGiven ? 15 : 22) > Math.Abs(_end - _start)) step *= 2;
        var ticks = new List<(double, string)>();
        for (var n = Math.Ceiling(low / step - 1e-9); n * step <= high + 1e-9 * step; n++)
            ticks.Add((Place(n * step), (Math.Round(n * step, 10) + 0.0).ToString("0.######", CultureInfo.InvariantCulture).Replace('-', '−')));
        return ticks;
    }

    /// <summary>1, 2 or 5 times a power of ten, so that some eight ticks are on the axis.</summary>
    private static double Step(double span)
    {
        var power = Math.Pow(10, Math.Floor(Math.Log10(span / Ticked)));
        return new[] { 1.0, 2, 5, 10 }.First(step => step * power >= span / Ticked * 0.999) * power;
    }

    private string Text(string name) => _axis.TryGetProperty(name, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString()! : "";

    private bool Flag(string name, bool otherwise) => _axis.TryGetProperty(name, out var value) ? value.ValueKind == JsonValueKind.True : otherwise;
}
