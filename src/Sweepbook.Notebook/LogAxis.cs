// SPDX-License-Identifier: MIT
using System.Globalization;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>A logarithmic frequency axis with ticks at 1, 2 and 5 and labels in plain decimals.</summary>
internal sealed class LogAxis
{
    /// <summary>An axis between two frequencies in hertz.</summary>
    public LogAxis(double fromHz, double toHz) => (FromHz, ToHz) = (fromHz, toHz);

    public double FromHz { get; }

    public double ToHz { get; }

    public double Decades => Math.Log10(ToHz / FromHz);

    /// <summary>The tightest axis from a 1-2-5 frequency to a 1-2-5 frequency that holds both.</summary>
    public static LogAxis Around(double lowestHz, double highestHz)
    {
        var steps = Steps(-3, 7);
        return new(steps.Last(step => step <= lowestHz * 1.0001), steps.First(step => step >= highestHz / 1.0001));
    }

    /// <summary>1-2-5 frequencies inside the axis.</summary>
    public double[] TicksHz => [.. Steps(-3, 7).Where(step => step >= FromHz * 0.9999 && step <= ToHz * 1.0001)];

    public DynamicObj.DynamicObj ToPart(string title)
    {
        var ticks = TicksHz;
        var minor = Enumerable.Range(-3, 10).SelectMany(decade => Enumerable.Range(3, 7).Where(step => step != 5).Select(step => step * Math.Pow(10, decade)))
            .Where(step => step > FromHz && step < ToHz).ToArray();
        return Part(("type", "log"), ("range", new[] { Math.Log10(FromHz), Math.Log10(ToHz) }), ("tickmode", "array"), ("tickvals", ticks),
            ("ticktext", ticks.Select(tick => tick.ToString("0.###", CultureInfo.InvariantCulture)).ToArray()), ("ticks", "outside"), ("ticklen", 4),
            ("tickangle", 0), ("minor", Part(("tickmode", "array"), ("tickvals", minor), ("showgrid", true))),
            ("title", Part(("text", title), ("standoff", 8))), ("zeroline", false), ("automargin", false), ("showline", true));
    }

    private static double[] Steps(int fromDecade, int toDecade) =>
        [.. Enumerable.Range(fromDecade, toDecade - fromDecade + 1).SelectMany(decade => new[] { 1.0, 2, 5 }.Select(step => Math.Round(step * Math.Pow(10, decade), 6)))];
}
