// SPDX-License-Identifier: MIT
namespace Sweepbook.Transforms;

/// <summary>
/// Windows as arrays of weights between 0 and 1. The plain names are symmetric (first weight equals last: for filters and
/// impulse responses), the <c>…Periodic</c> names leave out the last point of a symmetric window one longer (for spectra of blocks).
/// </summary>
/// <remarks>Source of the cosine windows: F. J. Harris, "On the Use of Windows for Harmonic Analysis with the DFT", Proc. IEEE 66 (1978) 51–83.</remarks>
public static class Window
{
    /// <summary>Symmetric Hann window: w[k] = ½ − ½ cos(2πk/(N−1)).</summary>
    /// <param name="length">Weights N, 1 or more; one weight is 1.</param>
    /// <returns>N weights, no unit, 0 at both ends, largest 1 (reached for an odd N).</returns>
    /// <exception cref="ArgumentOutOfRangeException">Below 1.</exception>
    /// <remarks>A block under it loses its ends: level and noise need the corrections of its mean and of <see cref="NoiseBandwidthBins"/>. Source: Harris 1978, eq. 27.</remarks>
    public static double[] Hann(int length) => Cosines(length, length - 1, 0.5, 0.5, 0);

    /// <summary>Periodic Hann window: w[k] = ½ − ½ cos(2πk/N); shifted by N/2 and added, two of them give exactly 1.</summary>
    /// <inheritdoc cref="Hann(int)"/>
    public static double[] HannPeriodic(int length) => Cosines(length, length, 0.5, 0.5, 0);

    /// <summary>Symmetric Hamming window: w[k] = 0.54 − 0.46 cos(2πk/(N−1)).</summary>
    /// <param name="length">Weights N, 1 or more; one weight is 1.</param>
    /// <returns>N weights, no unit, 0.08 at both ends.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Below 1.</exception>
    /// <remarks>Does not reach zero at the ends, so its far side lobes fall by only 6 dB per octave. Source: Harris 1978, eq. 30.</remarks>
    public static double[] Hamming(int length) => Cosines(length, length - 1, 0.54, 0.46, 0);

    /// <summary>Periodic Hamming window: w[k] = 0.54 − 0.46 cos(2πk/N).</summary>
    /// <inheritdoc cref="Hamming(int)"/>
    public static double[] HammingPeriodic(int length) => Cosines(length, length, 0.54, 0.46, 0);

    /// <summary>Symmetric Blackman window: w[k] = 0.42 − 0.5 cos(2πk/(N−1)) + 0.08 cos(4πk/(N−1)).</summary>
    /// <param name="length">Weights N, 1 or more; one weight is 1.</param>
    /// <returns>N weights, no unit, 0 at both ends.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Below 1.</exception>
    /// <remarks>Its main lobe is half as wide again as Hann's: neighbours closer than three bins merge. Source: Harris 1978, eq. 32.</remarks>
    public static double[] Blackman(int length) => Cosines(length, length - 1, 0.42, 0.5, 0.08);

    /// <summary>Periodic Blackman window: w[k] = 0.42 − 0.5 cos(2πk/N) + 0.08 cos(4πk/N).</summary>
    /// <inheritdoc cref="Blackman(int)"/>
    public static double[] BlackmanPeriodic(int length) => Cosines(length, length, 0.42, 0.5, 0.08);

    /// <summary>Symmetric Tukey window: flat 1 in the middle, a cosine quarter at each end.</summary>
    /// <param name="length">Weights N, 1 or more; one weight is 1.</param>
    /// <param name="taperRatio">Share of the window that is tapered, both ends together, in [0, 1]: 0 is a rectangle, 1 is <see cref="Hann"/>.</param>
    /// <returns>N weights, no unit.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The length is below 1 or the ratio outside [0, 1].</exception>
    /// <remarks>A short taper leaks nearly as much as none. Source: Harris 1978, eq. 38.</remarks>
    public static double[] Tukey(int length, double taperRatio)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(length, 1);
        if (!(taperRatio >= 0 && taperRatio <= 1))
            throw new ArgumentOutOfRangeException(nameof(taperRatio), taperRatio, "Must be in [0, 1].");
        var window = new double[length];
        var taper = taperRatio * (length - 1) / 2;
        for (var k = 0; k < length; k++)
        {
            var fromEnd = Math.Min(k, length - 1 - k);
            window[k] = fromEnd >= taper ? 1 : SquaredSine(fromEnd / taper);
        }
        return window;
    }

    /// <summary>The rising half of a Hann window, sampled between the grid points: w[k] = sin²(π(k + ½)/(2N)).</summary>
    /// <param name="length">Weights N, 0 or more; an impulse window of no rise has none.</param>
    /// <returns>N weights, no unit, rising from near 0 to near 1; the sample after the last is meant to be weighted 1.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Below 0.</exception>
    /// <remarks>
    /// The left side of an impulse window: what lies under it before the peak is attenuated, so it must start ahead of
    /// any ringing that belongs to the signal. With <see cref="FallingHalfHann"/> of the same length it adds to exactly 1.
    /// Own convention (the half-sample offset makes the two mirror images and complements at once); shape as Harris 1978, eq. 27.
    /// </remarks>
    public static double[] RisingHalfHann(int length)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(length);
        var window = new double[length];
        for (var k = 0; k < length; k++) window[k] = SquaredSine((k + 0.5) / length);
        return window;
    }

    /// <summary>The falling half of a Hann window: <see cref="RisingHalfHann"/> backwards, w[k] = cos²(π(k + ½)/(2N)).</summary>
    /// <param name="length">Weights N, 0 or more.</param>
    /// <returns>N weights, no unit, falling from near 1 to near 0; the sample before the first is meant to be weighted 1.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Below 0.</exception>
    /// <remarks>The right side of an impulse window: a decay still audible under it is shortened. Own convention, see <see cref="RisingHalfHann"/>.</remarks>
    public static double[] FallingHalfHann(int length)
    {
        var window = RisingHalfHann(length);
        Array.Reverse(window);
        return window;
    }

    /// <summary>Equivalent noise bandwidth: N · Σw² / (Σw)², the width of the rectangle that passes as much white noise.</summary>
    /// <param name="window">Weights, at least one, not adding up to zero.</param>
    /// <returns>Bins of a transform as long as the window: 1 for a rectangle, 1.5 for Hann.</returns>
    /// <exception cref="ArgumentException">There are no weights or their sum is zero or NaN.</exception>
    /// <remarks>Says nothing of side lobes. Source: Harris 1978, eq. 11 and Table I.</remarks>
    public static double NoiseBandwidthBins(ReadOnlySpan<double> window)
    {
        double sum = 0, energy = 0;
        foreach (var weight in window) (sum, energy) = (sum + weight, energy + weight * weight);
        return Math.Abs(sum) > 0
            ? window.Length * energy / (sum * sum)
            : throw new ArgumentException($"The {window.Length} weights add up to {sum}; must be other than 0.", nameof(window));
    }

    private static double[] Cosines(int length, int period, double a0, double a1, double a2)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(length, 1);
        if (length == 1) return [1];
        var window = new double[length];
        for (var k = 0; k < length; k++)
        {
            var fromEnd = Math.Min(k, period - k);   // mirrored by construction, so both halves are equal to the last bit
            window[k] = a0 - a1 * double.CosPi(2.0 * fromEnd / period) + a2 * double.CosPi(4.0 * fromEnd / period);
        }
        return window;
    }

    private static double SquaredSine(double quarterTurns)
    {
        var sine = double.SinPi(quarterTurns / 2);
        return sine * sine;
    }
}
