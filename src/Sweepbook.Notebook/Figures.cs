// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>The figures of a study. Each takes the study itself, labels its units and names the table its numbers are in.</summary>
/// <remarks>
/// A seat keeps its colour in all of them. They draw what the study holds and compute nothing but the smoothing that their notes state;
/// what may not be believed is drawn faint. Own convention (design, the report and the figures).
/// </remarks>
public static partial class Figures
{
    private const double UnsmoothedUpToHz = 1000;
    private const int SmoothingFraction = 12;

    /// <summary>A bar per source and seat from the lowest to the highest frequency whose level may be believed, with the reason at each end.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure; it has no bars where no take could be used.</returns>
    public static Figure TrustedBands(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var settings = study.Responses.Select(result => result.Setting).Distinct().Count() > 1;
        var microphones = study.Responses.Select(result => result.Microphone).Distinct().Count() > 1;
        return BandChart.Draw([.. study.Responses.Select(result => new BandRow(result.Source, SeatName(result),
            string.Join(", ", new[] { settings ? result.Setting : "", microphones ? result.Microphone : "" }.Where(word => word.Length > 0)),
            Palette.Colour(Place(study, result.Seat)), result.LevelBand, result.PhaseBand))], "trusted-bands.csv");
    }

    /// <summary>Level over frequency of every source, a figure each, with a curve per seat.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per source and setting, in the order of the survey, of microphones that took turns at one place the reference's response; without what <see cref="NearField(Study)"/> and <see cref="Splices(Study)"/> draw.</returns>
    public static IReadOnlyList<Figure> Responses(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var ofBoxes = study.Boxes.SelectMany(box => box.Responses.Concat(box.Splices.Select(entry => entry.Gated))).ToHashSet();
        return [.. study.ResponsesOfOneMicrophone.Where(result => !ofBoxes.Contains(result)).GroupBy(result => (Key(result), result.Response.Reference)).Select(group => Responses(study, [.. group]))];
    }

    /// <summary>Level over frequency of one source with a curve per seat.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source; ids joined by + for sources that played together.</param>
    /// <returns>One figure; settings and microphones are told apart by line patterns.</returns>
    /// <exception cref="ArgumentException">The study has no response of that source.</exception>
    public static Figure Responses(Study study, string source)
    {
        ArgumentNullException.ThrowIfNull(study);
        var results = study.Responses.Where(result => result.Source == source).ToArray();
        return results.Length > 0 ? Responses(study, results) : throw Missing(study, source);
    }

    /// <summary>Level and measurement noise of one source at one seat: where they come close, the level is not the source's any more.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <returns>One figure with both curves; noise has no curve where the take held no silence.</returns>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static Figure NoiseFloor(Study study, string source, string seat) => NoiseFloor(study, Find(study, source, seat));

    /// <summary>Level and noise of the response whose trusted band is the narrowest: the weakest link of the survey.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure, or none where no take could be used.</returns>
    public static IReadOnlyList<Figure> NarrowestBand(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return study.Responses.MinBy(result => result.LevelBand.IsEmpty ? 0 : Math.Log2(result.LevelBand.ToHz / result.LevelBand.FromHz)) is { } narrowest
            ? [NoiseFloor(study, narrowest)] : [];
    }

    /// <summary>The impulse response of one source at one seat round its largest sample, on the time axis of the survey.</summary>
    /// <param name="study">The study.</param>
    /// <param name="source">Id of the source.</param>
    /// <param name="seat">Id of the seat.</param>
    /// <returns>One figure, 60 ms long.</returns>
    /// <exception cref="ArgumentException">The study has no such response.</exception>
    public static Figure ImpulseResponse(Study study, string source, string seat)
    {
        var result = Find(study, source, seat);
        return ImpulseChart.Draw($"{source}: impulse response at {seat}", [new(seat, Palette.Colour(Place(study, seat)), result.ImpulseResponse, Arrival(study, result))], "takes.csv");
    }

