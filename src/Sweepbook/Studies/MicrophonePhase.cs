// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>The turn that takes a microphone's phase out of a response, and where its calibration knows it.</summary>
internal sealed record MicrophonePhase(double[] Degrees, double FromHz, double ToHz)
{
    /// <summary>The turn at grid point <paramref name="k"/>.</summary>
    internal Complex Turn(int k) => Complex.FromPolarCoordinates(1, Degrees[k] * Math.PI / 180);

    /// <summary>What the turn adds to the group delay, −dθ/dω in seconds, from the neighbouring grid points.</summary>
    internal double DelaySeconds(LogGrid grid, int k)
    {
        var (first, last) = (Math.Max(0, k - 1), Math.Min(grid.Count - 1, k + 1));
        return first == last ? 0 : -(Degrees[last] - Degrees[first]) / (360 * (grid[last] - grid[first]));
    }

    internal static MicrophonePhase? Of(CalibrationCurve? curve, CalibrationSign sign, bool isMinimum, LogGrid grid) => curve is null || !(isMinimum || curve.HasPhase) ? null
        : new(isMinimum ? CalibrationPhase.MinimumDegrees(curve, sign, grid) : CalibrationPhase.StatedDegrees(curve, sign, grid), curve.FromHz, curve.ToHz);

    /// <summary>Says what was done to the phases of each microphone.</summary>
    internal static IEnumerable<Finding> Findings(Study study)
    {
        foreach (var microphone in study.Survey.Microphones)
        {
            if (study.Responses.FirstOrDefault(result => result.Microphone == microphone.Id && result.Response.IsMicrophonePhaseOut) is null) continue;
            yield return new("calibration-phase", Severity.Note, microphone.Id, double.NaN, "", microphone.IsCalibrationPhaseMinimum
                ? $"The phase of {microphone.Id} was taken out as the minimum phase that its calibration implies, held flat beyond it: an assumption of the survey, which fits an omnidirectional capsule in its own band and says nothing of a delay."
                : $"The phase of {microphone.Id} was taken out as its calibration states it.");
        }
        foreach (var microphone in study.Survey.Microphones.Where(microphone => microphone.IsCalibrationPhaseMinimum && microphone.Calibrations.Count == 0))
            yield return new("calibration-phase", Severity.Caution, microphone.Id, double.NaN, "",
                $"{microphone.Id} has calibration_phase = \"minimum\" but no calibration, so nothing was taken out. Name its calibration file, or delete calibration_phase.");
    }
}
