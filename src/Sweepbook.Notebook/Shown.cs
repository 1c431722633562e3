// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using static Sweepbook.Notebook.PlotText;

namespace Sweepbook.Notebook;

/// <summary>How a value of the library shows itself as the last value of a cell: a figure where it is a curve, a table or a sentence where it is facts.</summary>
/// <remarks>Every public type of the library is either here with a figure of its own, or shown as a table of its facts (<see cref="ShownFacts"/>).</remarks>
internal static class Shown
{
    private const int MostFigures = 4;   // of a row of values: more are read more easily as a table

    private static readonly Dictionary<Type, Func<object, string>> Own = new Dictionary<Type, Func<object, string>>()
        .With<Study>(study => FindingsHtml.Of(study.Findings.Take(Study.Headlines)) + Figures.TrustedBands(study).ToHtml())
        .With<Survey>(survey => $"<p>{Html(survey.Title)}</p>" + ShownFacts.Table(typeof(Take), survey.Takes))
        .With<ResponseResult>(result => Figures.Of(result).ToHtml())
        .With<MicrophoneResult>(result => Figures.Of(result.Range).ToHtml() + Joined(result.Comparisons.Where(comparison => comparison.Tested == result.Id).Take(1).Select(Figures.MicrophoneDeviations)))
        .With<DecayResult>(result => Figures.Of(result).ToHtml())
        .With<SeatResult>(result => Figures.SeatMeans(result.Seats).ToHtml())
        .With<BoxResult>(box => Joined(box.WhyNoSum is null && BoxChart.HasPort(box) ? [Figures.NearField(box), Figures.NearFieldPhase(box)] : [Figures.NearField(box)]))
        .With<LinearityResult>(result => Figures.Of(result).ToHtml())
        .With<Response>(response => Figures.Of(response).ToHtml())
        .With<ImpulseResponse>(response => Figures.Of(response).ToHtml())
        .With<TimeCurve>(curve => Figures.Of(curve).ToHtml())
        .With<Harmonics>(harmonics => Figures.Distortion(harmonics, "Harmonics").ToHtml())
        .With<BandDecays>(decays => decays.Count > 0 ? Figures.DecayTimes(decays).ToHtml() : "<p>No band.</p>")
        .With<BandDecay>(decay => Figures.DecayCurve(decay).ToHtml())
        .With<DecayCurve>(curve => Figures.Of(curve).ToHtml())
        .With<DecayMap>(map => Figures.Waterfall(map, "Decay map").ToHtml())
        .With<SeatSet>(seats => Figures.SeatMeans(seats).ToHtml())
        .With<MicrophoneRange>(range => Figures.Of(range).ToHtml())
        .With<MicrophoneComparison>(comparison => Figures.MicrophoneDeviations(comparison).ToHtml())
        .With<CalibrationCurve>(curve => Figures.Of(curve).ToHtml())
        .With<TransferCalibration>(calibration => Figures.Of(calibration).ToHtml())
        .With<CalibrationDrift>(drift => ShownFacts.Of(drift) + ShownFacts.Table(typeof(BandDeviation), drift.Octaves))
        .With<NearfieldSum>(sum => Figures.Of(sum).ToHtml())
        .With<Radiator>(radiator => Figures.Of(radiator.Response, radiator.Name).ToHtml())
        .With<FreeFieldSplice>(splice => splice.IsJoined ? Figures.Of(splice).ToHtml() : Sentence($"Not joined. {splice.WhyNot}"))
        .With<BaffleDiffraction>(front => Figures.Of(front).ToHtml())
        .With<SweepDesign>(sweep => Figures.Sweep(sweep).ToHtml())
        .With<Stimulus>(stimulus => Figures.Sweep(SweepDesign.Of(stimulus.Description)).ToHtml() + ShownFacts.Of(stimulus.Description))
        .With<PlacedModes>(modes => FrameHtml.Of(Tables.PredictedModes(modes, modes.BelowHz, [.. modes.Places.Select(place => place.Name)])))
        .With<SmoothingWidths>(widths => Sentence(widths.Source) + ShownFacts.Table(typeof(SmoothingWidth), widths.Rows))
        .With<WindowLengths>(lengths => Sentence(lengths.Source) + ShownFacts.Rows(["frequency (Hz)", "length (ms)"], lengths.Rows.Select(row => new object[] { row.Item1, row.Item2 })))
        .With<LogGrid>(grid => Sentence(FormattableString.Invariant($"{grid.Count} frequencies from {WithUnit(grid[0])} to {WithUnit(grid[grid.Count - 1])}, {grid.PointsPerOctave} per octave.")))
        .With<TrustedBand>(band => Sentence(band.IsEmpty ? $"Nothing is trusted: {band.LowReason.Sentence}." : $"{band.Words}; below: {band.LowReason.Sentence}; above: {band.HighReason.Sentence}."))
        .With<TrustMask>(mask => Sentence(mask.LongestBand() is { IsEmpty: false } band ? $"Trusted from {band.Words}." : "Nothing is trusted."))
        .With<Reason>(reason => Sentence(string.IsNullOrEmpty(reason.Sentence) ? "No doubt." : reason.Sentence))
        .With<Finding>(finding => FindingsHtml.Of([finding]))
        .With<DecayValue>(value => Sentence($"{DecayCurveChart.Name(value.Quantity)} {value}"))
        .With<HarmonicPoint>(point => Sentence($"{point}"));

