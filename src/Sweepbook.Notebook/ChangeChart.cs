// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Seats;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One seat in a figure of changes.</summary>
/// <param name="Name">The seat, or what stands for it.</param>
/// <param name="Place">Its place in the survey, for colour and mark.</param>
/// <param name="Bands">Its third octaves.</param>
internal sealed record ChangeRow(string Name, int Place, IReadOnlyList<SeatChange> Bands);

/// <summary>After less before over the third octaves: filled marks are more than is explained otherwise, open ones are not.</summary>
internal static class ChangeChart
{
    private const string Explained = "rgba(127,127,127,0.35)";
    private const double LeastDb = 2.5, RoomDb = 1, WideDb = 12;
    private static readonly string[] s_marks = ["circle", "square", "diamond", "triangle-up", "triangle-down", "pentagon", "star"];

    public static Figure Draw(string source, string explainedBy, IReadOnlyList<ChangeRow> rows, bool isNoiseOnly, bool isShape)
    {
        var all = rows.SelectMany(row => row.Bands).ToArray();
        var axis = LogAxis.Around(all.Min(band => band.FromHz), Math.Min(all.Max(band => band.ToHz), 20_000));
        var reach = Math.Max(LeastDb, all.Max(band => Math.Abs(band.Difference))) + RoomDb;
        var said = string.Join(" ", rows.Select(Said));
        var yAxis = Part(("range", new[] { -reach, reach }), ("dtick", reach > WideDb ? 5 : reach > WideDb / 2 ? 2 : 1), ("tick0", 0), ("ticks", "outside"), ("ticklen", 4), ("zeroline", true), ("zerolinewidth", 1.5), ("automargin", false), ("showline", true),
            ("title", Part(("text", "After less before (dB)"), ("standoff", 6))));
        return new(Charts.Of([.. Band(all, reach), .. rows.Select(Line)], axis.ToPart("Frequency (Hz)"), yAxis), $"{source}: change of {(isShape ? "shape" : "level")} from before to after in third octaves. {said}", "comparison.csv")
        {
            Title = $"{source}: what changed",
            Height = 380,
            Note = $"Third octaves{(isShape ? ", matched by the median of their differences: the shape alone" : "")}. Filled marks changed by more than {explainedBy}, open marks did not; each is judged by its own limit, of which the grey band is the largest at any seat (95 %).{(isNoiseOnly ? " Single takes: their part is noise only, not what drifts from take to take." : "")}{(rows.Count == 1 ? " " + said : "")}",
            Legend = [.. rows.Select(row => new LegendEntry(row.Name, row.Name, Palette.Colour(row.Place), Palette.Dash(row.Place)))],
        };
    }

    /// <summary>Third octave by third octave the largest limit.</summary>
    private static IEnumerable<Trace> Band(SeatChange[] all, double reach)
    {
        var known = all.Where(band => double.IsFinite(band.Limit)).GroupBy(band => band.Label).Select(group => (group.First().FromHz, group.First().ToHz, Db: Math.Min(reach, group.Max(band => band.Limit)))).OrderBy(band => band.FromHz).ToArray();
        if (known.Length == 0) yield break;
        double[] up = [.. known.SelectMany(band => new[] { band.FromHz, band.ToHz })], db = [.. known.SelectMany(band => new[] { band.Db, band.Db })];
        yield return Charts.Scatter("lines", Rounded([.. up, .. up.Reverse()]), Rounded([.. db, .. db.Reverse().Select(value => -value)]), ("fill", "toself"), ("fillcolor", Explained), ("line", Charts.Line(Explained, 0)), ("name", "explained otherwise"), ("hoverinfo", "skip"));
    }

    private static Trace Line(ChangeRow row)
    {
        var bands = row.Bands.OrderBy(band => band.FromHz).ToArray();
        var mark = s_marks[row.Place % s_marks.Length];
        return Charts.Scatter("lines+markers", Rounded([.. bands.Select(band => Math.Sqrt(band.FromHz * band.ToHz))]), Rounded([.. bands.Select(band => Math.Round(band.Difference, 2))]),
            ("name", Encode(row.Name)), ("legendgroup", row.Name), ("line", Charts.Line(Palette.Colour(row.Place), 1.3, Palette.Dash(row.Place))),
            ("marker", Part(("color", Palette.Colour(row.Place)), ("size", 8), ("symbol", bands.Select(band => band.IsSignificant ? mark : mark + "-open").ToArray()))),
            ("hovertext", bands.Select(band => Encode(Hover(row.Name, band))).ToArray()), ("hovertemplate", "%{hovertext}<extra></extra>"));
    }

    private static string Hover(string name, SeatChange band) => FormattableString.Invariant(
        $"{name}, {band.Label} Hz: {Signed(band.Difference)} dB, ± {band.Limit:0.0} dB explained otherwise");

    private static string Said(ChangeRow row)
    {
        var most = row.Bands.MaxBy(band => Math.Abs(band.Difference));
        return FormattableString.Invariant($"{row.Name}: {row.Bands.Count(band => band.IsSignificant)} of {row.Bands.Count} third octaves changed, most at {most.Label} Hz by {Signed(most.Difference)} dB.");
    }

    private static string Signed(double db) => FormattableString.Invariant($"{(db < -0.05 ? "−" : db > 0.05 ? "+" : "")}{Math.Abs(db):0.0}");
}
