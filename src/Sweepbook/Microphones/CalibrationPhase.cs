// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Microphones;

/// <summary>The phase to take out of a reading: what the calibration file states, or the minimum phase that its levels imply.</summary>
/// <remarks>
/// With e^{+jωt} a reading is the sound times the microphone's |M|·e^{jφ}, so a file that states the response turns by −φ and one that states the correction by what it says.
/// Minimum phase: φ(ω₀) = (1/π) ∫ (dA/du) · ln coth|u/2| du, A = ln|M|, u = ln(ω/ω₀); the file's levels are straight lines over u, so each gives a constant slope and the
/// integral is a closed form. Beyond the file's ends A is held flat. Misleads where the microphone goes on falling there: a first-order fall that begins an octave beyond the last point
/// turns 27° at it and none of that is seen. Source: H. W. Bode, "Network Analysis and Feedback Amplifier Design", 1945, chapter 14 (from memory); tested against first-order closed forms.
/// </remarks>
internal static class CalibrationPhase
{
    /// <summary>Degrees to add to the phase of a reading, as the file states them.</summary>
    internal static double[] StatedDegrees(CalibrationCurve curve, CalibrationSign sign, LogGrid grid) =>
        [.. grid.ToArray().Select(frequencyHz => (sign == CalibrationSign.Response ? -1 : 1) * curve.PhaseDegreesAt(frequencyHz))];

    /// <summary>Degrees to add to the phase of a reading, from the levels alone.</summary>
    internal static double[] MinimumDegrees(CalibrationCurve curve, CalibrationSign sign, LogGrid grid)
    {
        var toNepers = Math.Log(10) / 20;
        var logHz = new double[curve.Count];
        var slopes = new double[curve.Count - 1];   // of the correction's logarithm: its phase is what has to be added
        for (var n = 0; n < logHz.Length; n++) logHz[n] = Math.Log(curve[n].FrequencyHz);
        for (var n = 0; n < slopes.Length; n++)
            slopes[n] = toNepers * (curve.CorrectionDbAt(curve[n + 1].FrequencyHz, sign) - curve.CorrectionDbAt(curve[n].FrequencyHz, sign)) / (logHz[n + 1] - logHz[n]);
        var degrees = new double[grid.Count];
        for (var k = 0; k < degrees.Length; k++)
        {
            var (at, radians) = (Math.Log(grid[k]), 0.0);
            var left = Weight(logHz[0] - at);
            for (var n = 0; n < slopes.Length; n++)
            {
                var right = Weight(logHz[n + 1] - at);
                radians += slopes[n] * (right - left) / Math.PI;
                left = right;
            }
            degrees[k] = radians * 180 / Math.PI;
        }
        return degrees;
    }

    /// <summary>∫ ln coth|t/2| dt from 0 to u: ± (π²/4 − 2 χ₂(e^{−|u|})), χ₂(x) = Σ x^n / n² over odd n.</summary>
    private static double Weight(double u) => Math.Sign(u) * (Math.PI * Math.PI / 4 - 2 * Chi(Math.Exp(-Math.Abs(u))));

    private static double Chi(double x)
    {
        const double Middle = 0.41421356237309503;   // √2 − 1, where x = (1 − x) / (1 + x)
        if (x >= 1) return Math.PI * Math.PI / 8;
        if (x > Middle) return Math.PI * Math.PI / 8 + 0.5 * Math.Log(x) * Math.Log((1 + x) / (1 - x)) - Chi((1 - x) / (1 + x));
        var (sum, power) = (0.0, x);
        for (var n = 1; n < 60 && power > 0; n += 2, power *= x * x) sum += power / ((double)n * n);
        return sum;
    }
}
