// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Seats;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>What a figure of seats needs: the seats as they are to be drawn, and the place of each in the survey for its colour.</summary>
internal sealed record SeatView(string Name, SeatSet Seats, LogAxis Axis, IReadOnlyList<int> Places, string Smoothing)
{
    /// <summary>Grid points on the axis.</summary>
    public int[] Inside => [.. Enumerable.Range(0, Seats.Grid.Count).Where(k => Seats.Grid[k] >= Axis.FromHz && Seats.Grid[k] <= Axis.ToHz)];
}

/// <summary>Means over seats with the seats behind them, and the spread over frequency. Drawn only where every seat can be trusted.</summary>
internal static class SeatChart
{
    private const string Neutral = "#7f7f7f";   // as far from white as from a dark page, and no seat's colour
    private const string Band = "rgba(127,127,127,0.22)";
    private const double BassFromHz = 20, BassToHz = 120;

    public static Figure Means(SeatView view)
    {
        var points = view.Inside.Select(k => view.Seats[k]).ToArray();
        double[] frequencies = [.. points.Select(point => point.FrequencyHz)];
        var traces = Bands(points).ToList();
        for (var n = 0; n < view.Places.Count; n++)
        {
            var seat = view.Seats.Seats[n].Seat;
            double[] levels = [.. view.Inside.Select(k => view.Seats.LevelTrust[k] ? view.Seats.LevelsDbAt(k)[n] : double.NaN)];
            traces.Add(Line(seat, Palette.Colour(view.Places[n]), 1.2, Palette.Dash(view.Places[n]), frequencies, levels, "", ("opacity", 0.55)));
        }
        traces.Add(Line("power mean", Neutral, 2.4, "dash", frequencies, [.. points.Select(point => point.PowerMeanDb)], ""));
        traces.Add(Line("level mean", Neutral, 3, "solid", frequencies, [.. points.Select(point => point.LevelMeanDb)], "<br>%{text}",
            ("text", points.Select(point => FormattableString.Invariant($"± {point.SpreadDb:0.0} dB{(point.IsLowerBound ? " at least" : "")}")).ToArray())));
        var trusted = points.Where(point => point.IsTrusted).ToArray();
        var scale = trusted.Length == 0 ? LevelScale.Around(double.NaN, double.NaN, view.Axis)
            : LevelScale.Around(trusted.Min(point => Math.Min(point.LowestDb, point.LevelMeanDb - point.SpreadDb)), trusted.Max(point => point.HighestDb), view.Axis);
        return new(Charts.Of(traces, view.Axis.ToPart("Frequency (Hz)"), scale.ToPart(LevelTitle(view.Seats.Seats[0].Response))), $"Means over the seats. {Said(view)}", "seats.csv")
        {
            Axis = view.Axis,
            Scale = scale,
            Title = $"{view.Name}: means over {view.Seats.Seats.Count} seats",
            Note = $"{Said(view)} Grey band: level mean plus and minus the spread (standard deviation, {view.Seats.DividedInWords}). The power mean follows the loudest seat, the level mean counts a dip as much as a peak. {view.Smoothing} Drawn only where every seat can be trusted.",
            Legend = [new("level mean", "level mean", Neutral, "solid"), new("power mean", "power mean", Neutral, "dash"), .. view.Seats.Seats.Select((seat, n) =>
                new LegendEntry(seat.Seat, seat.Weight == 1 ? seat.Seat : FormattableString.Invariant($"{seat.Seat} (weight {seat.Weight:0.##})"), Palette.Colour(view.Places[n]), Palette.Dash(view.Places[n])))],
        };
    }

