// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What the microphone is known to do: its calibration, beyond that its data sheet, and how loud it may be.</summary>
/// <remarks>
/// Beyond the calibration, as far as the data sheet reaches, levels are believed with a remark that gives the data sheet's tolerance; where there is no
/// calibration at all that is everywhere. Phase carries the same remark: takes of one microphone share its phase, and only such may be added.
/// </remarks>
internal static class MicrophoneMask
{
    private const double HeadroomDb = MicrophoneHeadroom.WantedDb;   // design, "What may be believed": microphone
    internal const string KnownWords = "the microphone is known";
    private const string NotCalibratedHere = "the microphone's shape is not calibrated here";

    internal static TrustMask Of(StudyContext context, Take take, LogGrid grid)
    {
        var microphone = context.Survey.Microphone(take.Microphone);
        var curve = context.CalibrationOf(take);
        var fromHz = Lower(curve?.FromHz, microphone.LowestHz);
        var toHz = Upper(curve?.ToHz, microphone.HighestHz);
        return Limits.From(grid.FrequenciesHz, fromHz, new(Doubt.Microphone, $"{KnownWords} from {TakeLimits.Hertz(fromHz)}"))
            .And(Limits.UpTo(grid.FrequenciesHz, toHz, new(Doubt.Microphone, $"{KnownWords} up to {TakeLimits.Hertz(toHz)}")))
            .And(NotCalibrated(microphone, curve, grid));

        // The calibration's range, widened to the data sheet's where that reaches further; NaN (no limit known) where neither is stated.
        static double Lower(double? one, double? other) => one is null ? other ?? double.NaN : Math.Min(one.Value, other ?? one.Value);
        static double Upper(double? one, double? other) => one is null ? other ?? double.NaN : Math.Max(one.Value, other ?? one.Value);
    }

    private static TrustMask NotCalibrated(Microphone microphone, CalibrationCurve? curve, LogGrid grid)
    {
        var tolerance = microphone.ToleranceDb is { } decibels ? FormattableString.Invariant($"± {decibels:0.#} dB by the data sheet") : "tolerance not stated";
        var remark = Reason.Remark($"{NotCalibratedHere}, {tolerance}");
        return new(grid.FrequenciesHz, [.. grid.ToArray().Select(frequencyHz => curve is not null && curve.Contains(frequencyHz) ? Reason.None : remark)]);
    }

    /// <summary>Says that levels beyond a calibration were believed on the word of the data sheet, where some were.</summary>
    internal static IEnumerable<Finding> BeyondCalibration(Microphone microphone, IEnumerable<ResponseResult> responses)
    {
        var marked = microphone.Calibrations.Count == 0 ? [] : responses.Where(result => result.Microphone == microphone.Id).SelectMany(result => result.Response.Points())
            .Where(point => point.TrustedLevel && point.LevelReason.Sentence?.StartsWith(NotCalibratedHere, StringComparison.Ordinal) == true).Select(point => point.FrequencyHz).ToList();
        if (marked.Count == 0) yield break;
        string[] ends = [.. microphone.LowestHz is { } lowHz && marked.Min() < 2 * lowHz ? [$"down to {TakeLimits.Hertz(lowHz)}"] : Array.Empty<string>(),
            .. microphone.HighestHz is { } highHz && marked.Max() > highHz / 2 ? [$"up to {TakeLimits.Hertz(highHz)}"] : Array.Empty<string>()];
        yield return new("microphone-shape", Severity.Note, microphone.Id, microphone.ToleranceDb ?? double.NaN, microphone.ToleranceDb is null ? "" : "dB", FormattableString.Invariant(
            $"{microphone.Id} is believed beyond its calibration {StudyFindings.Listed(ends)}, on the word of its data sheet: the shape there is not calibrated{(microphone.ToleranceDb is { } tolerance ? $", ± {tolerance:0.#} dB" : "")}."));
    }

    /// <summary>The frequencies at which the sound came within 3 dB of the microphone's maximum; nothing where its level is not calibrated at this gain.</summary>
    /// <remarks>A peak is compared as a sine of that peak, which is how maxima are stated.</remarks>
    internal static List<DoubtfulStretch> TooLoud(StudyContext context, Take take, double[] samples, SweepClock clock)
    {
        var microphone = context.Survey.Microphone(take.Microphone);
        if (microphone.MaxSplDb is not { } maximumDb || context.Sensitivities.Of(take) is not { } known) return [];
        var limitRatio = Decibels.ToAmplitudeRatio(known.Dbfs + maximumDb - HeadroomDb - CalibratorReading.ReferenceDb);
        return clock.Around(Enumerable.Range(0, samples.Length).Where(n => Math.Abs(samples[n]) > limitRatio),
            new(Doubt.Microphone, FormattableString.Invariant($"the sound came within {HeadroomDb:0} dB of the microphone's maximum of {maximumDb:0.#} dB")));
    }
}
