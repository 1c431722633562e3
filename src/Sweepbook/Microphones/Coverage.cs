// SPDX-License-Identifier: MIT
using MathNet.Numerics;
using MathNet.Numerics.RootFinding;

namespace Sweepbook.Microphones;

/// <summary>How wide an interval has to be for an error of which one part is only known to lie between limits and the rest is normally distributed.</summary>
/// <remarks>
/// The two distributions are convolved and the central interval is read from the result, for the probability that two standard deviations have of a normal one (95.45 %). Without limits that is twice
/// the standard deviation, as everywhere else in the project; with limits alone 0.9545 of them. Twice the standard uncertainty of limits (their half width over √3) would be 1.155 of them,
/// wider than the limits themselves. Source: derived; the principle is that of JCGM 100:2008 (GUM), G.2 and G.6.5, where limits alone have a factor of 1.65 for 95 % (from memory).
/// </remarks>
internal static class Coverage
{
    internal const double Factor = 2;
    private const double Accurate = 1e-10;   // of what is found: far below the thousandth of a decibel that a table shows

    /// <summary>The probability within two standard deviations of a normal distribution, 0.9545.</summary>
    internal static double Probability { get; } = SpecialFunctions.Erf(Factor / Math.Sqrt(2));

    /// <summary>The half width of the interval.</summary>
    /// <param name="standard">Standard deviation of the normal part, in [0, ∞).</param>
    /// <param name="limits">Half width of the limits, in [0, ∞); 0 where there are none.</param>
    internal static double HalfWidth(double standard, double limits)
    {
        if (double.IsNaN(standard) || double.IsNaN(limits)) return double.NaN;
        if (limits == 0) return Factor * standard;
        if (standard <= 1e-6 * limits) return Probability * limits;
        return Brent.FindRoot(half => Within(half, standard, limits) - Probability, 0, Factor * standard + limits, Accurate * (standard + limits));   // the sum of the parts' intervals covers at least as much
    }

    private static double Within(double half, double standard, double limits) =>
        standard / (2 * limits) * (Integral((half + limits) / standard) - Integral((half - limits) / standard) - Integral((limits - half) / standard) + Integral(-(half + limits) / standard));

    /// <summary>The integral of the normal distribution function up to z: z Φ(z) + φ(z).</summary>
    private static double Integral(double z) => z * SpecialFunctions.Erfc(-z / Math.Sqrt(2)) / 2 + Math.Exp(-z * z / 2) / Math.Sqrt(2 * Math.PI);
}
