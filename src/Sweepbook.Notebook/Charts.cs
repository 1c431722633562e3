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
}
