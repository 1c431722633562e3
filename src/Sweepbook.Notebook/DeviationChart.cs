// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Microphones;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>One microphone in a figure of deviations.</summary>
/// <param name="Name">The microphone.</param>
/// <param name="Colour">Its colour.</param>
/// <param name="Place">Its place in the survey, for line pattern and mark.</param>
/// <param name="ThirdOctaves">Its deviations.</param>
/// <param name="BottomOctave">The lowest octave that is given.</param>
/// <param name="TopOctaves">The two highest that are given.</param>
internal sealed record DeviationRow(string Name, string Colour, int Place, IReadOnlyList<BandDeviation> ThirdOctaves, BandDeviation BottomOctave, IReadOnlyList<BandDeviation> TopOctaves);

/// <summary>Deviations from a reference over the third octaves: filled marks are more than setting a microphone up again explains, open ones are not.</summary>
internal static class DeviationChart
{
    private const string Band = "rgba(127,127,127,0.35)", Octave = "rgba(127,127,127,0.13)";
    private static readonly string[] Marks = ["diamond", "square", "circle", "triangle-up", "triangle-down", "pentagon", "star"];
    private const int NamedOctaves = 3;
    private const double LeastDb = 2.5, StepsDb = 10, RoomDb = 1;   // the words stand above the marks

    public static Figure Draw(string title, string reference, string place, IReadOnlyList<DeviationRow> rows, bool isNoiseOnly)
    {
        var bands = rows.SelectMany(row => row.ThirdOctaves).Where(band => band.IsGiven).Select(band => band.Band).Distinct().OrderBy(band => band.Index).ToArray();
        var axis = bands.Length == 0 ? new LogAxis(20, 20_000) : LogAxis.Around(bands[0].LowerHz, Math.Min(bands[^1].UpperHz, 20_000));
        var given = rows.SelectMany(row => row.ThirdOctaves).Where(band => band.IsGiven).ToArray();
        var reach = Math.Max(LeastDb, given.Select(band => Math.Abs(band.DeviationDb)).DefaultIfEmpty(0).Max()) + RoomDb;
        var traces = new List<Trace>();
        BandDeviation[] named = [.. Named(rows)];
        foreach (var octave in named) traces.Add(Shaded(octave.Band.LowerHz, Math.Min(octave.Band.UpperHz, axis.ToHz), reach, Octave, "named octave"));
        if (named.Length == NamedOctaves)
        {
            traces.Add(BandChart.Words(axis.FromHz, reach - RoomDb / 2, "bottom octave", "middle right", "", ""));
            traces.Add(BandChart.Words(axis.ToHz, reach - RoomDb / 2, "top two octaves", "middle left", "", ""));
        }
        traces.AddRange(Explained(bands, given));
        traces.AddRange(rows.Select(Line));
        if (bands.Length == 0) traces.Add(BandChart.Words(axis.FromHz, 0, "no third octave can be told", "middle right", "", "The reasons are in microphones.csv"));
        var yAxis = Part(("range", new[] { -reach, reach }), ("dtick", reach > StepsDb ? 5 : 1), ("tick0", 0), ("ticks", "outside"), ("ticklen", 4), ("zeroline", true), ("zerolinewidth", 1.5), ("automargin", false), ("showline", true),
            ("title", Part(("text", $"Deviation from {Encode(reference)} (dB)"), ("standoff", 6))));
        return new(Charts.Of(traces, axis.ToPart("Frequency (Hz)"), yAxis), $"{title}, third octaves{(place.Length > 0 ? $", {place}" : "")}. {string.Join(" ", rows.Select(Said))}", "microphones.csv")
        {
            Title = title,
            Height = 380,
            Note = $"Third octaves, after both were matched in the middle{(place.Length > 0 ? $"; {place}" : "")}. "
                + (isNoiseOnly ? $"{reference} was read only once, so nobody knows what moving a microphone does: the dark band is noise alone, and no mark is filled. "
                    : "Filled marks lie beyond what setting a microphone up again explains (the dark band, 95 %), open marks within. ")
                + $"Light grey: the bottom octave and the top two, where microphones part company.{(rows.Count == 1 ? " " + Said(rows[0]) : "")}",
            Legend = [.. rows.Select(row => new LegendEntry(row.Name, row.Name, row.Colour, Palette.DashOf(row.Place)))],
        };
    }

