// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>What the takes of one survey share: stimuli, deconvolution plans, calibrations, grids, the speed of sound. Safe for parallel use.</summary>
internal sealed class StudyContext
{
    private const int PointsPerOctave = 96;        // design, results: responses.csv
    private const double LowestGridHz = 1;
    private const double RecordedImpulseFromHz = 5;   // own choice: below it a clap or a balloon says nothing
    private readonly Dictionary<string, Stimulus> _stimuli;
    private readonly Dictionary<string, CalibrationCurve> _calibrations;
    private readonly ConcurrentDictionary<(string Stimulus, int Length), Lazy<Deconvolution>> _plans = new();

    internal StudyContext(Survey survey, IReadOnlyList<Take> takes)
    {
        Survey = survey;
        SpeedOfSoundMetresPerSecond = Air.SpeedOfSoundMetresPerSecond(survey.Room?.TemperatureCelsius ?? Air.DefaultTemperatureCelsius);
        var wanted = takes.Where(take => take.Use && take.Stimulus is not null).Select(take => take.Stimulus!).ToHashSet();
        _stimuli = survey.Stimuli.Where(entry => wanted.Contains(entry.Id))
            .ToDictionary(entry => entry.Id, entry => Stimulus.Read(entry.Path, entry.File));
        _calibrations = survey.Microphones.SelectMany(microphone => microphone.Calibrations).DistinctBy(file => file.Path)
            .ToDictionary(file => file.Path, file => CalibrationCurve.Read(file.Path, file.File));
    }

    internal Survey Survey { get; }

    internal double SpeedOfSoundMetresPerSecond { get; }

    /// <summary>A room's sound arrives within this time of leaving; 0.5 s are 170 m.</summary>
    internal double LongestArrivalSeconds => 0.5;

    internal IEnumerable<CalibrationCurve> Calibrations => _calibrations.OrderBy(entry => entry.Key, StringComparer.Ordinal).Select(entry => entry.Value);

    internal Stimulus StimulusOf(Take take) => take.Stimulus is string id && _stimuli.TryGetValue(id, out var stimulus)
        ? stimulus
        : throw new DataFault(take.File, null, "names no stimulus", $"Add stimulus = \"…\" to the take in survey.toml (line {take.Line}), or impulse = true.");

    internal Deconvolution PlanOf(Take take, int length) => _plans
        .GetOrAdd((take.Stimulus!, length), key => new(() => Deconvolution.By(_stimuli[key.Stimulus], key.Length))).Value;

    /// <summary>The calibration of the take's microphone, the one nearest to frontal incidence where there are several; null where the survey names none.</summary>
    internal CalibrationCurve? CalibrationOf(Take take) => Survey.Microphone(take.Microphone).Calibrations
        .OrderBy(file => Math.Abs(file.AngleDeg ?? 0)).Select(file => _calibrations[file.Path]).FirstOrDefault();

    /// <summary>Every frequency that the take's stimulus reaches, tapers included; the same for all takes of one stimulus.</summary>
    internal LogGrid GridOf(Take take)
    {
        var stimulus = StimulusOf(take);
        var plan = PlanOf(take, stimulus.Length);
        return LogGrid.Between(PointsPerOctave, Math.Max(LowestGridHz, plan.ExcitedFromHz / 2),
            Math.Min(stimulus.SampleRateHz / 2.0, plan.ExcitedToHz * Math.Pow(2, 1 / 6.0)));
    }

    internal LogGrid GridOfRecordedImpulse(int sampleRateHz) => LogGrid.Between(PointsPerOctave, RecordedImpulseFromHz, sampleRateHz / 2.0);

    /// <summary>True where every source of the take is a loudspeaker: only then is an arrival a distance.</summary>
    internal bool IsFullBand(Take take) => take.Sources.All(id => Survey.Source(id).Kind == SourceKind.Loudspeaker);
}
