// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Studies;
using Sweepbook.Trust;

namespace Sweepbook.Notebook;

public static partial class Figures
{
    /// <summary>A bar for each microphone from the first to the last frequency at which its readings serve, with what ends it; the wanted range behind, where the survey states one.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure; a study in which no microphone took anything says so in it.</returns>
    /// <remarks>For what misleads and the source see <see cref="MicrophoneRange"/>.</remarks>
    public static Figure MicrophoneRanges(Study study) => MicrophoneRanges(study, null);

    /// <summary>The same, judged by another measure than the survey's.</summary>
    /// <param name="study">The study.</param>
    /// <param name="withinDb">± decibels that readings may be off, above zero; that of the survey where null.</param>
    /// <returns>One figure.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The measure is zero, negative, infinite or NaN.</exception>
    /// <remarks>For what misleads and the source see <see cref="MicrophoneRange"/>.</remarks>
    public static Figure MicrophoneRanges(Study study, double? withinDb)
    {
        ArgumentNullException.ThrowIfNull(study);
        var rows = study.Microphones.Where(microphone => microphone.Responses.Count > 0).Select(microphone => (microphone.Id, Range: withinDb is { } db ? microphone.Range.Within(db) : microphone.Range)).ToArray();
        return RangeChart.Draw([.. rows.Select(row => new RangeRow(row.Id, ColourOf(study, row.Id), row.Range.Band, row.Range.Sentence,
            study.Survey is { WantedFromHz: { } fromHz, WantedToHz: { } toHz } ? row.Range.Serves(fromHz, toHz) : null))], withinDb ?? rows.Select(row => row.Range.WithinDb).DefaultIfEmpty(MicrophoneRange.UsualWithinDb).First());
    }

    /// <summary>How far every microphone reads from the survey's reference, third octave by third octave, each at the place where the widest band can be believed with both.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure; none where there is no reference, or nothing beside it.</returns>
    /// <remarks>For what misleads and the source see <see cref="MicrophoneComparison"/>.</remarks>
    public static IReadOnlyList<Figure> MicrophoneDeviations(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var widest = study.Microphones.Select(microphone => microphone.Comparisons.OrderByDescending(comparison => comparison.Band.ToHz / comparison.Band.FromHz).FirstOrDefault()).OfType<MicrophoneComparison>().ToArray();
        if (widest.Length == 0) return [];
        var places = widest.Select(comparison => comparison.Place).Distinct().ToArray();
        return [DeviationChart.Draw($"Against {widest[0].Reference}", widest[0].Reference, places.Length == 1 ? places[0] : "", [.. widest.Select(comparison => Row(comparison, IndexOf(study, comparison.Tested)))],
            widest.All(comparison => comparison.IsNoiseOnly))];
    }

