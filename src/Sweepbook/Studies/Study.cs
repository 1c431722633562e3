// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>A whole survey, analysed once: takes, responses with their masks, findings, and the tables on disk.</summary>
/// <remarks>
/// Takes are analysed in parallel, everything is collected in the survey's order and added in a fixed order: the same survey gives the
/// same bytes whatever the number of processors. A take that cannot be used is left out and says why; the survey folder is never written to.
/// Source: own definition (design, "Results").
/// </remarks>
public sealed partial class Study
{
    private Study(Survey survey, StudyContext context, IReadOnlyList<TakeResult> takes, IReadOnlyList<ResponseResult> responses, IReadOnlyList<LinearityResult> linearity)
    {
        Linearity = linearity;
        (Survey, Takes, Responses) = (survey, takes, responses);
        SpeedOfSoundMetresPerSecond = context.SpeedOfSoundMetresPerSecond;
        InputCheck = context.InputCheck.Value;
        (Sensitivities, Playback, CorrectionDbAt) = (context.Sensitivities, context.Playback, context.CorrectionDbAt);
        CalibrationFindings = [.. context.Calibrations.SelectMany(curve => curve.Findings)];
        CalibrationCurves = survey.Microphones.ToDictionary(microphone => microphone.Id, context.CalibrationOf, StringComparer.Ordinal);
        Microphones = [.. survey.Microphones.Select(microphone => new MicrophoneResult(this, microphone))];
        Decays = DecayStudy.Of(responses);
        RelativeDelays = DelayStudy.Of(survey, responses);
        RoomFindings = StudyFindings.AboutTheRoom(this);
        BoxFindings = [.. Studies.BoxFindings.Of(this)];
        Findings = StudyFindings.Of(this);
    }

    /// <summary>The survey that was analysed.</summary>
    public Survey Survey { get; }

    /// <summary>One result per take, in the survey's order, those left out included.</summary>
    public IReadOnlyList<TakeResult> Takes { get; }

    /// <summary>One response per source, setting, seat and microphone, in the order of their first takes.</summary>
    public IReadOnlyList<ResponseResult> Responses { get; }

    /// <summary>One result per microphone, in the survey's order.</summary>
    public IReadOnlyList<MicrophoneResult> Microphones { get; }

    /// <summary>The decays of every response in the room, in the order of the responses, then their means over the seats of each source, both ways.</summary>
    public IReadOnlyList<DecayResult> Decays { get; }

    /// <summary>By how much each source is later than the first subwoofer (or the first source), at every seat, setting and microphone.</summary>
    public IReadOnlyList<SourceDelay> RelativeDelays { get; }

    /// <summary>What a louder drive changes, for each two responses that differ in their drive only; empty where no take was repeated at another drive.</summary>
    public IReadOnlyList<LinearityResult> Linearity { get; }

    /// <summary>What there is to say. The first five belong on the first screen; then come details and faults of the recordings, then <see cref="NearFieldFindings"/>, and last <see cref="RoomFindings"/>.</summary>
    public IReadOnlyList<Finding> Findings { get; }

    /// <summary>Those of the findings that are about the room and its seats, not about the recordings.</summary>
    public IReadOnlyList<Finding> RoomFindings { get; }

    /// <summary>Those of the findings that are about the recordings: what to mend before the next take, and what is worth knowing about them.</summary>
    public IReadOnlyList<Finding> RecordingFindings => [.. Findings.Skip(Headlines).Take(Findings.Count - Headlines - NearFieldFindings.Count - RoomFindings.Count)];

    /// <summary>Those of <see cref="Findings"/> that say what boxes radiate, from takes close up, and need no hand; empty where there is no box.</summary>
    public IReadOnlyList<Finding> NearFieldFindings => [.. BoxFindings.Where(finding => finding.Severity == Severity.Note)];

    /// <summary>Everything about the boxes.</summary>
    internal IReadOnlyList<Finding> BoxFindings { get; }

    /// <summary>The speed of sound used, in metres per second.</summary>
    public double SpeedOfSoundMetresPerSecond { get; }

