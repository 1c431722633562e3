// SPDX-License-Identifier: MIT
using System.Collections;
using Deedle;
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

    private static readonly Dictionary<Type, Func<object, ShownPart[]>> Own = new Dictionary<Type, Func<object, ShownPart[]>>()
        .With<Study>(study => [new FindingsPart(study.Findings.Take(Study.Headlines)), new FigurePart(Figures.TrustedBands(study))])
        .With<StudyComparison>(both => [new FindingsPart(both.Findings.Take(Study.Headlines)), .. Drawn([.. Figures.LargestChange(both)])])
        .With<Survey>(survey => [new SentencePart(survey.Title), ShownFacts.Table(typeof(Take), survey.Takes)])
        .With<ResponseResult>(result => Drawn(Figures.Of(result)))
        .With<MicrophoneResult>(result => Drawn([Figures.Of(result.Range), .. result.Comparisons.Where(comparison => comparison.Tested == result.Id).Take(1).Select(Figures.MicrophoneDeviations)]))
        .With<DecayResult>(result => Drawn(Figures.Of(result)))
        .With<SeatResult>(result => Drawn(Figures.SeatMeans(result.Seats)))
        .With<BoxResult>(box => Drawn(box.WhyNoSum is null && BoxChart.HasPort(box) ? [Figures.NearField(box), Figures.NearFieldPhase(box)] : [Figures.NearField(box)]))
        .With<LinearityResult>(result => Drawn(Figures.Of(result)))
        .With<Response>(response => Drawn(Figures.Of(response)))
        .With<ImpulseResponse>(response => Drawn(Figures.Of(response)))
        .With<TimeCurve>(curve => Drawn(Figures.Of(curve)))
        .With<Harmonics>(harmonics => Drawn(Figures.Distortion(harmonics, "Harmonics")))
        .With<BandDecays>(decays => decays.Count > 0 ? Drawn(Figures.DecayTimes(decays)) : Said("No band."))
        .With<BandDecay>(decay => Drawn(Figures.DecayCurve(decay)))
        .With<DecayCurve>(curve => Drawn(Figures.Of(curve)))
        .With<DecayMap>(map => Drawn(Figures.Waterfall(map, "Decay map")))
        .With<SeatSet>(seats => Drawn(Figures.SeatMeans(seats)))
        .With<MicrophoneRange>(range => Drawn(Figures.Of(range)))
        .With<MicrophoneComparison>(comparison => Drawn(Figures.MicrophoneDeviations(comparison)))
        .With<CalibrationCurve>(curve => Drawn(Figures.Of(curve)))
        .With<TransferCalibration>(calibration => Drawn(Figures.Of(calibration)))
        .With<CalibrationDrift>(drift => [ShownFacts.Of(drift), ShownFacts.Table(typeof(BandDeviation), drift.Octaves)])
        .With<NearfieldSum>(sum => Drawn(Figures.Of(sum)))
        .With<Radiator>(radiator => Drawn(Figures.Of(radiator.Response, radiator.Name)))
        .With<FreeFieldSplice>(splice => splice.IsJoined ? Drawn(Figures.Of(splice)) : Said($"Not joined. {splice.WhyNot}"))
        .With<BaffleDiffraction>(front => Drawn(Figures.Of(front)))
        .With<SweepDesign>(sweep => Drawn(Figures.Sweep(sweep)))
        .With<Stimulus>(stimulus => [new FigurePart(Figures.Sweep(SweepDesign.Of(stimulus.Description))), ShownFacts.Of(stimulus.Description)])
        .With<PlacedModes>(modes => [new FramePart(Tables.PredictedModes(modes, modes.BelowHz, [.. modes.Places.Select(place => place.Name)]))])
        .With<SmoothingWidths>(widths => [new SentencePart(widths.Source), ShownFacts.Table(typeof(SmoothingWidth), widths.Rows)])
        .With<WindowLengths>(lengths => [new SentencePart(lengths.Source), ShownFacts.Rows(["frequency (Hz)", "length (ms)"], lengths.Rows.Select(row => new[] { row.Item1, row.Item2 }))])
        .With<LogGrid>(grid => Said(FormattableString.Invariant($"{grid.Count} frequencies from {WithUnit(grid[0])} to {WithUnit(grid[grid.Count - 1])}, {grid.PointsPerOctave} per octave.")))
        .With<TrustedBand>(band => Said(band.IsEmpty ? $"Nothing is trusted: {band.LowReason.Sentence}." : $"{band.Words}; below: {band.LowReason.Sentence}; above: {band.HighReason.Sentence}."))
        .With<TrustMask>(mask => Said(mask.LongestBand() is { IsEmpty: false } band ? $"Trusted from {band.Words}." : "Nothing is trusted."))
        .With<Reason>(reason => Said(string.IsNullOrEmpty(reason.Sentence) ? "No doubt." : reason.Sentence))
        .With<Finding>(finding => [new FindingsPart([finding])])
        .With<DecayValue>(value => Said($"{DecayCurveChart.Name(value.Quantity)} {value}"))
        .With<HarmonicPoint>(point => Said($"{point}"));

    /// <summary>Types that a cell may end in: everything public that is a value, apart from enums (a word) and exceptions (the kernel shows them).</summary>
    public static IEnumerable<Type> Types => typeof(Study).Assembly.GetExportedTypes().Where(type => type is { IsEnum: false, IsInterface: false, IsGenericTypeDefinition: false }
        && !(type.IsAbstract && type.IsSealed) && !typeof(Exception).IsAssignableFrom(type));

    private static readonly HashSet<Type> Ours = [.. Types];

    /// <summary>True for a type with a figure or table of its own.</summary>
    public static bool IsMapped(Type type) => Own.ContainsKey(type);

    /// <summary>The value as a piece of a page.</summary>
    public static string Html(object value) => string.Concat(Parts(value)!.Select(part => part.ToHtml()));

    /// <summary>What a value shows; null where it is none of ours.</summary>
    public static IReadOnlyList<ShownPart>? Parts(object? value) => value switch
    {
        Figure figure => Drawn(figure),
        IEnumerable<Figure> figures => Drawn([.. figures]),
        IFrame frame => [new FramePart(frame)],
        Reply reply => [new ReplyPart(reply)],
        IEnumerable<Finding> findings => [new FindingsPart(findings)],
        null => null,
        _ when Own.TryGetValue(value.GetType(), out var show) => show(value),
        _ when IsOurs(value.GetType()) => [ShownFacts.Of(value)],
        IEnumerable values when ItemOf(value.GetType()) is { } item => Row(item, values),
        _ => null,
    };

    /// <summary>A row of values: figures one below the other where there are few of them, else a table of their facts.</summary>
    private static ShownPart[] Row(Type type, IEnumerable values)
    {
        if (type == typeof(SlowPeak)) return [new FramePart(Tables.SlowPeaks([.. values.Cast<SlowPeak>()]))];
        if (type == typeof(BandDecay) && values.Cast<BandDecay>().ToArray() is { Length: > 0 } decays) return Drawn(Figures.DecayTimes(decays));
        if (type == typeof(MicrophoneResult) && values.Cast<MicrophoneResult>().ToArray() is { Length: > 0 } microphones)
            return Drawn(RangeChart.Draw([.. microphones.Select((microphone, place) => new RangeRow(microphone.Id, Palette.Colour(place), microphone.Range.Band, microphone.Range.Sentence, microphone.Wanted))], microphones[0].Range.WithinDb));
        var all = values.Cast<object>().ToArray();
        return all.Length is > 0 and <= MostFigures && Own.TryGetValue(type, out var show) ? [.. all.SelectMany(show)] : [ShownFacts.Table(type, all)];
    }

    private static bool IsOurs(Type type) => Ours.Contains(type);

    /// <summary>The type of the library that a row is declared to hold.</summary>
    private static Type? ItemOf(Type type) => type.GetInterfaces().Append(type)
        .Where(one => one.IsGenericType && one.GetGenericTypeDefinition() == typeof(IEnumerable<>)).Select(one => one.GenericTypeArguments[0]).FirstOrDefault(IsOurs);

    private static ShownPart[] Said(string text) => [new SentencePart(text)];

    private static ShownPart[] Drawn(params IEnumerable<Figure> figures) => [.. figures.Select(figure => new FigurePart(figure))];

    private static Dictionary<Type, Func<object, ShownPart[]>> With<T>(this Dictionary<Type, Func<object, ShownPart[]>> all, Func<T, ShownPart[]> show)
    {
        all.Add(typeof(T), value => show((T)value));
        return all;
    }
}
