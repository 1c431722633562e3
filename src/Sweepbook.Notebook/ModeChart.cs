// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Rooms;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>A row for the room and one for each place; at every predicted mode a stem as long as the place meets it, upwards or downwards by its sign.</summary>
internal static class ModeChart
{
    public const string Neutral = "#7f7f7f";
    private const string Baseline = "rgba(127,127,127,0.5)";
    private const double HalfRow = 0.42;
    private const double RowHeight = 40;
    private const double LabelDecades = 0.11;   // two orders side by side, also on a small screen

    public static Figure Draw(PlacedModes modes, IReadOnlyList<string> colours, string said)
    {
        var axis = new LogAxis(LogAxis.Around(modes.Modes[0].FrequencyHz * 0.97, modes.BelowHz).FromHz, modes.BelowHz * 1.03);
        var traces = new List<Trace> { Stems("all modes", Neutral, 0, [.. modes.Modes.Select(mode => (mode, Height(mode.Kind)))], up: 0.5), Orders(modes.Modes) };
        var meetings = modes.Places.Select(place => modes.Meetings.Where(meeting => meeting.Place == place).ToArray()).ToArray();
        for (var n = 0; n < meetings.Length; n++)
        {
            var row = n + 1;
            traces.Add(Charts.Scatter("lines", Rounded([axis.FromHz, axis.ToHz]), new[] { row, row }, ("line", Charts.Line(Baseline, 0.8)), ("hoverinfo", "skip")));
            traces.Add(Stems(modes.Places[n].Name, colours[n], row, [.. meetings[n].Select(meeting => (meeting.Mode, meeting.ShapeRatio))], up: 0));
            PlaceInMode[] nodes = [.. meetings[n].Where(meeting => meeting.IsInNode)];
            if (nodes.Length > 0)
                traces.Add(Charts.Scatter("markers", Rounded([.. nodes.Select(node => node.Mode.FrequencyHz)]), nodes.Select(_ => row).ToArray(), ("name", Encode(modes.Places[n].Name)),
                    ("marker", Part(("symbol", "circle-open"), ("size", 8), ("color", colours[n]), ("line", Part(("width", 1.6))))),
                    ("text", nodes.Select(node => $"in a node of {node.Mode.Order}").ToArray()), ("hovertemplate", "%{x:.4~g} Hz, %{text}")));
        }
        var names = new[] { "all modes" }.Concat(modes.Places.Select(place => place.Kind == PlaceKind.Source ? $"{place.Name} (source)" : place.Name)).ToArray();
        var yAxis = Part(("range", new[] { meetings.Length + 0.55, -0.75 }), ("tickmode", "array"), ("tickvals", Enumerable.Range(0, names.Length).ToArray()), ("ticktext", names.Select(Encode).ToArray()),
            ("showgrid", false), ("zeroline", false), ("ticks", ""), ("automargin", false), ("fixedrange", true));
        return new(Charts.Of(traces, axis.ToPart("Frequency (Hz)"), yAxis), $"Predicted modes. {said}", "predicted-modes.csv")
        {
            Title = "Predicted modes and who meets them",
            Height = (int)((meetings.Length + 1.3) * RowHeight) + 62,
            LeftMargin = 150,
            Note = "Top row: long for axial modes (one pair of walls; some orders written above), shorter for two and for three pairs."
                + (meetings.Length == 0 ? " No positions are stated, so no places are shown."
                    : " Below: the longer the stem, the more the place meets the mode; up and down swing in opposite phase. Circle: the place sits in a node, 20 dB or more below the strongest place.")
                + " For an empty box; furniture, doors and soft walls move real modes by several per cent.",
        };
    }

    private static double Height(ModeKind kind) => kind switch { ModeKind.Axial => 1, ModeKind.Tangential => 0.6, _ => 0.3 };

    /// <summary>Stems from a row's middle, or from its lower edge where <paramref name="up"/> moves their foot down.</summary>
    private static Trace Stems(string name, string colour, int row, IReadOnlyList<(PredictedMode Mode, double Size)> stems, double up)
    {
        var foot = row + up * 2 * HalfRow;
        var scale = up > 0 ? 2 * HalfRow : HalfRow;
        return Charts.Scatter("lines", stems.SelectMany(stem => new object?[] { Math.Round(stem.Mode.FrequencyHz, 3), Math.Round(stem.Mode.FrequencyHz, 3), null }).ToArray(),
            stems.SelectMany(stem => new object?[] { foot, Math.Round(foot - scale * stem.Size, 4), null }).ToArray(), ("line", Charts.Line(colour, 3)), ("connectgaps", false), ("name", Encode(name)),
            ("text", stems.SelectMany(stem => Enumerable.Repeat(up > 0 ? $"{stem.Mode.Order}, {stem.Mode.Kind.ToString().ToLowerInvariant()}" : FormattableString.Invariant($"{stem.Mode.Order}: {stem.Size:0.00}"), 3)).ToArray()),
            ("hovertemplate", "%{x:.4~g} Hz, %{text}"));
    }

    /// <summary>The orders of axial modes, as far as they stay apart.</summary>
    private static Trace Orders(IReadOnlyList<PredictedMode> modes)
    {
        var (shown, last) = (new List<PredictedMode>(), 0.0);
        foreach (var mode in modes.Where(mode => mode.Kind == ModeKind.Axial))
        {
            if (last > 0 && Math.Log10(mode.FrequencyHz / last) < LabelDecades) continue;
            shown.Add(mode);
            last = mode.FrequencyHz;
        }
        return Charts.Scatter("text", Rounded([.. shown.Select(mode => mode.FrequencyHz)]), shown.Select(_ => -HalfRow).ToArray(), ("text", shown.Select(mode => mode.Order).ToArray()),
            ("textposition", "top center"), ("textfont", Part(("size", 11.5))), ("cliponaxis", false), ("hoverinfo", "skip"), ("name", "orders"));
    }
}
