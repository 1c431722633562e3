// SPDX-License-Identifier: MIT
using System.Globalization;
using Plotly.NET;
using Sweepbook.Decay;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>A decay map as colours over a logarithmic frequency axis, time upwards.</summary>
/// <remarks>
/// Colours: blue to yellow, rising evenly in lightness, so that they stay in order for colour-blind readers and on a grey print. Source: J. R. Nuñez, C. R. Anderton,
/// R. S. Renslow, "Optimizing colormaps with consideration for color vision deficiency", PLOS ONE 13 (2018) e0199239 (from memory).
/// </remarks>
internal static class WaterfallChart
{
    private const double SpanDb = 50;
    private const int MostRows = 100;
    private const int ColumnsPerOctave = 32;
    private const double LabelledOctaves = 1;    // labels closer than this would run into one another
    private const int MostLabels = 3;
    private const double LabelShare = 0.2;       // of the axis, which a label takes on a narrow screen
    private const double ScaleFrom = 0.9;        // of the width; to its right are the colours with their decibels
    private const string Grey = "#8a8a8a";
    private const string MarkColour = "#D55E00";
    private static readonly int[] ScaleTicks = [-50, -40, -30, -20, -10, 0];
    private static readonly string[] Colours = ["#00224e", "#123570", "#3b496c", "#575d6d", "#707173", "#8a8678", "#a59c74", "#c3b369", "#e1cc55", "#fee838"];

    public static Figure Draw(DecayMap map, IReadOnlyList<SlowPeak> peaks, string title, string fromFile, string dotted = "slow peaks")
    {
        var axis = Axis(map);
        var cells = WaterfallCells.Of(map, ColumnsPerOctave, MostRows, SpanDb);
        var last = map.SliceSeconds[^1] * 1000;
        var details = Details(map);
        var tallest = details.Max(detail => detail.Resolution.TimeSeconds * 1000);
        var (bottomOfDetails, top) = (1.03 * last, 1.03 * last + tallest + 0.23 * last);
        var labelled = Labelled(peaks);
        var traces = new List<Trace> { Heat(cells) };
        foreach (var peak in labelled) traces.Add(Mark(peak, last, top, axis));
        foreach (var (frequencyHz, resolution) in details) traces.Add(Box(frequencyHz, resolution, bottomOfDetails));
        var xAxis = axis.ToPart("Frequency (Hz)");
        xAxis.SetProperty("domain", new[] { 0, ScaleFrom - 0.015 });   // room for the scale of colours
        xAxis.SetProperty("showgrid", false);
        var step = Step(last);
        var yAxis = Part(("range", new[] { 0, top }), ("tickmode", "array"), ("tickvals", Enumerable.Range(0, 1 + (int)(last / step + 1e-9)).Select(n => n * step).ToArray()),
            ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("showgrid", false), ("showline", true), ("automargin", false),
            ("title", Part(("text", "Time after the sound began (ms)"), ("standoff", 6))));
        var ground = Part(("type", "rect"), ("xref", "x"), ("yref", "y"), ("x0", cells.EdgesHz[0]), ("x1", cells.EdgesHz[^1]), ("y0", 0), ("y1", last), ("layer", "below"),
            ("line", Part(("width", 0))), ("fillcolor", "rgba(128,128,128,0.14)"));
        return new(Charts.Of(traces, xAxis, yAxis, ("shapes", new[] { ground })), Alternative(map, peaks, title), fromFile)
        {
            Title = title,
            Height = 400,
            Note = Note(map, details, dotted),
        };
    }

    private static LogAxis Axis(DecayMap map) => new(map.FrequenciesHz[0] / Math.Pow(2, 1 / 12.0), map.FrequenciesHz[^1] * Math.Pow(2, 1 / 12.0));

