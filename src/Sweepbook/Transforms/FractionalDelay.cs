// SPDX-License-Identifier: MIT
namespace Sweepbook.Transforms;

/// <summary>Delays that need not be a whole number of samples.</summary>
public static class FractionalDelay
{
    /// <summary>Longest delay either way, in samples.</summary>
    private const double LongestSamples = FourierTransform.MaximumLength;

    /// <summary>Most samples that a delay of a fraction takes: the sinc is twice as long, and their convolution three times.</summary>
    private const int LongestFraction = FourierTransform.MaximumLength / 4;

    /// <summary>y[n] = Σ x[m] · sinc(n − m − d): the band-limited signal through the samples, read <paramref name="delaySamples"/> earlier.</summary>
    /// <param name="samples">Samples x; before and after them the signal is taken as zero.</param>
    /// <param name="delaySamples">Delay d in samples, finite, within ± 2^29; positive is later.</param>
    /// <returns>As many samples as went in: what is moved out at one end is lost, and silence comes in at the other. A whole d moves the samples unchanged, to the last bit.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The delay is not finite or too large.</exception>
    /// <exception cref="ArgumentException">There are more than 2^27 samples and the delay is not a whole number of them.</exception>
    /// <remarks>
    /// A signal that starts or stops abruptly, or has content near half the sample rate, rings by the tails of the sinc, which
    /// reach over the whole block; those beyond its ends are lost, so that a delay there and back is exact only for a signal that dies away towards
    /// both ends. Source: C. E. Shannon, "Communication in the Presence of Noise", Proc. IRE 37 (1949) 10–21, theorem 1;
    /// T. I. Laakso et al., "Splitting the Unit Delay", IEEE Signal Processing Magazine 13 (1996) 30–60, eq. 10 (the ideal delay).
    /// </remarks>
    public static double[] Shift(ReadOnlySpan<double> samples, double delaySamples)
    {
        if (!(Math.Abs(delaySamples) <= LongestSamples))
            throw new ArgumentOutOfRangeException(nameof(delaySamples), delaySamples, $"Must be in [−{LongestSamples}, {LongestSamples}] samples.");
        var whole = (int)Math.Round(delaySamples);
        var fraction = delaySamples - whole;
        var (count, shifted) = (samples.Length, new double[samples.Length]);
        if (fraction == 0)
        {
            for (var n = Math.Max(0, whole); n < Math.Min((long)count, (long)count + whole); n++) shifted[n] = samples[n - whole];
            return shifted;
        }
        if (count > LongestFraction) throw new ArgumentException($"Got {count} samples; must be in [0, {LongestFraction}] for a delay that is not whole.", nameof(samples));
        // The kernel covers every distance from a sample to a place in the block: n − m from 1 − count to count − 1.
        var kernel = new double[Math.Max(0, 2 * count - 1)];
        var sine = double.SinPi(fraction);
        for (var k = 0; k < kernel.Length; k++)
        {
            var distance = k - (count - 1) - whole;
            kernel[k] = (distance % 2 == 0 ? -sine : sine) / (Math.PI * (distance - fraction));
        }
        return Convolution.Linear(samples, kernel).AsSpan(Math.Max(0, count - 1), count).ToArray();
    }
}
