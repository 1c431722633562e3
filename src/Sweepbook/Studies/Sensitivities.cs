// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The sensitivities of a survey's microphones, each for one input gain: from calibrators' recordings, else as stated.</summary>
internal sealed class Sensitivities
{
    private const double AgreeDb = 0.3;          // own choice: two seatings of one calibrator differ by a tenth or two
    private const double StatedWithinDb = 1;     // own choice: a stated value is read off a meter, a calibrator's recording is not
    private const double StatedAtHz = 1000;      // common practice, no source

    private readonly Survey _survey;
    private readonly Dictionary<(string Microphone, double? GainDb), Known> _known = [];
    private readonly List<Finding> _findings = [];

    internal Sensitivities(Survey survey)
    {
        _survey = survey;
        foreach (var group in survey.Calibrators.GroupBy(take => (take.Microphone, take.InputGainDb)))
        {
            var read = group.Select(take => (Take: take, Reading: Read(take))).Where(pair => pair.Reading is not null).ToList();
            if (read.Count == 0) continue;
            double[] found = [.. read.Select(pair => pair.Reading!.Value.SensitivityDbfs)];
            var (mean, spread) = (found.Average(), found.Max() - found.Min());
            _known[group.Key] = new(mean, read[0].Reading!.Value.StatedHz, StudyFindings.Listed(read.Select(pair => pair.Take.File)), [.. read.Select(pair => pair.Reading!.Value)]);
            if (spread > AgreeDb)
                _findings.Add(new("calibrator-spread", Severity.Caution, group.Key.Microphone, spread, "dB", FormattableString.Invariant(
                    $"The {found.Length} calibrator recordings of {group.Key.Microphone}{At(group.Key.InputGainDb)} differ by {spread:0.0} dB; their mean was used. Was the gain changed, or did the calibrator sit askew in one of them?")));
        }
        foreach (var microphone in survey.Microphones.Where(microphone => microphone.SensitivityDbfsAt94Db is not null))
        {
            var stated = microphone.SensitivityDbfsAt94Db!.Value;
            if (!_known.TryGetValue((microphone.Id, microphone.InputGainDb), out var measured)) _known[(microphone.Id, microphone.InputGainDb)] = new(stated, StatedAtHz, Survey.FileName, []);
            else if (Math.Abs(measured.Dbfs - stated) > StatedWithinDb)
                _findings.Add(new("sensitivity-differs", Severity.Caution, microphone.Id, measured.Dbfs - stated, "dB", FormattableString.Invariant(
                    $"The calibrator says {measured.Dbfs:0.0} dBFS at 94 dB for {microphone.Id}{At(microphone.InputGainDb)}, survey.toml says {stated:0.0}; the calibrator was believed. Correct or delete sensitivity_dbfs_at_94db, or look whether the gain was another.")));
        }
    }

    /// <summary>A sensitivity in dBFS at 94 dB, the frequency it was found at, and where it comes from.</summary>
    internal sealed record Known(double Dbfs, double AtHz, string Origin, IReadOnlyList<CalibratorReading> Readings);

    /// <summary>What the calibrators' recordings have to say: faults, cautions, contradictions.</summary>
    internal IReadOnlyList<Finding> Findings => _findings;

    internal Known? Of(string microphone, double? gainDb) => _known.GetValueOrDefault((microphone, gainDb));

    internal Known? Of(Take take) => Of(take.Microphone, take.InputGainDb);

    /// <summary>The gains at which a microphone's sensitivity is known, in a fixed order.</summary>
    internal IReadOnlyList<double?> GainsOf(string microphone) => [.. _known.Keys.Where(key => key.Microphone == microphone).Select(key => key.GainDb).Order()];

    /// <summary>Why nothing is known at a gain.</summary>
    internal string WhyNot(string microphone, double? gainDb)
    {
        var refused = _survey.Calibrators.Where(take => take.Microphone == microphone && take.InputGainDb == gainDb).Select(take => take.File).ToList();
        if (refused.Count > 0) return $"The sensitivity of {microphone}{At(gainDb)} is not known, because {StudyFindings.Listed(refused)} could not be used: see the findings.";
        return GainsOf(microphone) is { Count: > 0 } gains
            ? $"The sensitivity of {microphone} is known {StudyFindings.Listed(gains.Select(gain => At(gain).TrimStart()))}, not{At(gainDb)}: it holds for one input gain only. Record the calibrator at this gain too, or correct input_gain_db."
            : $"The sensitivity of {microphone} is not known: record a calibrator at the gain of the takes and name it in [[calibrator]].";
    }

    /// <summary>" at an input gain of 24 dB".</summary>
    internal static string At(double? gainDb) => gainDb is { } gain ? FormattableString.Invariant($" at an input gain of {gain:0.##} dB") : " at the gain that nobody stated";

    private CalibratorReading? Read(Take take)
    {
        try
        {
            var recording = TakeReading.Of(take, null);
            const int LowestRateHz = 4_000;
            const double HighestOfRate = 0.4;
            if (recording.SampleRateHz < LowestRateHz || take.CalibratorHz > HighestOfRate * recording.SampleRateHz)
                throw new DataFault(take.File, null, $"recorded at {recording.SampleRateHz} Hz, too low for a tone of {take.CalibratorHz:0.#} Hz", "Record the calibrator at the rate of the takes.");
            var reading = CalibratorReading.Of(recording.Microphone, recording.SampleRateHz, take.CalibratorLevelDb!.Value, take.CalibratorHz!.Value, take.File);
            if (reading.Caution.Length > 0) _findings.Add(new("calibrator-caution", Severity.Caution, take.File, reading.SensitivityDbfs, "dBFS", $"{take.File}: {reading.Caution}"));
            return reading;
        }
        catch (DataFault fault)
        {
            _findings.Add(new("calibrator", Severity.Fault, take.File, double.NaN, "", $"{fault.Message} Until then its sensitivity is not used."));
            return null;
        }
    }
}
