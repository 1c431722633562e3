// SPDX-License-Identifier: MIT
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Studies;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>The model of a box's edges over frequency.</summary>
internal static class EdgeChart
{
    private const double FromHz = 20, ToHz = 5000;
    private const int PointsPerOctave = 24;
    private const double LeastDb = -8, MostDb = 4, TickDb = 2;
    private const double MostKaRatio = 2;    // of the model: above it a cone beams
    private const double HalfWayDb = -3;

    public static Figure Draw(BoxResult box, BaffleDiffraction far)
    {
        var grid = Quantities.LogGrid.Between(PointsPerOctave, FromHz, ToHz).ToArray();
        var endHz = box.WhyNoSum is null ? box.Sum.ConeLimit.FrequencyHz * MostKaRatio / Piston.OneDecibelKaRatio : ToHz;
        var distances = box.Splices.Select(entry => entry.Gated.Takes[0].DistanceMm!.Value / 1000).Distinct().ToArray();
        SpectrumLine[] lines =
        [
            new("far away", Palette.Colour(0), "solid", [.. grid.Select(far.LevelDbAt)]),
            .. distances.Select((metres, n) => new SpectrumLine(FormattableString.Invariant($"at {metres:0.##} m"), Palette.Colour(n + 1), Palette.DashOf(n + 1), [.. grid.Select(box.DiffractionAt(metres)!.LevelDbAt)])),
        ];
        var half = Array.Find(grid, frequency => far.LevelDbAt(frequency) >= HalfWayDb);
        var size = box.Size!.Value;
        var said = FormattableString.Invariant($"A front of {size.WidthMetres:0.##} × {size.HeightMetres:0.##} m: far away and low down it radiates into the whole space, 6 dB below an endless wall; at {WithUnit(half)} half of that step is done.");
        return SpectrumChart.Draw($"{box.Id}: what the edges of its front do", lines, grid,
            [.. grid.Select(frequency => frequency > endHz ? $"Not trusted: above {WithUnit(endHz)} (ka = 2) the cone beams and hardly lights the edges" : "")], (LeastDb, MostDb), TickDb, "Level over an endless wall (dB)", "dB",
            said, $"{said} Reckoned from the dimensions, on the axis, not measured: real edges ripple less where they are rounded. Faint: above ka = 2, where the cone beams.", SurveyFile, shown: LogAxis.Around(FromHz, ToHz));
    }

    private const string SurveyFile = Surveys.Survey.FileName;
}
