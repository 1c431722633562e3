// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>Two responses of one source and place, before and after.</summary>
/// <param name="Before">Before.</param>
/// <param name="After">After.</param>
/// <param name="WhyShapeOnly">Why their absolute levels may not be compared, as the end of a sentence; null where they may.</param>
internal sealed record ChangePair(ResponseResult Before, ResponseResult After, string? WhyShapeOnly)
{
    internal Take Take => Before.Takes[0];

    /// <summary>The band in which both may be believed.</summary>
    internal (double FromHz, double ToHz) Band => (Math.Max(Before.LevelBand.FromHz, After.LevelBand.FromHz), Math.Min(Before.LevelBand.ToHz, After.LevelBand.ToHz));

    /// <summary>A row about this pair, still without figures.</summary>
    internal SeatChange Row(ChangedQuantity quantity, string unit = "") => new() { Source = Before.Source, Seat = Before.Seat, Microphone = Before.Microphone, Quantity = quantity, Unit = unit };
}

/// <summary>Which responses of two studies may be compared, and why the others may not.</summary>
internal static class ChangePairs
{
    private const double EqualDb = 0.005;

    internal static (IReadOnlyList<ChangePair> Pairs, IReadOnlyList<SeatChange> Without) Of(StudySide before, StudySide after)
    {
        var (pairs, without) = (new List<ChangePair>(), new List<SeatChange>());
        foreach (var result in before.Responses)
        {
            var why = Partner(result, before, after, out var other);
            if (why is null) pairs.Add(new(result, other!, WhyShapeOnly(result, other!)));
            else without.Add(Row(result, why));
        }
        foreach (var result in after.Responses.Where(result => !before.Responses.Any(earlier => IsSamePlace(earlier, result))))
            without.Add(Row(result, WhyMissing(result, before, "before")));
        return (pairs, without);
    }

    private static SeatChange Row(ResponseResult result, string why) =>
        new() { Source = result.Source, Seat = result.Seat, Microphone = result.Microphone, Quantity = ChangedQuantity.Level, Reason = why };

    /// <summary>The response to compare with; without one, why there is none.</summary>
    private static string? Partner(ResponseResult result, StudySide before, StudySide after, out ResponseResult? other)
    {
        other = null;
        var take = result.Takes[0];
        var there = after.Responses.Where(candidate => IsSamePlace(result, candidate)).ToList();
        if (there.Count == 0) return WhyMissing(result, after, "after");
        var heard = there.Where(candidate => candidate.Microphone == result.Microphone).ToList();
        if (heard.Count == 0)
            return $"another microphone: {result.Microphone} before, {StudyFindings.Listed(there.Select(candidate => candidate.Microphone).Distinct())} after, and each has errors of its own; measure both with one";
        var driven = heard.Where(candidate => candidate.Takes[0].DriveDb == take.DriveDb).ToList();
        if (driven.Count == 0)
            return $"another drive: {Drive(take)} before, {StudyFindings.Listed(heard.Select(candidate => Drive(candidate.Takes[0])).Distinct())} after; what a source does may depend on it";
        var played = driven.Where(candidate => before.StimulusOf(take) == after.StimulusOf(candidate.Takes[0])).ToList();
        if (played.Count == 0)
            return $"another stimulus: {StudySide.InWords(before.StimulusOf(take))} before, {StudySide.InWords(after.StimulusOf(driven[0].Takes[0]))} after; play the same file";
        other = played.OrderBy(candidate => candidate.Takes[0].InputGainDb == take.InputGainDb ? 0 : 1).ThenBy(candidate => candidate.Takes[0].TimeZero == take.TimeZero ? 0 : 1).First();
        if (result.LevelBand.IsEmpty) return $"nothing may be believed before: {result.LevelBand.LowReason.Sentence}";
        if (other.LevelBand.IsEmpty) return $"nothing may be believed after: {other.LevelBand.LowReason.Sentence}";
        return new ChangePair(result, other, null).Band is var band && band.FromHz < band.ToHz ? null
            : $"no frequency may be believed both times: {result.LevelBand.Words} before, {other.LevelBand.Words} after";
    }

    private static string WhyMissing(ResponseResult result, StudySide side, string when) => side.Responses.Any(other => SourceKey(other) == SourceKey(result))
        ? result.Seat.Length > 0 && !side.Responses.Any(other => other.Seat == result.Seat) ? $"nothing was measured at {result.Seat} {when}" : $"{result.Source} was not measured there {when}"
        : $"{result.Source} was not measured {when}";

    private static string Drive(Take take) => take.DriveDb is { } db ? FormattableString.Invariant($"{db:0.##} dB") : "none stated";

    private static bool IsSamePlace(ResponseResult one, ResponseResult other)
    {
        var (mine, theirs) = (one.Takes[0], other.Takes[0]);
        return SourceKey(one) == SourceKey(other) && mine.Seat == theirs.Seat && mine.Field == theirs.Field && mine.DistanceMm == theirs.DistanceMm && mine.AngleDeg == theirs.AngleDeg && mine.IsImpulse == theirs.IsImpulse;
    }

    /// <summary>The sources in one order: two surveys need not list them alike.</summary>
    internal static string SourceKey(ResponseResult result) => string.Join('+', result.Takes[0].Sources.Order(StringComparer.Ordinal));

    private static string? WhyShapeOnly(ResponseResult before, ResponseResult after)
    {
        if (before.Response.Reference != after.Response.Reference) return $"levels are {before.Response.LevelReference} before and {after.Response.LevelReference} after";
        if (before.Response.Reference == LevelReference.SoundPressure) return null;   // the sensitivity belongs to its gain
        if (before.Response.Reference == LevelReference.Recording) return "recorded impulse responses hold no level that two recordings share";
        var (gain, later) = (before.Takes[0].InputGainDb, after.Takes[0].InputGainDb);
        if (gain is { } db && later is { } laterDb) return Math.Abs(db - laterDb) <= EqualDb ? null : FormattableString.Invariant($"the input gain was {db:0.##} dB before and {laterDb:0.##} dB after");
        return gain is null && later is null ? null : "the input gain is stated on one side only";
    }
}

/// <summary>One side of a comparison: a study in one setting.</summary>
internal sealed class StudySide(Study study, string setting)
{
    private readonly Dictionary<string, StimulusDescription?> _stimuli = new(StringComparer.Ordinal);

    internal Study Study => study;

    internal string Setting => setting;

    internal IReadOnlyList<ResponseResult> Responses { get; } = [.. study.Responses.Where(result => result.Setting == setting)];

    /// <summary>What was played, its level and file name included; null for a recorded impulse response.</summary>
    internal StimulusDescription? StimulusOf(Take take)
    {
        if (take.Stimulus is not { } id) return null;
        if (_stimuli.TryGetValue(id, out var known)) return known;
        var file = study.Survey.Stimuli.First(stimulus => stimulus.Id == id);
        return _stimuli[id] = Design(file);
    }

    internal static string InWords(StimulusDescription? stimulus) => stimulus is null ? "none"
        : FormattableString.Invariant($"{stimulus.StartHz:0.##} to {stimulus.EndHz:0.##} Hz in {stimulus.SweepSeconds:0.##} s at {stimulus.LevelDbfs:0.##} dBFS and {stimulus.SampleRateHz} Hz");

    // Its name, its bytes and which output is which do not matter to what was played.
    private static StimulusDescription Design(StimulusFile file) => StimulusDescription.Read(file.Path, file.File) with
    { File = null, Sha256 = null, DeviceOutputs = new Dictionary<string, int>(), LoopbackOutput = null, MarkerOutput = null };
}
