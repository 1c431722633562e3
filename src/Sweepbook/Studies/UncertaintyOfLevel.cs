// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>How well it is known what 0 dB is: standard uncertainty in decibels of a level re 20 µPa; 0 where levels are relative, since their zero is a matter of definition.</summary>
/// <remarks>
/// From a calibrator's recording: the tolerance of its level as limits, all values between them equally likely, so ± 0.75 dB / √3 (class 2; which class it is the survey does not say). From
/// <c>sensitivity_dbfs_at_94db</c>: ± 1 dB / √3, an own assumption. One constant for all levels of a microphone and gain: in their differences it cancels. Misleads where the coupler leaked or the
/// gain was moved since. Source: JCGM 100:2008 (GUM), 4.3.7; fact sheet 11.4, the tolerance from memory.
/// </remarks>
internal static class UncertaintyOfLevel
{
    private const double CalibratorDb = 0.75, StatedDb = 1;
    private const double LimitsToStandard = 1.7320508075688772;   // √3

    internal static double StandardDb(Take take, StudyContext context) => context.PressureGainDb(take) is null ? 0
        : (context.Sensitivities.Of(take)!.Readings.Count > 0 ? CalibratorDb : StatedDb) / LimitsToStandard;
}
