// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Spectra;

namespace Sweepbook.Studies;

/// <summary>What all parts of a comparison need to know about its two sides.</summary>
/// <param name="Before">Before.</param>
/// <param name="After">After.</param>
/// <param name="IsPutBack">True where the microphone was taken away and put back between the two, so that its place explains some of the changes.</param>
internal sealed record ChangeContext(StudySide Before, StudySide After, bool IsPutBack)
{
    private const double AlikeDb = 0.05;   // the interface's own drift

    /// <summary>True where they are two folders, and not two settings of one.</summary>
    internal bool AreTwoSurveys => !IsOne(Before.Study.Survey, After.Study.Survey);

    internal static bool IsOne(Surveys.Survey before, Surveys.Survey after) => Path.TrimEndingDirectorySeparator(before.Folder) == Path.TrimEndingDirectorySeparator(after.Folder);

    /// <summary>By how many decibels the sweep itself was played louder after: it is in a sound pressure level and in no ratio.</summary>
    internal double LouderDb(ChangePair pair)
    {
        if (pair.Before.Response.Reference != LevelReference.SoundPressure || pair.After.Response.Reference != LevelReference.SoundPressure) return 0;
        var louderDb = After.Study.Playback.DbfsOf(pair.After.Takes[0]) - Before.Study.Playback.DbfsOf(pair.Before.Takes[0]);
        return double.IsFinite(louderDb) && Math.Abs(louderDb) > AlikeDb ? louderDb : 0;
    }

    /// <summary>The decays of both; null where one has none.</summary>
    internal (DecayResult Before, DecayResult After)? DecaysOf(ChangePair pair) =>
        Decay(Before.Study, pair.Before) is { } before && Decay(After.Study, pair.After) is { } after ? (before, after) : null;

    /// <summary>The shortest decay time, early or not, before or after, in that octave nearest to a frequency which has one: where the direct sound rules, the early one tells how long the energy lasts. NaN where none is known.</summary>
    internal double DecaySeconds(ChangePair pair, double frequencyHz) => new[] { Decay(Before.Study, pair.Before), Decay(After.Study, pair.After) }.OfType<DecayResult>()
        .SelectMany(decays => decays.Octaves).SelectMany(octave => new[] { octave.T20, octave.Edt }.Where(value => value.IsValid).Select(value => (octave.Band, Seconds: value.Value)))
        .GroupBy(value => value.Band).OrderBy(octave => Math.Abs(Math.Log2(octave.Key.CentreHz / frequencyHz))).FirstOrDefault()?.Min(value => value.Seconds) ?? double.NaN;

    private static DecayResult? Decay(Study study, ResponseResult result) => study.Decays.FirstOrDefault(decay => !decay.IsMean && decay.Take == result.Takes[0]);
}