    public static Figure Spread(SeatView view)
    {
        var points = view.Inside.Select(k => view.Seats[k]).ToArray();
        double[] frequencies = [.. points.Select(point => point.FrequencyHz)];
        var bounds = points.Where(point => point.IsLowerBound).ToArray();
        var traces = new List<Trace>
        {
            Line("range", Neutral, 1.3, "dot", frequencies, [.. points.Select(point => point.RangeDb)], ""),
            Line("spread", Neutral, 3, "solid", frequencies, [.. points.Select(point => point.SpreadDb)], ""),
        };
        if (bounds.Length > 0)
            traces.Add(Charts.Scatter("markers", Rounded([.. bounds.Select(point => point.FrequencyHz)]), Rounded([.. bounds.Select(point => point.SpreadDb)]), ("name", "at least"), ("legendgroup", "spread"),
                ("line", Charts.Line(Neutral, 0)), ("marker", Part(("symbol", "triangle-up"), ("size", 9), ("color", Neutral))), ("hovertemplate", "%{x:.4~g} Hz, at least %{y:.1f} dB")));
        var top = points.Where(point => point.IsTrusted).Select(point => point.RangeDb).DefaultIfEmpty(10).Max();
        var yAxis = Part(("range", new[] { 0, 5 * Math.Ceiling(Math.Min(Math.Max(top, 4), 48) / 5 + 0.1) }), ("dtick", top > 24 ? 10 : 5), ("tick0", 0), ("ticks", "outside"), ("ticklen", 4), ("zeroline", false),
            ("title", Part(("text", "Difference (dB)"), ("standoff", 6))), ("automargin", false), ("showline", true));
        return new(Charts.Of(traces, view.Axis.ToPart("Frequency (Hz)"), yAxis), $"Spread over the seats. {Said(view)}", "seats.csv")
        {
            Height = 300,
            Title = $"{view.Name}: how differently {view.Seats.Seats.Count} seats hear",
            Note = $"{Said(view)} {view.Smoothing} Drawn only where every seat can be trusted." + (bounds.Length == 0 ? "" : " Triangles: at least so much, because a seat dips into the noise there."),
            Legend = [new("spread", "spread (standard deviation)", Neutral, "solid"), new("range", "range (highest less lowest)", Neutral, "dot")],
        };
    }

    /// <summary>What the figure shows, in two sentences: in the bass where that is trusted, else over the whole common band.</summary>
    private static string Said(SeatView view)
    {
        var common = view.Seats.LevelTrust.LongestBand();
        if (common.IsEmpty) return $"No frequency of {view.Name} can be trusted at every seat, so nothing is drawn.";
        var (from, to) = common.FromHz < BassToHz && common.ToHz > BassFromHz ? (Math.Max(BassFromHz, common.FromHz), Math.Min(BassToHz, common.ToHz)) : (common.FromHz, common.ToHz);
        var summary = view.Seats.Between(from, to);
        if (summary.Points == 0) return $"{view.Name} can be trusted at every seat from {common.Words}.";
        var worst = Enumerable.Range(0, view.Seats.Grid.Count).Where(k => view.Seats.Grid[k] >= from && view.Seats.Grid[k] <= to && view.Seats.LevelTrust[k]).MaxBy(k => view.Seats[k].RangeDb);
        return FormattableString.Invariant($"From {new TrustedBand(summary.FromHz, summary.ToHz, default, default).Words} the seats differ by {AtLeast(summary.IsLowerBound)}{Math.Sqrt(summary.MeanSpatialVarianceDb2):0.0} dB (root of the mean spatial variance). They differ most at {WithUnit(view.Seats.Grid[worst])}: {AtLeast(view.Seats[worst].IsLowerBound)}{view.Seats[worst].RangeDb:0} dB from {view.Seats.WeakestAt(worst)} to {view.Seats.LoudestAt(worst)}.");
    }

    private static string AtLeast(bool isLowerBound) => isLowerBound ? "at least " : "";

    private static Trace Line(string name, string colour, double width, string dash, double[] frequencies, double[] values, string hover, params ReadOnlySpan<(string Name, object? Value)> more)
    {
        var trace = Charts.Scatter("lines", Rounded(frequencies), Rounded([.. values.Select(value => Math.Round(value, 2))]), ("name", Encode(name)), ("legendgroup", name),
            ("line", Charts.Line(colour, width, dash)), ("connectgaps", false), ("hovertemplate", "%{x:.4~g} Hz, %{y:.1f} dB" + hover));
        foreach (var (property, value) in more) trace.SetProperty(property, value);
        return trace;
    }

    /// <summary>One closed shape per stretch of trusted points.</summary>
    private static IEnumerable<Trace> Bands(SeatPoint[] points)
    {
        for (var k = 0; k < points.Length; k++)
        {
            if (!points[k].IsTrusted) continue;
            var first = k;
            while (k + 1 < points.Length && points[k + 1].IsTrusted) k++;
            var run = points[first..(k + 1)];
            double[] x = [.. run.Select(point => point.FrequencyHz), .. run.Reverse().Select(point => point.FrequencyHz)];
            double[] y = [.. run.Select(point => point.LevelMeanDb + point.SpreadDb), .. run.Reverse().Select(point => point.LevelMeanDb - point.SpreadDb)];
            yield return Charts.Scatter("lines", Rounded(x), Rounded([.. y.Select(value => Math.Round(value, 2))]), ("fill", "toself"), ("fillcolor", Band), ("line", Charts.Line(Band, 0)), ("name", "spread"), ("hoverinfo", "skip"));
        }
    }
}