    internal IReadOnlyList<Finding> CalibrationFindings { get; }

    /// <summary>The calibration used for each microphone, by its id; null where it has none.</summary>
    internal IReadOnlyDictionary<string, CalibrationCurve?> CalibrationCurves { get; }

    internal InputCheck? InputCheck { get; }

    internal Sensitivities Sensitivities { get; }

    internal PlaybackLevels Playback { get; }

    internal Func<Take, Func<double, double>> CorrectionDbAt { get; }

    /// <summary>Number of findings for the first screen.</summary>
    public const int Headlines = 5;

    /// <summary>Analyses a survey.</summary>
    /// <param name="survey">The survey, read and validated.</param>
    /// <param name="progress">Told in words what is being done, or null.</param>
    /// <param name="cancellation">Stops the work between two takes.</param>
    /// <returns>The study; takes that cannot be used are in it with their reasons.</returns>
    /// <exception cref="DataFault">A stimulus or calibration file cannot be used: without it the survey means nothing.</exception>
    /// <exception cref="OperationCanceledException">It was stopped; the message says after how many takes.</exception>
    public static Study Of(Survey survey, IProgress<string>? progress = null, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        return Of(survey, survey.Takes, progress, cancellation);
    }

    /// <summary>Analyses some takes of a survey: the quick look while measuring.</summary>
    /// <param name="survey">The survey, read and validated.</param>
    /// <param name="takes">The takes wanted, all from this survey.</param>
    /// <param name="progress">Told in words what is being done, or null.</param>
    /// <param name="cancellation">Stops the work between two takes.</param>
    /// <returns>A study that knows only these takes.</returns>
    /// <exception cref="DataFault">A stimulus or calibration file cannot be used.</exception>
    /// <exception cref="OperationCanceledException">It was stopped; the message says after how many takes.</exception>
    public static Study Of(Survey survey, IReadOnlyList<Take> takes, IProgress<string>? progress = null, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(survey);
        ArgumentNullException.ThrowIfNull(takes);
        using var watch = WorkWatch.Of(progress, cancellation);
        var finished = new int[1];
        try
        {
            return Of(survey, takes, progress ?? watch, watch?.Cancellation ?? cancellation, finished);
        }
        catch (OperationCanceledException stopped)
        {
            throw new WorkStopped(finished[0], takes.Count, stopped.CancellationToken);
        }
    }

    private static Study Of(Survey survey, IReadOnlyList<Take> takes, IProgress<string>? progress, CancellationToken cancellation, int[] finished)
    {
        var options = new ParallelOptions { MaxDegreeOfParallelism = Environment.ProcessorCount, CancellationToken = cancellation };
        cancellation.ThrowIfCancellationRequested();
        progress?.Report($"Reading {survey.Title}");
        var context = new StudyContext(survey, takes);
        var analyses = new TakeAnalysis[takes.Count];
        Parallel.For(0, analyses.Length, options, n =>
        {
            analyses[n] = TakeAnalysis.Of(takes[n], context);
            progress?.Report($"Take {Interlocked.Increment(ref finished[0])} of {analyses.Length}: {takes[n].File}");
        });

        LeaveOutOtherRates(analyses);
        context.Playback = PlaybackLevels.Of(analyses);
        var groups = analyses.Where(analysis => analysis.Result.IsUsed).GroupBy(analysis => analysis.Result.Take.RepeatKey).Select(group => group.ToList()).ToList();
        var gathered = new ResponseAnalysis.Gathered[groups.Count];
        Parallel.For(0, groups.Count, options, n => gathered[n] = ResponseAnalysis.Gather(groups[n]));
        gathered = LevelDependence.Compared(gathered);
        var seatMeans = ResponseAnalysis.MeanOverSeats(gathered);
        var responses = new ResponseResult[groups.Count];
        var bands = new ConcurrentDictionary<Take, TrustedBand>();
        Parallel.For(0, groups.Count, options, n =>
        {
            var seatMean = gathered[n].Seats is { } seats ? seatMeans.GetValueOrDefault(seats) : null;
            responses[n] = ResponseAnalysis.Of(gathered[n], seatMean, context);
            _ = responses[n].SlowPeaks;   // here, where every processor helps
            foreach (var analysis in groups[n])   // a take on its own has its response's band; one of several repeats has its own
                bands[analysis.Result.Take] = groups[n].Count == 1
                    ? responses[n].LevelBand
                    : ResponseAnalysis.Of(ResponseAnalysis.Gather([analysis]) with { LevelDependent = gathered[n].LevelDependent }, seatMean, context).LevelBand;
        });
        cancellation.ThrowIfCancellationRequested();
        var results = analyses.Select(analysis => bands.TryGetValue(analysis.Result.Take, out var band) ? analysis.Result.With(band) : analysis.Result).ToList();
        return new(survey, context, results, responses, LinearityStudy.Of(gathered));
    }