    private static Trace Heat(WaterfallCells cells)
    {
        var trace = new Trace("heatmap");
        trace.SetProperty("x", Rounded(cells.EdgesHz));
        trace.SetProperty("y", Rounded(cells.EdgesMs));
        trace.SetProperty("z", cells.LevelsDb);
        trace.SetProperty("zmin", -SpanDb);
        trace.SetProperty("zmax", 0);
        trace.SetProperty("zsmooth", false);
        trace.SetProperty("hoverongaps", false);
        trace.SetProperty("colorscale", Colours.Select((colour, n) => new object[] { n / (Colours.Length - 1.0), colour }).ToArray());
        trace.SetProperty("colorbar", Part(("x", ScaleFrom), ("xanchor", "left"), ("xpad", 0), ("thickness", 12), ("len", 0.8), ("y", 0), ("yanchor", "bottom"), ("ypad", 0), ("outlinewidth", 0),
            ("tickmode", "array"), ("tickvals", ScaleTicks), ("ticktext", ScaleTicks.Select(tick => tick == 0 ? "0 dB" : $"−{-tick}").ToArray()), ("ticklen", 3)));
        trace.SetProperty("hovertemplate", "%{x:.4~g} Hz, %{y:.0f} ms: %{z:.1f} dB<extra></extra>");
        return trace;
    }

    /// <summary>A line at a peak with its label, which stands to its left where the right end of the axis is near.</summary>
    private static Trace Mark(SlowPeak peak, double lastMs, double topMs, LogAxis axis)
    {
        var left = Math.Log10(axis.ToHz / peak.FrequencyHz) < LabelShare * axis.Decades;
        var (before, behind) = left ? ("", " \u2009") : ("\u2009 ", "");
        return Charts.Scatter("lines+text", Rounded([peak.FrequencyHz, peak.FrequencyHz, peak.FrequencyHz]), Rounded([0, lastMs, topMs]), ("line", Charts.Line(MarkColour, 1.6, "dot")),
            ("text", new[] { "", "", string.Create(CultureInfo.InvariantCulture, $"{before}{peak.FrequencyHz:0.0} Hz{behind}<br>{before}{peak.DecaySeconds:0.00} s{behind}") }),
            ("textposition", left ? "bottom left" : "bottom right"), ("textfont", Part(("size", 11.5))), ("hovertext", Sentence(peak)), ("hovertemplate", "%{hovertext}<extra></extra>"));
    }

    private static Trace Box(double frequencyHz, DecayResolution resolution, double bottomMs)
    {
        var (low, high, top) = (frequencyHz - resolution.FrequencyHz / 2, frequencyHz + resolution.FrequencyHz / 2, bottomMs + resolution.TimeSeconds * 1000);
        return Charts.Scatter("lines", Rounded([low, high, high, low, low]), Rounded([bottomMs, bottomMs, top, top, bottomMs]), ("line", Charts.Line(Grey, 1.2)), ("fill", "toself"),
            ("fillcolor", "rgba(138,138,138,0.35)"), ("hoveron", "fills"), ("hoverinfo", "text"), ("text", string.Create(CultureInfo.InvariantCulture,
                $"Finest detail at {Hertz(frequencyHz)} Hz: {resolution.FrequencyHz:0.0} Hz and {resolution.TimeSeconds * 1000:0} ms")));
    }

    /// <summary>The detail at every frequency of the map that carries a label.</summary>
    private static (double FrequencyHz, DecayResolution Resolution)[] Details(DecayMap map)
    {
        var ticks = LogAxis.Around(map.FrequenciesHz[0], map.FrequenciesHz[^1]).TicksHz.Where(tick => tick >= map.FrequenciesHz[0] && tick <= map.FrequenciesHz[^1]).ToArray();
        if (ticks.Length == 0) ticks = [map.FrequenciesHz[map.FrequenciesHz.Count / 2]];
        return [.. ticks.Select(tick => (tick, map.ResolutionAt(Nearest(map, tick))))];
    }

