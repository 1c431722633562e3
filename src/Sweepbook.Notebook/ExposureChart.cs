// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>Allowed minutes in a day over the level: a straight line, because the time is halved for each step of level.</summary>
internal static class ExposureChart
{
    private const double HighestDb = 112;   // the last level that the recommendation's own table lists
    private static readonly int[] Strides = [1, 2, 4];   // the page keeps the levels that are multiples of it
    private static readonly (double Minutes, string Words)[] Ticks = [(1, "1 min"), (5, "5 min"), (15, "15 min"), (60, "1 h"), (240, "4 h"), (480, "8 h")];

    public static Figure Draw(string fromFile)
    {
        double[] levels = [.. Enumerable.Range(0, 1 + (int)(HighestDb - Exposure.DayLevelDb)).Select(n => Exposure.DayLevelDb + n)];
        double[] steps = [.. levels.Where((_, n) => n % 3 == 0)];
        string[] labels = [.. steps.Select(level => FormattableString.Invariant($"{level:0}"))];   // the page shows every label where there is room, else every so many
        var minutes = levels.Select(Exposure.AllowedMinutes).ToArray();
        var hover = levels.Zip(minutes, (level, time) => FormattableString.Invariant($"{level:0} dB(A): {(time < 60 ? $"{time:0.0} min" : $"{time / 60:0.0} h")}")).ToArray();
        // a straight line on a scale of halvings: the moments are named, not the powers of two
        var line = Charts.Scatter("lines+markers", levels, Rounded([.. minutes.Select(Math.Log2)]), ("line", Charts.Line(Palette.Colour(0), 2)), ("marker", Part(("size", 6), ("color", Palette.Colour(0)))),
            ("name", "allowed time"), ("hovertext", hover), ("hovertemplate", "%{hovertext}<extra></extra>"));
        var xAxis = Part(("range", new[] { Exposure.DayLevelDb - 1, HighestDb + 1 }), ("tickmode", "array"), ("tickvals", steps), ("ticktext", labels), ("labels", labels), ("strides", Strides), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false),
            ("automargin", false), ("showline", true), ("title", Part(("text", "Level at the ear (dB(A))"), ("standoff", 8))));
        var yAxis = Part(("range", new[] { Math.Log2(0.8), Math.Log2(640) }), ("tickmode", "array"), ("tickvals", Ticks.Select(tick => Math.Log2(tick.Minutes)).ToArray()),
            ("ticktext", Ticks.Select(tick => tick.Words).ToArray()), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false), ("automargin", false), ("showline", true),
            ("title", Part(("text", "Allowed in one day"), ("standoff", 6))));
        return new(Charts.Of([line], xAxis, yAxis), "Allowed time in one day over the level at the ear: 8 hours at 85 dB(A), half of it for each 3 dB more, one hour at 94 dB(A), a minute at 112 dB(A).", fromFile)
        {
            Title = "How long a level may be heard in one day",
            Height = 320,
            LeftMargin = 72,
            Note = "Recommended limit for a working life: 85 dB(A) for 8 hours, half the time for each 3 dB more. Low bass hardly counts in dB(A) and is no safer for that.",
        };
    }
}