    /// <summary>Recorded impulse responses may have any rate, but repeats are averaged sample by sample.</summary>
    private static void LeaveOutOtherRates(TakeAnalysis[] analyses)
    {
        var first = new Dictionary<string, TakeAnalysis>(StringComparer.Ordinal);
        for (var n = 0; n < analyses.Length; n++)
        {
            if (analyses[n].Windowed is not { } own || first.TryAdd(analyses[n].Result.Take.RepeatKey, analyses[n])) continue;
            var other = first[analyses[n].Result.Take.RepeatKey];
            if (own.SampleRateHz != other.Windowed!.SampleRateHz)
                analyses[n] = TakeAnalysis.LeftOut(analyses[n].Result.Take, $"{analyses[n].Result.Take.File}: has {own.SampleRateHz} Hz, but {other.Result.Take.File}, of which it is a repeat, has {other.Windowed.SampleRateHz} Hz. Give one of them a setting of its own, or leave it out.");
        }
    }

    /// <summary>Writes the result tables and <c>provenance.json</c>.</summary>
    /// <param name="folder">Where to; it is created where missing. It may not lie inside the survey.</param>
    /// <returns>The names of the files written.</returns>
    /// <exception cref="DataFault">The folder lies inside the survey, or a file cannot be written.</exception>
    public IReadOnlyList<string> WriteTables(string folder)
    {
        var full = ResultsFolder(folder);
        var written = new List<string>();
        foreach (var kind in StudyTable.All)   // one at a time: the largest holds a row per frequency of every response
        {
            if (kind.Of(this) is not { } table) continue;
            table.Write(Path.Combine(full, kind.Name));
            written.Add(kind.Name);
        }
        Provenance.Write(this, Path.Combine(full, Provenance.FileName));
        return [.. written, Provenance.FileName];
    }

    /// <summary>Writes what other programs can read: each impulse response as WAV, each response as text (see <see cref="ResponseText"/>), and <c>handed-on.csv</c>, the index of both.</summary>
    /// <param name="folder">Where to; it is created where missing. It may not lie inside the survey.</param>
    /// <returns>The names of the files written, relative to the folder.</returns>
    /// <exception cref="DataFault">The folder lies inside the survey, or a file cannot be written.</exception>
    /// <remarks>
    /// The WAVs hold 32-bit float samples, linear, output over input, not windowed and without the calibration; the index says where their time zero lies.
    /// Misleads where they are normalised on the way: then their levels are gone. Source: own definition.
    /// </remarks>
    public IReadOnlyList<string> WriteForOthers(string folder) => HandedOn.Write(this, ResultsFolder(folder));

    internal string ResultsFolder(string folder)
    {
        RefuseInside(folder);
        var full = Path.GetFullPath(folder);
        OutputFault.MakeFolder(full, folder);
        return full;
    }

    internal void RefuseInside(string folder)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(folder);
        if (PathInside.IsInside(Survey.Folder, Path.GetFullPath(folder)))
            throw new DataFault(folder, null, "lies inside the survey folder", "Results go elsewhere: analysis never writes into a survey. Choose another folder.");
    }
}
