// SPDX-License-Identifier: MIT
using Plotly.NET;
using Sweepbook.Nearfield;
using Sweepbook.Studies;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>The near field, a gated free-field response and the curve joined from both.</summary>
internal static class SpliceChart
{
    private const string Overlap = "overlap";
    private const string Band = "rgba(127,127,127,0.22)";
    private const double BelowBand = 1.2, HighestHz = 20_000;

    public static Figure Draw(BoxResult box, ResponseResult gated, FreeFieldSplice splice)
    {
        var (near, free) = (box.NearFieldAt(gated), gated.Response);
        var metres = gated.Takes[0].DistanceMm!.Value / 1000;
        var isComparable = near.Reference == free.Reference;
        Curve[] curves =
        [
            .. isComparable ? [BoxChart.Of("near field", Palette.Colour(0), "dash", near)] : Array.Empty<Curve>(),
            BoxChart.Of("free field, gated", Palette.Colour(1), "dot", free),
            .. splice.IsJoined ? [Joined(splice)] : Array.Empty<Curve>(),
        ];
        var said = Said(box, gated, splice);
        return CurveChart.Draw(curves, LevelTitle(free), said, BoxChart.FromFile,
            FormattableString.Invariant($"{said} The near field is brought to {metres:0.##} m{(box.Size is null ? " in half space, for the size of the box is not stated" : ", the box's edges reckoned with")}. Not smoothed. {BoxChart.Faint}"),
            AxisOf(near.LevelTrust.LongestBand(), free.LevelTrust.LongestBand(), free.Grid[0]), FormattableString.Invariant($"{BoxChart.Named(box)}, and from {metres:0.##} m: {(splice.IsJoined ? "joined" : "not joined")}"),
            scale => double.IsNaN(splice.OverlapFromHz) ? [] : [Shade(splice, scale)], [.. double.IsNaN(splice.OverlapFromHz) ? Array.Empty<LegendEntry>() : [new(Overlap, Overlap, "#b5b5b5", "solid")]]);
    }

    private static string Said(BoxResult box, ResponseResult gated, FreeFieldSplice splice) => splice.IsJoined
        ? FormattableString.Invariant($"Near field and free field of {box.Id} overlap from {WithUnit(splice.OverlapFromHz)} to {WithUnit(splice.OverlapToHz)} ({splice.OverlapOctaves:0.0} octaves). There the free field lies {splice.LevelMismatchDb:+0.0;−0.0;0.0} dB from the near field, which is moved by that, and the slopes differ by {splice.SlopeMismatchDbPerOctave:+0.0;−0.0;0.0} dB per octave.")
        : $"The near field of {box.Id} and {gated.Takes[0].File} are not joined. {splice.WhyNot}";

    private static Curve Joined(FreeFieldSplice splice) => new()
    {
        Name = "joined",
        Colour = Palette.Colour(2),
        FrequenciesHz = [.. splice.Points.Select(point => point.FrequencyHz)],
        LevelsDb = [.. splice.Points.Select(point => point.LevelDb)],
        Doubts = [.. splice.Points.Select(_ => "")],
    };

    private static LogAxis AxisOf(TrustedBand near, TrustedBand free, double lowestHz)
    {
        var bands = new[] { near, free }.Where(band => !band.IsEmpty).ToArray();
        return bands.Length == 0 ? LogAxis.Around(lowestHz, HighestHz) : LogAxis.Around(bands.Min(band => band.FromHz) / BelowBand, Math.Min(HighestHz, bands.Max(band => band.ToHz)));
    }

    private static Trace Shade(FreeFieldSplice splice, LevelScale scale) => Charts.Scatter("lines",
        Rounded([splice.OverlapFromHz, splice.OverlapToHz, splice.OverlapToHz, splice.OverlapFromHz]), Rounded([scale.BottomDb, scale.BottomDb, scale.TopDb, scale.TopDb]),
        ("fill", "toself"), ("fillcolor", Band), ("line", Charts.Line(Band, 0)), ("name", Overlap), ("legendgroup", Overlap), ("hoverinfo", "skip"));
}
