// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Filters;

/// <summary>Butterworth filters through the bilinear transform, matched at their corners.</summary>
internal static class ButterworthDesign
{
    private const int HighestOrder = 16;

    /// <summary>Butterworth low-pass: |H|² = 1/(1 + Ω^(2·order)), −3.01 dB at its corner.</summary>
    /// <param name="cornerHz">Corner frequency in hertz, in (0, sample rate / 2).</param>
    /// <param name="order">Order, in [1, 16]; falls by 6 dB per octave and order.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The cascade.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>
    /// Ω = tan(π·f/rate) / tan(π·corner/rate): near half the sample rate it falls faster than its analogue. Source: S. Butterworth, "On the Theory of
    /// Filter Amplifiers", Experimental Wireless 7 (1930) 536–541; bilinear transform: Oppenheim and Schafer, 3rd ed. 2010, section 7.2.
    /// </remarks>
    public static Biquad[] LowPass(double cornerHz, int order, int sampleRateHz) => Halves(cornerHz, order, sampleRateHz, isHighPass: false);

    /// <summary>Butterworth high-pass: |H|² = 1/(1 + Ω^(−2·order)), −3.01 dB at its corner.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static Biquad[] HighPass(double cornerHz, int order, int sampleRateHz) => Halves(cornerHz, order, sampleRateHz, isHighPass: true);

    /// <summary>Butterworth band-pass: −3.01 dB at both edges, 0 dB between; <paramref name="order"/> pole pairs.</summary>
    /// <param name="lowerHz">Lower edge in hertz, in (0, upper edge).</param>
    /// <param name="upperHz">Upper edge in hertz, in (lower edge, sample rate / 2).</param>
    /// <param name="order">Pole pairs, in [1, 16]: 6 dB per octave and pair on either side.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The cascade, one section per pole pair.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>Near half the sample rate its shape is squeezed against it: see the attenuation. Source as for the low-pass.</remarks>
    public static Biquad[] BandPass(double lowerHz, double upperHz, int order, int sampleRateHz) => BandPass(lowerHz, upperHz, order, sampleRateHz, 1).Sections();

    /// <summary>The same with the pass band wider by a factor about the same edges (in the bilinear transform's own frequency).</summary>
    public static BandPassPoles BandPass(double lowerHz, double upperHz, int order, int sampleRateHz, double wideningRatio)
    {
        CheckOrder(order);
        CheckCorner(upperHz, nameof(upperHz), sampleRateHz);
        if (!(lowerHz > 0 && lowerHz < upperHz)) throw new ArgumentOutOfRangeException(nameof(lowerHz), lowerHz, $"Must be in (0, {upperHz}) Hz.");
        var (lower, upper) = (double.TanPi(lowerHz / sampleRateHz), double.TanPi(upperHz / sampleRateHz));
        var (centre, width) = (Math.Sqrt(lower * upper), (upper - lower) * wideningRatio);
        var poles = new List<(Complex, Complex)>();
        for (var k = 0; k < (order + 1) / 2; k++)
        {
            var (sine, cosine) = double.SinCosPi((2 * k + 1) / (2.0 * order));
            var half = width / 2 * (2 * k + 1 == order ? new Complex(-1, 0) : new(-sine, cosine));   // a pole of the low-pass, times half the width
            var root = Complex.Sqrt(half * half - centre * centre);
            Complex first = ToZ(half + root), second = ToZ(half - root);
            if (2 * k + 1 == order)
                poles.Add((first, second));   // a real pole of the low-pass: its two roots are one pair, conjugate or real
            else
            {
                poles.Add((first, Complex.Conjugate(first)));
                poles.Add((second, Complex.Conjugate(second)));
            }
        }
        return new(sampleRateHz, Math.Atan(centre) / Math.PI * sampleRateHz, poles);
    }

    private static Complex ToZ(Complex s) => (1 + s) / (1 - s);

    private static Biquad[] Halves(double cornerHz, int order, int sampleRateHz, bool isHighPass)
    {
        CheckOrder(order);
        CheckCorner(cornerHz, nameof(cornerHz), sampleRateHz);
        var sections = new List<Biquad>();
        for (var pair = 0; pair < order / 2; pair++)
        {
            var q = 1 / (2 * double.SinPi((2 * pair + 1) / (2.0 * order)));
            sections.Add(isHighPass ? Biquad.HighPass(cornerHz, q, sampleRateHz) : Biquad.LowPass(cornerHz, q, sampleRateHz));
        }
        if (order % 2 == 0) return [.. sections];
        var corner = double.TanPi(cornerHz / sampleRateHz);
        var (gain, pole) = (isHighPass ? 1 / (1 + corner) : corner / (1 + corner), (corner - 1) / (corner + 1));
        sections.Add(Biquad.FromCoefficients(sampleRateHz, gain, isHighPass ? -gain : gain, 0, pole, 0));
        return [.. sections];
    }

    private static void CheckOrder(int order)
    {
        if (order is < 1 or > HighestOrder) throw new ArgumentOutOfRangeException(nameof(order), order, $"Must be in [1, {HighestOrder}].");
    }

    private static void CheckCorner(double frequencyHz, string name, int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 1);
        if (!(frequencyHz > 0 && frequencyHz < sampleRateHz / 2.0))
            throw new ArgumentOutOfRangeException(name, frequencyHz, $"Must be in (0, {sampleRateHz / 2.0}) Hz.");
    }
}
