// SPDX-License-Identifier: MIT
using MathNet.Numerics.Distributions;

namespace Sweepbook.Spectra;

/// <summary>How many standard uncertainties hold 95 % of the cases when the uncertainty itself is estimated with few degrees of freedom.</summary>
/// <remarks>
/// Student's t, read from a table over 1 / ν and straight between its entries (within 0.1 % of the exact value; tested). Below one degree of freedom
/// the factor of one is taken. Source: JCGM 100:2008 (GUM), annex G.3 and table G.2.
/// </remarks>
internal static class StudentFactor
{
    private const int Steps = 256;
    private const double BothSides = 0.975, OneSide = 0.95;
    private static readonly double[] s_twoSided = Table(BothSides), s_oneSided = Table(OneSide);

    /// <summary>± this many hold 95 %: 12.706 for ν = 1, 1.960 for infinitely many.</summary>
    internal static double TwoSided(double degreesOfFreedom) => At(s_twoSided, degreesOfFreedom);

    /// <summary>95 % lie below this many: 6.314 for ν = 1, 1.645 for infinitely many.</summary>
    internal static double OneSided(double degreesOfFreedom) => At(s_oneSided, degreesOfFreedom);

    /// <summary>ν = (Σ vᵢ)² / Σ (vᵢ² / νᵢ): the degrees of freedom of a sum of two estimated variances.</summary>
    /// <remarks>Source: B. L. Welch and F. E. Satterthwaite, as in JCGM 100:2008, equation G.2b.</remarks>
    internal static double Freedom(double variance, double freedom, double otherVariance, double otherFreedom)
    {
        var sum = variance + otherVariance;
        if (sum == 0) return double.PositiveInfinity;
        var spread = (variance > 0 ? variance * variance / freedom : 0) + (otherVariance > 0 ? otherVariance * otherVariance / otherFreedom : 0);
        return sum * sum / spread;
    }

    private static double At(double[] table, double degreesOfFreedom)
    {
        var place = Steps * Math.Min(1, 1 / degreesOfFreedom);
        var below = Math.Min((int)place, Steps - 1);
        return table[below] + (place - below) * (table[below + 1] - table[below]);
    }

    private static double[] Table(double probability) =>
        [Normal.InvCDF(0, 1, probability), .. Enumerable.Range(1, Steps).Select(step => StudentT.InvCDF(0, 1, (double)Steps / step, probability))];
}
