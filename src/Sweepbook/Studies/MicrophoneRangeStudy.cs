// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Brings together what a survey tells about the range of each microphone.</summary>
internal static class MicrophoneRangeStudy
{
    private static readonly LogGrid Grid = LogGrid.Between(StudyContext.PointsPerOctave, MicrophoneRange.LowestHz, MicrophoneRange.HighestHz);
    private static readonly Reason NotPlayed = new(Doubt.Excitation, "nothing was played there");

    internal static MicrophoneRange Of(MicrophoneResult microphone)
    {
        var study = microphone.Study;
        var curve = study.CalibrationCurves[microphone.Id];
        var (shown, repeatability) = Best(microphone.Responses);
        return new(new(microphone.Id, Grid, Stated(study.Survey, microphone.Stated, curve))
        {
            Shown = shown,
            RepeatabilityDb = repeatability,
            Deviations = Deviations(microphone),
            Reference = Reference(study)?.Id ?? "",
            ReferenceStandardDb = Reference(study) is { } reference && reference.Id != microphone.Id ? UncertaintyOfMicrophone.StandardDb(reference, study.CalibrationCurves[reference.Id], Grid) : [],
        }, study.Survey.WantedWithinDb ?? MicrophoneRange.UsualWithinDb);
    }

    private static Microphone? Reference(Study study) => study.Survey.Microphones.FirstOrDefault(microphone => microphone.IsReference);

    /// <summary>Each third octave at the place that tells it best; places at which the reference was read once tell nothing about what setting it up again does, and are left out.</summary>
    private static IReadOnlyList<BandDeviation> Deviations(MicrophoneResult microphone) =>
        [.. microphone.Comparisons.Where(comparison => !comparison.IsNoiseOnly).SelectMany(comparison => comparison.ThirdOctaves).Where(deviation => deviation.IsGiven && !double.IsNaN(deviation.RepeatabilityDb))
            .GroupBy(deviation => deviation.Band).Select(group => group.MinBy(deviation => deviation.RepeatabilityDb)).OrderBy(deviation => deviation.Band.Index)];

    private static StatedRange Stated(Survey survey, Microphone microphone, CalibrationCurve? curve) => new()
    {
        CalibrationFromHz = curve?.FromHz,
        CalibrationToHz = curve?.ToHz,
        CalibrationStandardDb = UncertaintyOfMicrophone.CalibrationStandardDb(microphone),
        CalibrationYears = CalibrationYears(survey, microphone),
        LowestHz = microphone.LowestHz,
        HighestHz = microphone.HighestHz,
        ToleranceDb = microphone.ToleranceDb,
    };

    /// <summary>How old the calibration was when the survey was made; NaN where one of the two dates is not stated.</summary>
    internal static double CalibrationYears(Survey survey, Microphone microphone) =>
        microphone.CalibratedOn is { } calibrated && survey.Date is { } measured ? CalibrationDrift.AgeYears(calibrated, measured) : double.NaN;

    /// <summary>
    /// At each frequency the take that shows most: a seat in a dip, or a source that does not reach there, is not the microphone's fault. Where none shows anything, what most of them suffer from.
    /// </summary>
    private static (TrustMask Shown, double[] RepeatabilityDb) Best(IReadOnlyList<ResponseResult> responses)
    {
        var (reasons, repeatability) = (new Reason[Grid.Count], new double[Grid.Count]);
        Array.Fill(repeatability, double.NaN);
        var votes = new List<Reason>[Grid.Count];
        foreach (var response in responses.Select(result => result.Response))
        {
            if (response.Count == 0) continue;
            var first = (int)Math.Round(Grid.PointsPerOctave * Math.Log2(response.Grid[0] / Grid[0]));   // every grid is anchored at 1 kHz
            for (var n = Math.Max(0, -first); n < response.Count && first + n < Grid.Count; n++)
            {
                var (k, point) = (first + n, response[n]);
                var own = point.Uncertainty.RepeatabilityDb;
                if (IsHeard(point.LevelReason) && double.IsFinite(own)) repeatability[k] = double.IsNaN(repeatability[k]) ? own : Math.Min(own, repeatability[k]);
                else (votes[k] ??= []).Add(IsHeard(point.LevelReason) ? new(Doubt.Noise, NoiseMask.Within("noise", ResponseAnalysis.WantedForLevelDb)) : point.LevelReason);
            }
        }
        for (var k = 0; k < reasons.Length; k++)
            if (double.IsNaN(repeatability[k]))
                reasons[k] = votes[k] is not { } named ? NotPlayed : named.GroupBy(reason => reason).OrderByDescending(group => group.Count()).ThenBy(group => group.Key.Doubt).First().Key;
        return (new(Grid.FrequenciesHz, reasons), repeatability);
    }

    /// <summary>What the calibration and the data sheet say is judged by itself: here it counts what was heard.</summary>
    private static bool IsHeard(Reason reason) => reason.Doubt == Doubt.None
        || (reason.Doubt == Doubt.Microphone && reason.Sentence.StartsWith(MicrophoneMask.KnownWords, StringComparison.Ordinal));

    /// <summary>One sentence for each microphone that took anything, and the verdict on the wanted range.</summary>
    internal static IEnumerable<Finding> Findings(Study study)
    {
        foreach (var microphone in study.Microphones.Where(microphone => microphone.Responses.Count > 0))
        {
            var range = microphone.Range;
            yield return new("microphone-range", range.Band.IsEmpty ? Severity.Caution : Severity.Note, microphone.Id,
                range.Band.IsEmpty ? 0 : Math.Log2(range.ToHz / range.FromHz), "octaves", range.SentenceWithoutAge);
            if (microphone.Wanted is { } verdict)
                yield return new("microphone-wanted", verdict.Serves ? Severity.Note : verdict.IsShown ? Severity.Fault : Severity.Caution, microphone.Id,
                    range.WithinDb, "dB", verdict.Sentence);
            if (microphone.Headroom is { IsKnown: true } headroom)   // where it is too small, the takes' masks say where
                yield return new("microphone-headroom", headroom.IsEnough ? Severity.Note : Severity.Caution, microphone.Id, headroom.HeadroomDb, "dB", headroom.Sentence);
        }
    }
}