    /// <summary>The first milliseconds of every source whose arrivals are known, a figure each, the seats below one another.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure per full-band source with a time zero; none where there is no such source.</returns>
    public static IReadOnlyList<Figure> FirstArrivals(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.ResponsesOfOneMicrophone.Where(result => Arrival(study, result) is not null).GroupBy(Key).Select(group => ImpulseChart.Draw(
            $"{group.Key}: first arrival at each seat",
            [.. group.Select(result => new ImpulseRow(SeatName(result), Palette.Colour(Place(study, result.Seat)), result.ImpulseResponse, Arrival(study, result)))], "takes.csv"))];
    }

    private static Figure Responses(Study study, ResponseResult[] all)
    {
        ResponseResult[] results = [.. all.Where(result => result.Response.Reference == all[0].Response.Reference)];
        var others = results.Length == all.Length ? ""
            : $" Not drawn, because their levels are not {all[0].Response.LevelReference}: {string.Join(", ", all.Except(results).Select(result => result.Seat).Distinct())}.";
        var axis = AxisFor(results);
        var smoothed = axis.ToHz > UnsmoothedUpToHz;
        var patterns = results.Select(result => (result.Setting, result.Microphone)).Distinct().ToList();
        var (settings, microphones) = (patterns.Select(pattern => pattern.Setting).Distinct().Count() > 1, patterns.Select(pattern => pattern.Microphone).Distinct().Count() > 1);
        var curves = results.Select(result => new Curve
        {
            Name = patterns.Count == 1 ? SeatName(result) : string.Join(", ", new[] { SeatName(result), settings ? result.Setting : "", microphones ? result.Microphone : "" }.Where(word => word.Length > 0)),
            Colour = Palette.Colour(Place(study, result.Seat)),
            Dash = patterns.Count == 1 ? Palette.Dash(Place(study, result.Seat)) : Palette.DashOf(patterns.IndexOf((result.Setting, result.Microphone))),
            FrequenciesHz = result.Response.Grid.ToArray(),
            LevelsDb = smoothed ? result.Response.SmoothedLevelsDb(SmoothingFraction) : result.Response.LevelsDb(),
            Doubts = Doubts(result),
        }).ToArray();
        var trusted = results.Where(result => !result.LevelBand.IsEmpty).ToArray();
        var headline = study.Findings.FirstOrDefault(finding => finding.Id == "seat-difference" && finding.Subject == results[0].Source).Sentence;
        var alternative = $"Level of {Key(results[0])} over frequency at {results.Length} {(results.Any(result => result.Seat.Length == 0) ? "place" : "seat")}{(results.Length == 1 ? "" : "s")}; "
            + (trusted.Length == 0 ? "nothing is trusted." : $"trusted from {new TrustedBand(trusted.Max(result => result.LevelBand.FromHz), trusted.Min(result => result.LevelBand.ToHz), default, default).Words} at {trusted.Length} of them.")
            + (headline is null ? "" : " " + headline);
        return CurveChart.Draw(curves, LevelTitle(results[0].Response), alternative, "responses.csv",
            $"{(smoothed ? $"Smoothed to 1/{SmoothingFraction} octave for drawing; the table is not smoothed." : "Not smoothed.")} Faint: not to be believed, or no more than an upper bound; the file gives the reason for each frequency.{others}",
            axis, Key(results[0]));
    }

    private static Figure NoiseFloor(Study study, ResponseResult result)
    {
        var colour = Palette.Colour(Place(study, result.Seat));
        var frequencies = result.Response.Grid.ToArray();
        var place = (result.Seat.Length > 0 ? result.Seat : result.Takes[0].Field == SoundField.Near ? "a place close up" : "a place in the free field") + (study.Responses.Any(other => other.Microphone != result.Microphone) ? $" ({result.Microphone})" : "");
        var points = result.Response.Points().ToArray();
        var curves = new[]
        {
            new Curve { Name = "level", Colour = colour, FrequenciesHz = frequencies, LevelsDb = [.. points.Select(point => point.LevelDb)], Doubts = Doubts(result) },
            new Curve
            {
                Name = "measurement noise", Colour = "#7f7f7f", FrequenciesHz = frequencies,
                LevelsDb = [.. points.Select(point => Quantities.Decibels.FromPower(point.NoisePowerRatio))], Doubts = [.. points.Select(_ => "")],
            },
        };
        var band = result.LevelBand;
        var said = band.IsEmpty ? $"nothing is trusted: {band.LowReason.Sentence}"
            : $"trusted from {WithUnit(band.FromHz)} ({band.LowReason.Sentence}) to {WithUnit(band.ToHz)} ({band.HighReason.Sentence})";
        return CurveChart.Draw([.. curves.Where(curve => curve.LevelsDb.Any(double.IsFinite))], LevelTitle(result.Response),
            $"Level and measurement noise of {Key(result)} {At(result)}; {said}.", "responses.csv", $"{(result.Seat.Length > 0 ? $"At {result.Seat}" : "Close up")}: {said}. Noise is what a silent part of the same take gives after the same processing."
                + (points.Any(point => point.TrustedLevel && point.IsCensored) ? " Faint inside the band: a dip below what the noise lets us see; the true level is no higher." : ""),
            AxisFor([result]), $"{Key(result)} {At(result)}: level and noise");
    }

    /// <summary>From a little below the lowest trusted frequency to a little above the highest, two decades at least.</summary>
    private static LogAxis AxisFor(ResponseResult[] results)
    {
        var (first, last) = (results[0].Response.Grid[0], results[0].Response.Grid[results[0].Response.Count - 1]);
        var trusted = results.Where(result => !result.LevelBand.IsEmpty).ToArray();
        if (trusted.Length == 0) return LogAxis.Around(first, last);
        var from = Math.Max(first, trusted.Min(result => result.LevelBand.FromHz) / 1.4);
        var to = Math.Min(trusted.Max(result => result.LevelBand.ToHz), 20000);
        return LogAxis.Around(from, Math.Max(to, from * 60));
    }

    private static string[] Doubts(ResponseResult result) =>
        [.. result.Response.Points().Select(point => !point.TrustedLevel ? $"Not trusted: {point.LevelReason.Sentence}"
            : point.IsCensored ? "An upper bound: the signal dips into the noise here" : "")];

    private static double? Arrival(Study study, ResponseResult result) =>
        study.Takes.FirstOrDefault(take => take.IsUsed && take.Take.RepeatKey == result.Takes[0].RepeatKey)?.Arrival?.Seconds;

    private static int Place(Study study, string seat) =>
        Math.Max(0, study.Survey.Seats.Select(known => known.Id).ToList().IndexOf(seat));

    private static string At(ResponseResult result) => result.Seat.Length > 0 ? $"at {result.Seat}" : result.Takes[0].Field == SoundField.Near ? "close up" : "in the free field";

    private static string Key(ResponseResult result) =>
        result.Setting == Surveys.Setting.AsFoundId ? result.Source : $"{result.Source}, {result.Setting}";

    /// <summary>The seat, or in two words where there was none.</summary>
    private static string SeatName(ResponseResult result) => result.Seat.Length > 0 ? result.Seat : result.Takes[0].Field == SoundField.Near ? "close up" : "free field";

    private static ResponseResult Find(Study study, string source, string seat)
    {
        ArgumentNullException.ThrowIfNull(study);
        return study.Responses.FirstOrDefault(result => result.Source == source && result.Seat == seat)
            ?? throw (study.Responses.Any(result => result.Source == source)
                ? new ArgumentException($"The study has no response of {source} at \"{seat}\"; it has: {string.Join(", ", study.Responses.Where(result => result.Source == source).Select(result => result.Seat).Distinct())}.", nameof(seat))
                : Missing(study, source));
    }

    private static ArgumentException Missing(Study study, string source) =>
        new($"The study has no response of \"{source}\"; it has: {string.Join(", ", study.Responses.Select(result => result.Source).Distinct())}.", nameof(source));
}
