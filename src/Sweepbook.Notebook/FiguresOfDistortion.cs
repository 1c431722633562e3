// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Studies;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    private const int LeastReadable = 4;   // points, a third of an octave: fewer are chance, or nothing to look at

    /// <summary>Harmonics 2 to 5 and their total over the fundamental that was played, with the floor below which nothing can be said.</summary>
    /// <param name="harmonics">The harmonics.</param>
    /// <param name="title">Whose they are, or nothing.</param>
    /// <returns>One figure; bounds and the floor are drawn faint.</returns>
    public static Figure Distortion(Harmonics harmonics, string title = "")
    {
        ArgumentNullException.ThrowIfNull(harmonics);
        return Draw(harmonics, title, "none, the numbers were computed in this notebook", point => point.IsTrusted ? "" : point.Reason ?? "");
    }

    /// <summary>The harmonics of one source at one seat.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <returns>One figure, or none where no sweep was recorded.</returns>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static IReadOnlyList<Figure> Distortion(Study study, string source, string seat) => Find(study, source, seat) is { Harmonics: { } harmonics } result ? [Distortion(result, harmonics)] : [];

    /// <summary>The harmonics of every source, at the seat where they can be read at the most frequencies.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per source, setting and microphone (of those that took turns at one place the reference) of which the harmonics stand clear of their floor over a third of an octave or more, in the order of the survey.</returns>
    public static IReadOnlyList<Figure> Distortion(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.ResponsesOfOneMicrophone.Where(result => result.Harmonics is not null).GroupBy(result => (result.Source, result.Setting, result.Microphone))
            .Select(seats => seats.MaxBy(Readable)!).Where(result => Readable(result) >= LeastReadable).Select(result => Distortion(result, result.Harmonics!))];

        static int Readable(ResponseResult result) => result.Harmonics!.Total.Count(point => point.IsTrusted && result.DoubtOf(point).Length == 0);
    }

    private static Figure Distortion(ResponseResult result, Harmonics harmonics) =>
        Draw(harmonics, result.Seat.Length == 0 ? $"{Key(result)}: harmonics" : $"{Key(result)} at {result.Seat}: harmonics", "distortion.csv", result.DoubtOf);

    private static Figure Draw(Harmonics harmonics, string title, string fromFile, Func<HarmonicPoint, string> doubt)
    {
        var curves = new List<Curve> { CurveOf("all together", Palette.Colour(4), Palette.DashOf(0), harmonics.Total, doubt) };
        for (var order = 2; order <= Harmonics.HighestOrder; order++)
            curves.Add(CurveOf($"harmonic {order}", Palette.Colour(order - 2), Palette.DashOf(order - 1), harmonics.OfOrder(order), doubt));
        curves.Add(new()
        {
            Name = "floor",
            Colour = "#7f7f7f",
            Dash = Palette.DashOf(2),
            FrequenciesHz = [.. harmonics.Total.Select(point => point.FundamentalHz)],
            LevelsDb = [.. harmonics.Total.Select(point => point.FloorDb)],
            Doubts = [.. harmonics.Total.Select(_ => "What noise and the neighbouring harmonics read as, all orders together")],
        });
        var clear = harmonics.Total.Where(point => point.IsTrusted && doubt(point).Length == 0).ToList();
        var lowest = harmonics.Total.Where(point => double.IsFinite(point.FloorDb)).DefaultIfEmpty().MinBy(point => point.FloorDb);
        var said = "no harmonic stands clear of its floor" + (lowest.FundamentalHz > 0 ? FormattableString.Invariant($", which is lowest at {WithUnit(lowest.FundamentalHz)}, {lowest.FloorDb:0;−0} dB") : "");
        if (clear.Count > 0)
        {
            var highest = clear.MaxBy(point => point.LevelDb);
            said = FormattableString.Invariant($"together they are highest at {WithUnit(highest.FundamentalHz)}, {highest.Percent:0.0#} % of the fundamental");
        }
        return CurveChart.Draw([.. curves.Where(curve => curve.LevelsDb.Any(double.IsFinite))], "Level (dB re fundamental)",
            $"Levels of harmonics 2 to {Harmonics.HighestOrder}{(title.Length > 0 ? $" of {title.Replace(": harmonics", "", StringComparison.Ordinal)}" : "")} over the fundamental; {said}.", fromFile,
            "Over the frequency that was played; a harmonic lies at a multiple of it. Means over 1/6 octave. Faint: at most this, or not to be believed; grey: the floor. −40 dB is 1 %, −20 dB is 10 %.",
            AxisFor(harmonics), title);
    }

    private static LogAxis AxisFor(Harmonics harmonics)
    {
        var given = harmonics.OfOrder(2).Where(point => double.IsFinite(point.LevelDb)).DefaultIfEmpty(harmonics.Total[0]).ToList();
        return LogAxis.Around(given[0].FundamentalHz, Math.Max(given[^1].FundamentalHz, 10 * given[0].FundamentalHz));
    }

    private static Curve CurveOf(string name, string colour, string dash, IReadOnlyList<HarmonicPoint> points, Func<HarmonicPoint, string> doubt) => new()
    {
        Name = name,
        Colour = colour,
        Dash = dash,
        FrequenciesHz = [.. points.Select(point => point.FundamentalHz)],
        LevelsDb = [.. points.Select(point => point.LevelDb)],
        Doubts = [.. points.Select(point => point.IsTrusted && doubt(point).Length == 0 ? "" : doubt(point) is { Length: > 0 } words ? words : "Not given")],
    };
}
