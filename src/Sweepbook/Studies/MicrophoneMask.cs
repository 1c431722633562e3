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
    private const double HeadroomDb = 3;          // design, "What may be believed": microphone
    private const double CalibratorSplDb = 94;

    internal static TrustMask Of(StudyContext context, Take take, LogGrid grid)
    {
        var microphone = context.Survey.Microphone(take.Microphone);
        var curve = context.CalibrationOf(take);
        var fromHz = Lower(curve?.FromHz, microphone.LowestHz);
        var toHz = Upper(curve?.ToHz, microphone.HighestHz);
        return Limits.From(grid.FrequenciesHz, fromHz, new(Doubt.Microphone, $"the microphone is known from {TakeLimits.Hertz(fromHz)}"))
            .And(Limits.UpTo(grid.FrequenciesHz, toHz, new(Doubt.Microphone, $"the microphone is known up to {TakeLimits.Hertz(toHz)}")))
            .And(NotCalibrated(microphone, curve, grid));

        // The calibration's range, widened to the data sheet's where that reaches further; NaN (no limit known) where neither is stated.
        static double Lower(double? one, double? other) => one is null ? other ?? double.NaN : Math.Min(one.Value, other ?? one.Value);
        static double Upper(double? one, double? other) => one is null ? other ?? double.NaN : Math.Max(one.Value, other ?? one.Value);
    }

    private static TrustMask NotCalibrated(Microphone microphone, CalibrationCurve? curve, LogGrid grid)
    {
        var tolerance = microphone.ToleranceDb is { } decibels ? FormattableString.Invariant($"± {decibels:0.#} dB by the data sheet") : "tolerance not stated";
        var remark = Reason.Remark($"the microphone's shape is not calibrated here, {tolerance}");
        return new(grid.FrequenciesHz, [.. grid.ToArray().Select(frequencyHz => curve is not null && curve.Contains(frequencyHz) ? Reason.None : remark)]);
    }

    /// <summary>The frequencies at which the sound came within 3 dB of the microphone's maximum; nothing where its level is not calibrated at this gain.</summary>
    /// <remarks>A peak is compared as a sine of that peak, which is how maxima are stated.</remarks>
    internal static List<DoubtfulStretch> TooLoud(StudyContext context, Take take, double[] samples, SweepClock clock)
    {
        var microphone = context.Survey.Microphone(take.Microphone);
        if (microphone.MaxSplDb is not { } maximumDb || microphone.SensitivityDbfsAt94Db is not { } sensitivityDbfs || microphone.InputGainDb != take.InputGainDb) return [];
        var limitRatio = Decibels.ToAmplitudeRatio(sensitivityDbfs + maximumDb - HeadroomDb - CalibratorSplDb);
        return clock.Around(Enumerable.Range(0, samples.Length).Where(n => Math.Abs(samples[n]) > limitRatio),
            new(Doubt.Microphone, FormattableString.Invariant($"the sound came within {HeadroomDb:0} dB of the microphone's maximum of {maximumDb:0.#} dB")));
    }
}
