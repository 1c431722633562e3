// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Transforms;

/// <summary>The one stable response of a given magnitude whose energy arrives as early as it can, and what phase a response has beyond it.</summary>
public static class MinimumPhase
{
    /// <summary>The response of minimum phase with this magnitude: the phase is the Hilbert transform of ln |H|, found by folding the cepstrum.</summary>
    /// <param name="magnitude">|H| at the N/2 + 1 bins of an even length N = 2^a · 3^b · 5^c, linear, each in (0, ∞).</param>
    /// <returns>N/2 + 1 complex bins of exactly that magnitude, in the same unit.</returns>
    /// <exception cref="ArgumentException">A magnitude is zero, negative or not finite, or no fast even length has that many bins.</exception>
    /// <remarks>
    /// The cepstrum folds over beyond N/2. With P poles and zeros, the farthest of them at the radius r from the origin, the phase is wrong by at most
    /// 4·P·r^(N/2) / (N·(1 − r)) radians: a narrow resonance or a bare floor needs a long N. A magnitude of zero has no logarithm and
    /// none is invented: put a floor of your own under it first, and know that the phase near it follows that floor. Source: A. V. Oppenheim and R. W. Schafer,
    /// "Discrete-Time Signal Processing", 3rd ed. 2010, sections 12.2 and 13.5; the bound from ĥ[n] = Σ ± r^n / n, ibid. eq. 13.42, summed from N/2 on.
    /// </remarks>
    public static Complex[] OfMagnitude(ReadOnlySpan<double> magnitude)
    {
        var length = LengthOf(magnitude.Length, nameof(magnitude));
        for (var k = 0; k < magnitude.Length; k++)
            if (!(magnitude[k] > 0 && double.IsFinite(magnitude[k])))
                throw new ArgumentException($"The magnitude of bin {k} is {magnitude[k]}; must be in (0, ∞).", nameof(magnitude));
        var logarithms = new Complex[magnitude.Length];
        FourierTransform.OfReal(FoldedCepstrum(magnitude, length), length, logarithms);
        for (var k = 0; k < logarithms.Length; k++) logarithms[k] = Complex.FromPolarCoordinates(magnitude[k], logarithms[k].Imaginary);
        return logarithms;
    }

    /// <summary>Phase and group delay of the minimum-phase response of this magnitude, neither of them wrapped: −Σ ĉ[n]·sin(ωn) and Σ n·ĉ[n]·cos(ωn).</summary>
    /// <param name="magnitude">As for <see cref="OfMagnitude"/>, already checked.</param>
    internal static (double[] Radians, double[] DelaySamples) PhaseAndDelay(ReadOnlySpan<double> magnitude)
    {
        var length = LengthOf(magnitude.Length, nameof(magnitude));
        var cepstrum = FoldedCepstrum(magnitude, length);
        var phase = FourierTransform.OfReal(cepstrum, length);
        for (var n = 0; n < length; n++) cepstrum[n] *= n;
        var delay = FourierTransform.OfReal(cepstrum, length);
        return (Array.ConvertAll(phase, value => value.Imaginary), Array.ConvertAll(delay, value => value.Real));
    }

    /// <summary>ĉ[n]: the cepstrum of ln |H| with its second half folded onto the first.</summary>
    private static double[] FoldedCepstrum(ReadOnlySpan<double> magnitude, int length)
    {
        var logarithms = new Complex[magnitude.Length];
        for (var k = 0; k < logarithms.Length; k++) logarithms[k] = Math.Log(magnitude[k]);
        var cepstrum = FourierTransform.ToReal(logarithms, length);
        for (var n = 1; n < length / 2; n++) (cepstrum[n], cepstrum[length - n]) = (2 * cepstrum[n], 0);
        return cepstrum;
    }

    /// <summary>The phase of a response less that of the minimum-phase response of equal magnitude, unwrapped from 0 Hz on.</summary>
    /// <param name="bins">The response H at the N/2 + 1 bins of an even length N = 2^a · 3^b · 5^c, none of them zero.</param>
    /// <returns>N/2 + 1 phases in radians; a pure delay of d samples gives −2π·k·d / N, a polarity reversed ± π at the first bin.</returns>
    /// <exception cref="ArgumentException">A bin is zero or not finite, or no fast even length has that many bins.</exception>
    /// <remarks>
    /// Unwrapping takes the shorter way from bin to bin: a delay of N/2 samples or more, or noise, sends it round the wrong way and
    /// every later bin is off by whole turns. What the floor of <see cref="OfMagnitude"/> does to the phase it does here too. Source as there, section 5.6.1.
    /// </remarks>
    public static double[] ExcessRadians(ReadOnlySpan<Complex> bins)
    {
        LengthOf(bins.Length, nameof(bins));
        var magnitude = new double[bins.Length];
        for (var k = 0; k < magnitude.Length; k++)
        {
            magnitude[k] = bins[k].Magnitude;
            if (!(magnitude[k] > 0 && double.IsFinite(magnitude[k])))
                throw new ArgumentException($"Bin {k} is {bins[k]}; its magnitude must be in (0, ∞).", nameof(bins));
        }
        var minimum = OfMagnitude(magnitude);
        var excess = new double[bins.Length];
        for (var k = 0; k < excess.Length; k++)
        {
            var wrapped = bins[k].Phase - minimum[k].Phase;
            var before = k == 0 ? 0 : excess[k - 1];
            excess[k] = wrapped - 2 * Math.PI * Math.Round((wrapped - before) / (2 * Math.PI));
        }
        return excess;
    }

    private static int LengthOf(int bins, string name)
    {
        var length = 2 * ((long)bins - 1);
        if (length is < 2 or > FourierTransform.MaximumLength)
            throw new ArgumentException($"Got {bins} bins; must be in [2, {FourierTransform.MaximumLength / 2 + 1}].", name);
        if (FourierTransform.NextFastLength((int)length) != length)
            throw new ArgumentException($"Got {bins} bins of a transform of {length}; its length must be 2^a · 3^b · 5^c. "
                + $"The nearest longer one has {FourierTransform.NextFastLength((bins - 1)) + 1} bins.", name);
        return (int)length;
    }
}
