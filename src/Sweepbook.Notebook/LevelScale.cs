// SPDX-License-Identifier: MIT
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>A level axis in standard proportions: one decade of frequency is as long as 50 dB, or as 25 dB.</summary>
/// <remarks>
/// The chart library cannot tie a linear axis to a logarithmic one, so the height follows from the width: the page does it when it draws
/// and whenever the width changes. Source: IEC 60263:2020, scales and sizes for plotting frequency characteristics.
/// </remarks>
internal sealed class LevelScale
{
    private const double NominalPlotWidth = 770;   // of an 860 pixel figure
    private const double PleasantHeight = 400;

    private LevelScale(double bottomDb, double topDb, double decadeDb) => (BottomDb, TopDb, DecadeDb) = (bottomDb, topDb, decadeDb);

    public double BottomDb { get; }

    public double TopDb { get; }

    public double SpanDb => TopDb - BottomDb;

    /// <summary>Decibels that are as long as one decade.</summary>
    public double DecadeDb { get; }

    /// <summary>Holds the levels from <paramref name="lowestDb"/> to <paramref name="highestDb"/> in whole tens, 40 dB at least and 70 dB at most (the top wins).</summary>
    public static LevelScale Around(double lowestDb, double highestDb, LogAxis axis)
    {
        if (!double.IsFinite(lowestDb) || !double.IsFinite(highestDb)) (lowestDb, highestDb) = (-40, 0);
        var top = 10 * Math.Ceiling((highestDb + 2) / 10);
        var bottom = Math.Clamp(10 * Math.Floor((lowestDb - 2) / 10), top - 70, top - 40);
        var height50 = NominalPlotWidth / axis.Decades * (top - bottom) / 50;
        var decadeDb = Math.Abs(height50 - PleasantHeight) <= Math.Abs(2 * height50 - PleasantHeight) ? 50 : 25;
        return new(bottom, top, decadeDb);
    }

    public DynamicObj.DynamicObj ToPart(string title) =>
        Part(("range", new[] { BottomDb, TopDb }), ("dtick", 10), ("tick0", 0), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false),
            ("title", Part(("text", title), ("standoff", 6))), ("automargin", false), ("showline", true));
}
