// SPDX-License-Identifier: MIT
using Microsoft.FSharp.Collections;
using Plotly.NET;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>What all figures share: from traces and two axes to a chart.</summary>
internal static class Charts
{
    public static GenericChart Of(IEnumerable<Trace> traces, DynamicObj.DynamicObj xAxis, DynamicObj.DynamicObj yAxis, params ReadOnlySpan<(string Name, object? Value)> more)
    {
        var layout = new Layout();
        layout.SetProperty("xaxis", xAxis);
        layout.SetProperty("yaxis", yAxis);
        layout.SetProperty("showlegend", false);
        layout.SetProperty("hovermode", "closest");
        layout.SetProperty("paper_bgcolor", "rgba(0,0,0,0)");
        layout.SetProperty("plot_bgcolor", "rgba(0,0,0,0)");
        foreach (var (name, value) in more) layout.SetProperty(name, value);
        return GenericChart.setLayout(layout, GenericChart.ofTraceObjects(false, ListModule.OfSeq(traces)));
    }

    public static Trace Scatter(string mode, object x, object y, params ReadOnlySpan<(string Name, object? Value)> more)
    {
        var trace = new Trace("scatter");
        trace.SetProperty("mode", mode);
        trace.SetProperty("x", x);
        trace.SetProperty("y", y);
        foreach (var (name, value) in more) trace.SetProperty(name, value);
        return trace;
    }

    public static DynamicObj.DynamicObj Line(string colour, double width, string dash = "solid") =>
        Part(("color", colour), ("width", width), ("dash", dash));

    /// <summary>An upright line at one frequency, in no seat's colour; the pattern tells the first from the second.</summary>
    public static Trace Upright(string name, double frequencyHz, double from, double to, int place) =>
        Scatter("lines", Rounded([frequencyHz, frequencyHz]), Rounded([from, to]), ("name", Encode(name)), ("legendgroup", name), ("line", Line(MarkColour, 1.4, MarkDashes[place % MarkDashes.Length])), ("hovertemplate", "%{x:.4~g} Hz, " + Encode(name)));

    /// <summary>Its line in the legend.</summary>
    public static LegendEntry UprightEntry(string name, int place) => new(name, name, MarkColour, MarkDashes[place % MarkDashes.Length]);

    private const string MarkColour = "#7f7f7f";   // as far from white as from a dark page
    private static readonly string[] MarkDashes = ["dot", "dashdot"];
}
