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
    internal const int PointsPerOctave = 96;        // design, results: responses.csv
    private const double LowestGridHz = 1;
    private const double RecordedImpulseFromHz = 5;   // own choice: below it a clap or a balloon says nothing
    private const int KeptPlans = 4;
    private readonly Dictionary<string, Stimulus> _stimuli = [];
    private readonly Dictionary<string, CalibrationCurve> _calibrations;
    private readonly List<(string Stimulus, int Length, Lazy<Deconvolution> Plan)> _plans = [];
    private readonly ConcurrentDictionary<string, Lazy<LogGrid>> _grids = new();
    private readonly ConcurrentDictionary<(string Microphone, LogGrid Grid), Lazy<MicrophonePhase?>> _phases = new();
    private readonly Dictionary<string, DataFault> _stimulusFaults = [];

    internal StudyContext(Survey survey, IReadOnlyList<Take> takes)
    {
        Survey = survey;
        SpeedOfSoundMetresPerSecond = Air.SpeedOfSoundMetresPerSecond(survey.Room?.TemperatureCelsius ?? Air.DefaultTemperatureCelsius);
        InputCheck = new(() => Studies.InputCheck.Of(survey, StimulusOf));
        var wanted = takes.Append(survey.InputCheck).OfType<Take>().Where(take => take.Use && take.Stimulus is not null).Select(take => take.Stimulus!).ToHashSet();
        foreach (var entry in survey.Stimuli.Where(entry => wanted.Contains(entry.Id)))
            try
            {
                _stimuli[entry.Id] = Stimulus.Read(entry.Path, entry.File);
            }
            catch (DataFault fault)
            {
                _stimulusFaults[entry.Id] = fault;
            }
        if (_stimuli.Count == 0 && _stimulusFaults.Count > 0) throw _stimulusFaults.Values.First();
        _calibrations = survey.Microphones.SelectMany(microphone => microphone.Calibrations).DistinctBy(file => file.Path)
            .ToDictionary(file => file.Path, file => CalibrationCurve.Read(file.Path, file.File));
        Sensitivities = new(survey);
    }

    internal Survey Survey { get; }

    internal Sensitivities Sensitivities { get; }

    /// <summary>How loud the takes were played; set once all of them are read.</summary>
    internal PlaybackLevels Playback { get; set; } = PlaybackLevels.None;

    internal double SpeedOfSoundMetresPerSecond { get; }

    internal Lazy<InputCheck?> InputCheck { get; }

    /// <summary>What the inputs of a take do not share, where an input check says so.</summary>
    internal InputRatio? InputsOf(Take take, int sampleRateHz) => InputCheck.Value is { } check && check.Fits(take, sampleRateHz) ? check.Ratio : null;

    /// <summary>A room's sound arrives within this time of leaving; 0.5 s are 170 m.</summary>
    internal double LongestArrivalSeconds => 0.5;

    internal IEnumerable<CalibrationCurve> Calibrations => _calibrations.OrderBy(entry => entry.Key, StringComparer.Ordinal).Select(entry => entry.Value);

    /// <summary>The stimulus of a take; one that cannot be used costs its own takes and no others.</summary>
    internal Stimulus StimulusOf(Take take)
    {
        if (take.Stimulus is not string id)
            throw new DataFault(take.File, null, "names no stimulus", $"Add stimulus = \"…\" to the take in survey.toml (line {take.Line}), or impulse = true.");
        return _stimulusFaults.TryGetValue(id, out var fault)
            ? throw new DataFault(take.File, null, $"its stimulus cannot be used: {fault.File}: {fault.Problem}", fault.Remedy, fault)
            : _stimuli[id];
    }

    /// <summary>The plan for takes of one length. Only the last few are kept: hand-stopped recordings all differ, and a plan holds megabytes.</summary>
    internal Deconvolution PlanOf(Take take, int length)
    {
        Lazy<Deconvolution> plan;
        lock (_plans)
        {
            var known = _plans.FindIndex(kept => kept.Stimulus == take.Stimulus && kept.Length == length);
            plan = known >= 0 ? _plans[known].Plan : new(() => Deconvolution.By(_stimuli[take.Stimulus!], length));
            if (known >= 0) _plans.RemoveAt(known);
            _plans.Add((take.Stimulus!, length, plan));
            if (_plans.Count > KeptPlans) _plans.RemoveAt(0);
        }
        return plan.Value;
    }

    /// <summary>The calibration of the take's microphone, the one nearest to frontal incidence where there are several; null where the survey names none.</summary>
    internal CalibrationCurve? CalibrationOf(Take take) => CalibrationOf(Survey.Microphone(take.Microphone));

    /// <summary>The calibration that is used for a microphone; null where the survey names none.</summary>
    internal CalibrationCurve? CalibrationOf(Microphone microphone) => microphone.Calibrations
        .OrderBy(file => Math.Abs(file.AngleDeg ?? 0)).Select(file => _calibrations[file.Path]).FirstOrDefault();

    /// <summary>Every frequency that the take's stimulus reaches, tapers included; the same for all takes of one stimulus.</summary>
    internal LogGrid GridOf(Take take) => _grids.GetOrAdd(take.Stimulus!, _ => new(() =>
    {
        var stimulus = StimulusOf(take);
        var plan = PlanOf(take, stimulus.Length);
        return LogGrid.Between(PointsPerOctave, Math.Max(LowestGridHz, plan.ExcitedFromHz / 2),
            Math.Min(stimulus.SampleRateHz / 2.0, plan.ExcitedToHz * Math.Pow(2, 1 / 6.0)));
    })).Value;

    /// <summary>The decibels that take the microphone's shape out of a reading.</summary>
    internal Func<double, double> CorrectionDbAt(Take take)
    {
        var sign = Survey.Microphone(take.Microphone).CalibrationSign;
        return CalibrationOf(take) is { } curve ? frequencyHz => curve.CorrectionDbAt(frequencyHz, sign) : _ => 0;
    }

    /// <summary>The turn that takes the microphone's phase out; null where nothing is known about it. Takes of one stimulus share their grid, so one is made for all.</summary>
    internal MicrophonePhase? PhaseOf(Take take, LogGrid grid) => _phases.GetOrAdd((take.Microphone, grid),
        _ => new(() => MicrophonePhase.Of(CalibrationOf(take), Survey.Microphone(take.Microphone).CalibrationSign, Survey.Microphone(take.Microphone).IsCalibrationPhaseMinimum, grid))).Value;

    /// <summary>
    /// The decibels that make a response, its shape corrected, a sound pressure level: level of the sweep, full scale in decibels re 20 µPa, and the shape's part in the sensitivity, which was
    /// found with the microphone as it is. Null where something of it is not known.
    /// </summary>
    internal double? PressureGainDb(Take take) => Sensitivities.Of(take) is { } known && Playback.DbfsOf(take) is var playedDbfs && double.IsFinite(playedDbfs)
        ? playedDbfs + CalibratorReading.ReferenceDb - known.Dbfs - CorrectionDbAt(take)(known.AtHz)
        : null;

    internal LogGrid GridOfRecordedImpulse(int sampleRateHz) => LogGrid.Between(PointsPerOctave, RecordedImpulseFromHz, sampleRateHz / 2.0);

    /// <summary>Channels of the take's own file that the survey calls other microphones.</summary>
    internal IReadOnlyList<int> OtherMicrophones(Take take) =>
        [.. Survey.Takes.Where(other => other.Path == take.Path && other.MicrophoneChannel != take.MicrophoneChannel && other.Microphone != take.Microphone).Select(other => other.MicrophoneChannel)];

    /// <summary>True where one loudspeaker played: only then is an arrival a distance.</summary>
    internal bool IsFullBand(Take take) => take.Sources.Count == 1 && take.Sources.All(id => Survey.Source(id).Kind == SourceKind.Loudspeaker);
}