    /// <summary>The bottom octave and the top two of all rows together.</summary>
    private static IEnumerable<BandDeviation> Named(IReadOnlyList<DeviationRow> rows)
    {
        var bottom = rows.Select(row => row.BottomOctave).Where(band => band.IsGiven).OrderBy(band => band.Band.Index).Take(1);
        var top = rows.SelectMany(row => row.TopOctaves).Where(band => band.IsGiven).OrderByDescending(band => band.Band.Index).DistinctBy(band => band.Band).Take(2);
        return bottom.Concat(top).DistinctBy(band => band.Band);
    }

    private static Trace Shaded(double fromHz, double toHz, double reach, string colour, string name) =>
        Charts.Scatter("lines", Rounded([fromHz, toHz, toHz, fromHz, fromHz]), Rounded([-reach, -reach, reach, reach, -reach]), ("fill", "toself"), ("fillcolor", colour), ("line", Charts.Line(colour, 0)), ("name", name), ("hoverinfo", "skip"));

    /// <summary>Band by band the largest of what repeats leave open.</summary>
    private static IEnumerable<Trace> Explained(Quantities.FrequencyBand[] bands, BandDeviation[] given)
    {
        var known = bands.Select(band => (Band: band, Db: given.Where(item => item.Band == band && double.IsFinite(item.RepeatabilityDb)).Select(item => item.RepeatabilityDb).DefaultIfEmpty(double.NaN).Max())).Where(item => double.IsFinite(item.Db)).ToArray();
        if (known.Length == 0) yield break;
        double[] up = [.. known.SelectMany(item => new[] { item.Band.LowerHz, item.Band.UpperHz })], db = [.. known.SelectMany(item => new[] { item.Db, item.Db })];
        yield return Charts.Scatter("lines", Rounded([.. up, .. up.Reverse()]), Rounded([.. db, .. db.Reverse().Select(value => -value)]), ("fill", "toself"), ("fillcolor", Band), ("line", Charts.Line(Band, 1)), ("name", "explained by setting up again"), ("hoverinfo", "skip"));
    }

    private static Trace Line(DeviationRow row)
    {
        var all = row.ThirdOctaves.Where(band => band.Band.UpperHz > 0).OrderBy(band => band.Band.Index).ToArray();
        var mark = Marks[row.Place % Marks.Length];
        return Charts.Scatter("lines+markers", Rounded([.. all.Select(band => band.Band.CentreHz)]), Rounded([.. all.Select(band => Math.Round(band.DeviationDb, 3))]),
            ("name", Encode(row.Name)), ("legendgroup", row.Name), ("line", Charts.Line(row.Colour, 1.3, Palette.DashOf(row.Place))), ("connectgaps", false),
            ("marker", Part(("color", row.Colour), ("size", 8), ("symbol", all.Select(band => band.IsSignificant ? mark : mark + "-open").ToArray()))),
            ("hovertext", all.Select(band => Encode(Hover(row.Name, band))).ToArray()), ("hovertemplate", "%{hovertext}<extra></extra>"));
    }

    private static string Hover(string name, BandDeviation band) => !band.IsGiven ? $"{name}, {band.Band.Label} Hz: {band.Reason}"
        : FormattableString.Invariant($"{name}, {band.Band.Label} Hz: {Signed(band.DeviationDb)} dB{(double.IsFinite(band.RepeatabilityDb) ? FormattableString.Invariant($" ± {band.RepeatabilityDb:0.00} dB") : "")}");

    private static string Said(DeviationRow row)
    {
        var given = row.ThirdOctaves.Where(band => band.IsGiven).ToArray();
        if (given.Length == 0) return $"{row.Name}: nothing can be told.";
        List<BandDeviation> named = [.. new[] { row.BottomOctave }.Where(band => band.IsGiven), .. row.TopOctaves];
        var farthest = given.MaxBy(band => Math.Abs(band.DeviationDb));
        var octaves = named.Count == 0 ? "" : $"{string.Join(", ", named.DistinctBy(band => band.Band).Select(band => $"{Signed(band.DeviationDb)} dB in the {WithUnit(band.Band.NominalHz)} octave"))}; ";
        return FormattableString.Invariant($"{row.Name}: {octaves}farthest off in the third octave of {WithUnit(farthest.Band.NominalHz)}, {Signed(farthest.DeviationDb)} dB; {given.Count(band => band.IsSignificant)} of {given.Length} third octaves are more than setting up again explains.");
    }

    private static string Signed(double db) => FormattableString.Invariant($"{(db < -0.05 ? "−" : db > 0.05 ? "+" : "")}{Math.Abs(db):0.0}");
}
