// SPDX-License-Identifier: MIT
using System.Globalization;
using Plotly.NET;
using Sweepbook.Stimuli;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>The frequency of a sweep and of its harmonics over time. How far a harmonic lies to the left of the sweep is its lead.</summary>
internal static class SweepChart
{
    private const int Points = 200;
    private const int HighestOrder = 5;

    public static Figure Draw(SweepDesign sweep, string fromFile)
    {
        var description = sweep.Description;
        var highestHz = description.SampleRateHz / 2.0;
        var axis = LogAxis.Around(description.StartHz, Math.Min(HighestOrder * description.EndHz, highestHz));
        var traces = Enumerable.Range(1, HighestOrder).Select(order => Line(sweep, order, highestHz)).ToList();
        var (middle, ticks) = (Math.Sqrt(description.StartHz * description.EndHz), axis.TicksHz);
        var middleHz = ticks.Where(tick => tick >= 2 * description.StartHz && tick <= description.EndHz).DefaultIfEmpty(middle).MinBy(tick => Math.Abs(Math.Log(tick / middle)));
        var (second, itself) = (sweep.SecondsAt(middleHz / 2), sweep.SecondsAt(middleHz));
        var words = Text($"at {WithUnit(middleHz)} the second harmonic is {itself - second:0.###} s ahead");
        traces.Add(Charts.Scatter("lines+markers", Rounded([second, itself]), Rounded([middleHz, middleHz]), ("line", Charts.Line("#7f7f7f", 3)), ("marker", Part(("size", 8), ("color", "#7f7f7f"))),
            ("name", "lead"), ("legendgroup", "lead"), ("hovertemplate", Encode(words) + "<extra></extra>")));
        var xAxis = Part(("range", new[] { 0, sweep.Seconds }), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true),
            ("title", Part(("text", "Time since the sweep began (s)"), ("standoff", 8))));
        return new(Charts.Of(traces, xAxis, axis.ToPart("Frequency (Hz)")), $"Frequency over time, {sweep}, with its harmonics; {words}.", fromFile)
        {
            Title = char.ToUpperInvariant(sweep.ToString()[0]) + sweep.ToString()[1..],
            Height = 400,
            LeftMargin = 72,
            Note = $"Grey bar: {words}.",
            Legend = [.. Enumerable.Range(1, HighestOrder).Select(order => new LegendEntry(Name(order), Name(order), Palette.Colour(order - 1), Palette.DashOf(order - 1))),
                new LegendEntry("lead", "lead of the second harmonic", "#7f7f7f", "solid")],
        };
    }

    private static Trace Line(SweepDesign sweep, int order, double highestHz)
    {
        var (startHz, endHz) = (sweep.Description.StartHz, Math.Min(sweep.Description.EndHz, highestHz / order));
        var played = Enumerable.Range(0, Points + 1).Select(n => startHz * Math.Pow(Math.Max(1, endHz / startHz), (double)n / Points)).ToArray();
        return Charts.Scatter("lines", Rounded([.. played.Select(sweep.SecondsAt)]), Rounded([.. played.Select(frequencyHz => order * frequencyHz)]), ("name", Name(order)), ("legendgroup", Name(order)),
            ("line", Charts.Line(Palette.Colour(order - 1), order == 1 ? 2.6 : 1.6, Palette.DashOf(order - 1))), ("hovertemplate", "%{x:.3f} s, %{y:.4~g} Hz"));
    }

    private static string Name(int order) => order == 1 ? "the sweep" : Text($"harmonic {order}");

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