    private static int Nearest(DecayMap map, double frequencyHz)
    {
        var best = 0;
        for (var k = 1; k < map.FrequenciesHz.Count; k++)
            if (Math.Abs(map.FrequenciesHz[k] - frequencyHz) < Math.Abs(map.FrequenciesHz[best] - frequencyHz)) best = k;
        return best;
    }

    /// <summary>The slowest peaks without a doubt, far enough apart for their labels.</summary>
    private static List<SlowPeak> Labelled(IReadOnlyList<SlowPeak> peaks)
    {
        var labelled = new List<SlowPeak>();
        foreach (var peak in peaks.Where(peak => peak.Doubt.Doubt == Doubt.None))
            if (labelled.Count < MostLabels && labelled.TrueForAll(other => Math.Abs(Math.Log2(other.FrequencyHz / peak.FrequencyHz)) >= LabelledOctaves)) labelled.Add(peak);
        return labelled;
    }

    private static double Step(double lastMs) => new[] { 1.0, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000 }.First(step => lastMs / step <= 7 || step >= 10000);

    private static string Sentence(SlowPeak peak) => string.Create(CultureInfo.InvariantCulture,
        $"{peak.FrequencyHz:0.0} Hz takes {peak.DecaySeconds:0.00} s (± {peak.DecaySdSeconds:0.00} s) to fall by 60 dB");

    private static string What(DecayMap map) => map.Kind switch
    {
        DecayMapKind.Cumulative => "what is still to come from each moment on",
        DecayMapKind.Spectrogram => "what happens round each moment",
        _ => "what happens round each moment, with equally many periods at every frequency",
    };

    private static string Alternative(DecayMap map, IReadOnlyList<SlowPeak> peaks, string title)
    {
        var slowest = peaks.Count > 0 ? peaks[0] : (SlowPeak?)null;
        var said = slowest is { } peak ? $"The slowest: {Sentence(peak)}{(peak.Doubt.Doubt == Doubt.None ? "" : $"; {peak.Doubt.Sentence}")}." : "No frequency stands out as slow.";
        return string.Create(CultureInfo.InvariantCulture,
            $"{(title.Length > 0 ? title : "Decay")}, {WithUnit(map.FrequenciesHz[0])} to {WithUnit(map.FrequenciesHz[^1])} over {map.SliceSeconds[^1]:0.##} s. {said}");
    }

    private static string Note(DecayMap map, (double FrequencyHz, DecayResolution Resolution)[] details, string dotted)
    {
        var (first, end) = (details[0], details[^1]);
        var window = map.Kind == DecayMapKind.ConstantRelative
            ? $"a window of {map.WindowSecondsAt(Nearest(map, first.FrequencyHz)) * first.FrequencyHz:0.0} periods: {map.WindowSecondsAt(Nearest(map, first.FrequencyHz)):0.000} s at {Hertz(first.FrequencyHz)} Hz, {map.WindowSecondsAt(Nearest(map, end.FrequencyHz)):0.000} s at {Hertz(end.FrequencyHz)} Hz"
            : $"a window of {map.WindowSecondsAt(0):0.###} s";
        var finest = map.Kind == DecayMapKind.ConstantRelative ? "" : string.Create(CultureInfo.InvariantCulture, $", {first.Resolution.FrequencyHz:0.0} Hz wide and {first.Resolution.TimeSeconds * 1000:0} ms high everywhere");
        var noise = double.IsNaN(map.NoiseDb(0)) ? "Grey: lower still; the record is too short to tell the noise." : "Grey: lower still, or no more than noise may reach.";
        return FormattableString.Invariant($"Colour: {What(map)}, in decibels below the loudest, through {window}. {noise} The small boxes on top are the finest detail that the window lets through{finest}; no 60 dB can seem to take less than {first.Resolution.ShortestDecaySeconds:0.000} s at {Hertz(first.FrequencyHz)} Hz. Dotted: {dotted}, with the time they take for 60 dB.");
    }
}