    /// <summary>How far one microphone reads from another, third octave by third octave: <c>Figures.MicrophoneDeviations(study.Microphone("pocket").ComparedWith("reference"))</c>.</summary>
    /// <param name="comparison">The comparison.</param>
    /// <returns>One figure.</returns>
    /// <remarks>For what misleads and the source see <see cref="MicrophoneComparison"/>.</remarks>
    public static Figure MicrophoneDeviations(MicrophoneComparison comparison)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        return DeviationChart.Draw($"{comparison.Tested} against {comparison.Reference}", comparison.Reference, comparison.Place, [Row(comparison, 0)], comparison.IsNoiseOnly);
    }

    /// <summary>What the microphones of a survey read at each place that several of them took, matched in the middle to the reference.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure a place with the reference and every microphone that was compared with it there, smoothed to 1/12 octave; none without a reference.</returns>
    /// <remarks>Differences of a decibel are lost among the room's peaks and dips: <see cref="MicrophoneDeviations(Study)"/> shows them. Own manner; it needs no source.</remarks>
    public static IReadOnlyList<Figure> MicrophoneCurves(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        return [.. study.Microphones.SelectMany(microphone => microphone.Comparisons).GroupBy(comparison => comparison.Place).Select(group => Curves(study, group.Key, [.. group]))];
    }

    /// <summary>Room and chain before the sweeps in third octaves, as each microphone with a sensitivity heard them.</summary>
    /// <param name="study">The study.</param>
    /// <returns>One figure in dB re 20 µPa; none where no sensitivity is known.</returns>
    /// <remarks>An upper bound of the microphone's own noise. For what misleads and the source see <see cref="MicrophoneLevel"/>.</remarks>
    public static IReadOnlyList<Figure> MicrophoneNoise(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var heard = study.Microphones.Where(microphone => microphone.Level.NoiseBands.Count > 1).ToArray();
        if (heard.Length == 0) return [];
        var said = string.Join(", ", heard.Select(microphone => FormattableString.Invariant($"{microphone.Id} {microphone.Level.EquivalentNoiseDba:0.0} dB(A)")));
        return [CurveChart.Draw([.. heard.Select(microphone => new Curve
        {
            Name = microphone.Id,
            Colour = ColourOf(study, microphone.Id),
            Dash = Palette.DashOf(IndexOf(study, microphone.Id)),
            FrequenciesHz = [.. microphone.Level.NoiseBands.Select(band => band.Band.CentreHz)],
            LevelsDb = [.. microphone.Level.NoiseBands.Select(band => band.LevelDb)],
            Doubts = [.. microphone.Level.NoiseBands.Select(_ => "")],
        })], "Level (dB re 20 µPa)", $"Noise of room and chain in third octaves before the sweeps: {said}.", "findings.csv",
            $"Third octaves, unweighted, median over the takes: {said}. The room is in it, so each curve is an upper bound of the microphone's own noise; where all curves meet, it is the room.", title: "What the microphones hear before the sweep")];
    }

    private static Figure Curves(Study study, string place, MicrophoneComparison[] comparisons)
    {
        string[] names = [comparisons[0].Reference, .. comparisons.Select(comparison => comparison.Tested)];
        ResponseResult[] results = [.. names.Select(name => study.Responses.First(result => result.Microphone == name && result.Place == place))];
        double[] offsets = [0, .. comparisons.Select(comparison => comparison.OffsetDb)];
        Curve[] curves = [.. results.Select((result, n) => new Curve
        {
            Name = names[n],
            Colour = ColourOf(study, names[n]),
            Dash = Palette.DashOf(IndexOf(study, names[n])),
            FrequenciesHz = result.Response.Grid.ToArray(),
            LevelsDb = [.. result.Response.SmoothedLevelsDb(SmoothingFraction).Select(level => level - offsets[n])],
            Doubts = Doubts(result),
        })];
        var band = comparisons.OrderByDescending(comparison => comparison.Band.ToHz / comparison.Band.FromHz).First();
        var shifted = string.Join(", ", comparisons.Select(comparison => FormattableString.Invariant($"{comparison.Tested} {(comparison.OffsetDb < 0 ? "−" : "+")}{Math.Abs(comparison.OffsetDb):0.00} dB")));
        return CurveChart.Draw(curves, PlotText.LevelTitle(results[0].Response), $"Level of {place} over frequency as {names.Length} microphones read it, matched to {names[0]}; believed from {band.Band.Words}. Taken off: {shifted}.", "responses.csv",
            FormattableString.Invariant($"Smoothed to 1/{SmoothingFraction} octave and matched from {band.MatchFromHz:0} to {band.MatchToHz:0} Hz; taken off: {shifted}. Faint: not to be believed."), AxisFor(results), $"{place}: {names.Length} microphones");
    }

    private static DeviationRow Row(MicrophoneComparison comparison, int place) =>
        new(comparison.Tested, Palette.Colour(place), place, comparison.ThirdOctaves, comparison.BottomOctave, comparison.TopOctaves);

    private static int IndexOf(Study study, string microphone) => Math.Max(0, study.Survey.Microphones.Select(known => known.Id).ToList().IndexOf(microphone));

    private static string ColourOf(Study study, string microphone) => Palette.Colour(IndexOf(study, microphone));
}
