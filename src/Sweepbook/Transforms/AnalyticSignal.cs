// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Transforms;

/// <summary>A real signal with the imaginary part that leaves it no negative frequencies; its magnitude is the envelope.</summary>
public static class AnalyticSignal
{
    /// <summary>z[n] = x[n] + j · Σ x[m] · h[n − m], with h[k] = 2 / (π·k) for odd k and 0 for even: the discrete Hilbert transform.</summary>
    /// <param name="samples">Samples x; before and after them the signal is taken as zero.</param>
    /// <returns>As many complex numbers, in the unit of the samples; the real part is the samples themselves. Any length, with no dependence on it.</returns>
    /// <exception cref="ArgumentException">There are more than 2^27 samples.</exception>
    /// <remarks>
    /// A tone that is cut off at the ends of the block has ripples there, which die away like 1 / distance; the mean of the signal (0 Hz) has no
    /// partner at all. A NaN spreads over everything. Source: A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, section 12.4, eq. 12.65.
    /// </remarks>
    public static Complex[] Of(ReadOnlySpan<double> samples)
    {
        const int Longest = FourierTransform.MaximumLength / 4;
        if (samples.Length > Longest) throw new ArgumentException($"Got {samples.Length} samples; must be in [0, {Longest}].", nameof(samples));
        if (samples.IsEmpty) return [];
        var count = samples.Length;
        var kernel = new double[2 * count - 1];   // every distance from one sample to another
        for (var k = 1; k < count; k += 2) (kernel[count - 1 + k], kernel[count - 1 - k]) = (2 / (Math.PI * k), -2 / (Math.PI * k));
        var quadrature = Convolution.Linear(samples, kernel);
        var signal = new Complex[count];
        for (var n = 0; n < count; n++) signal[n] = new(samples[n], quadrature[count - 1 + n]);
        return signal;
    }

    /// <summary>The envelope |z[n]| of <see cref="Of"/>: the magnitude of the analytic signal.</summary>
    /// <param name="samples">Samples x; before and after them the signal is taken as zero.</param>
    /// <returns>As many values, not negative, in the unit of the samples.</returns>
    /// <exception cref="ArgumentException">There are more than 2^27 samples.</exception>
    /// <remarks>
    /// Is what one sees as the outline only where the outline changes slowly beside the tone under it; of several tones at once it shows the beats.
    /// Misleads at the ends as <see cref="Of"/> does. Source: D. Gabor, "Theory of communication", J. IEE 93 (1946) 429–457, part I, section 1.2.
    /// </remarks>
    public static double[] EnvelopeOf(ReadOnlySpan<double> samples)
    {
        var signal = Of(samples);
        var envelope = new double[signal.Length];
        for (var n = 0; n < envelope.Length; n++) envelope[n] = signal[n].Magnitude;
        return envelope;
    }
}