    /// <summary>Types that a cell may end in: everything public that is a value, apart from enums (a word) and exceptions (the kernel shows them).</summary>
    public static IEnumerable<Type> Types => typeof(Study).Assembly.GetExportedTypes().Where(type => type is { IsEnum: false, IsInterface: false, IsGenericTypeDefinition: false }
        && !(type.IsAbstract && type.IsSealed) && !typeof(Exception).IsAssignableFrom(type));

    /// <summary>True for a type with a figure or table of its own.</summary>
    public static bool IsMapped(Type type) => Own.ContainsKey(type);

    /// <summary>The value as a piece of a page.</summary>
    public static string Of(object value) => Own.TryGetValue(value.GetType(), out var show) ? show(value) : ShownFacts.Of(value);

    /// <summary>A row of values: figures one below the other where there are few of them, else a table of their facts.</summary>
    public static string Of(Type type, System.Collections.IEnumerable values)
    {
        if (type == typeof(SlowPeak)) return FrameHtml.Of(Tables.SlowPeaks([.. values.Cast<SlowPeak>()]));
        if (type == typeof(BandDecay) && values.Cast<BandDecay>().ToArray() is { Length: > 0 } decays) return Figures.DecayTimes(decays).ToHtml();
        if (type == typeof(MicrophoneResult) && values.Cast<MicrophoneResult>().ToArray() is { Length: > 0 } microphones)
            return RangeChart.Draw([.. microphones.Select((microphone, place) => new RangeRow(microphone.Id, Palette.Colour(place), microphone.Range.Band, microphone.Range.Sentence, microphone.Wanted))], microphones[0].Range.WithinDb).ToHtml();
        var all = values.Cast<object>().ToArray();
        return all.Length is > 0 and <= MostFigures && Own.TryGetValue(type, out var show) ? string.Concat(all.Select(show)) : ShownFacts.Table(type, all);
    }

    public static string Sentence(string text) => $"<p class=\"sweepbook-value\">{Html(text)}</p>";

    private static string Joined(IEnumerable<Figure> figures) => string.Concat(figures.Select(figure => figure.ToHtml()));

    private static Dictionary<Type, Func<object, string>> With<T>(this Dictionary<Type, Func<object, string>> all, Func<T, string> show)
    {
        all.Add(typeof(T), value => show((T)value));
        return all;
    }
}
