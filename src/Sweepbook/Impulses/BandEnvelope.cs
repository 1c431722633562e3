// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The envelope of the part of a signal inside a band: its analytic signal, made by leaving out negative frequencies and what lies outside.</summary>
/// <remarks>
/// Ends of half cosines over half an octave, ½ in amplitude at the stated frequencies; no end at half the sample rate where the band reaches it. The transform is twice as long as
/// the signal, so that what rings beyond one end does not come back at the other. Source: D. Gabor, J. IEE 93 (1946) 429–457, part I, section 1.2, with a weight on the frequencies.
/// </remarks>
internal static class BandEnvelope
{
    private const double FlankOctaves = 0.5;

    internal static double[] Of(ReadOnlySpan<double> samples, int sampleRateHz, double fromHz, double toHz)
    {
        if (samples.IsEmpty) return [];
        var length = StimulusSpectrum.EvenLength(2 * samples.Length);
        var bins = FourierTransform.OfReal(samples, length);
        for (var k = 0; k < bins.Length; k++) bins[k] *= Weight((double)k * sampleRateHz / length, fromHz, toHz, sampleRateHz / 2.0);
        var real = FourierTransform.ToReal(bins, length);
        for (var k = 0; k < bins.Length; k++) bins[k] *= -Complex.ImaginaryOne;
        bins[^1] = 0;   // half the sample rate has no quadrature
        var quadrature = FourierTransform.ToReal(bins, length);
        var envelope = new double[samples.Length];
        for (var n = 0; n < envelope.Length; n++) envelope[n] = Math.Sqrt(real[n] * real[n] + quadrature[n] * quadrature[n]);
        return envelope;
    }

    private static double Weight(double frequencyHz, double fromHz, double toHz, double highestHz)
    {
        if (frequencyHz <= 0) return 0;
        var rising = Flank(Math.Log2(frequencyHz / fromHz));
        return toHz >= highestHz ? rising : rising * Flank(Math.Log2(toHz / frequencyHz));
    }

    /// <summary>0 a quarter of an octave outside the end, ½ at it, 1 a quarter of an octave inside.</summary>
    private static double Flank(double octavesInside)
    {
        var sine = double.SinPi(Math.Clamp(octavesInside / FlankOctaves + 0.5, 0, 1) / 2);
        return sine * sine;
    }
}
