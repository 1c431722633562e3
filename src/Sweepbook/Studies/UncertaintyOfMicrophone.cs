// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>How well the microphone's response is known: standard uncertainty in decibels.</summary>
/// <remarks>
/// Inside a calibration: half of its stated expanded uncertainty (<c>calibration_uncertainty_db</c>, coverage factor 2), or of ± 1 dB where the survey
/// states none. Elsewhere within the data sheet's frequencies: its tolerance as limits, all values between them equally likely, so tolerance / √3.
/// NaN where neither is stated: nothing is known then. Misleads where the microphone has aged or been dropped since.
/// Source: JCGM 100:2008 (GUM), 4.3.3 and 4.3.7; the ± 1 dB is an own assumption.
/// </remarks>
internal static class UncertaintyOfMicrophone
{
    internal const double AssumedCalibrationDb = 1;
    private const double CertificateFactor = 2;
    private const double LimitsToStandard = 1.7320508075688772;   // √3

    internal static double[] StandardDb(Microphone microphone, CalibrationCurve? calibration, LogGrid grid)
    {
        var calibrated = CalibrationStandardDb(microphone);
        var sheet = microphone.ToleranceDb / LimitsToStandard ?? double.NaN;
        return [.. grid.ToArray().Select(frequencyHz => calibration?.Contains(frequencyHz) == true ? calibrated
            : frequencyHz < microphone.LowestHz || frequencyHz > microphone.HighestHz ? double.NaN : sheet)];
    }

    /// <summary>The same inside a calibration.</summary>
    internal static double CalibrationStandardDb(Microphone microphone) => (microphone.CalibrationUncertaintyDb ?? AssumedCalibrationDb) / CertificateFactor;
}
