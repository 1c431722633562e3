// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Decay;

/// <summary>A resonance that starts at once and dies away: a · e^(−kt) · cos(2πft), k = ln 1000 / T.</summary>
internal readonly record struct Resonance(double FrequencyHz, double DecaySeconds, double Amplitude = 1)
{
    internal double Rate => Math.Log(1000) / DecaySeconds;
}

/// <summary>Responses of damped resonances, and the spectra of their slices in closed form.</summary>
internal static class Resonances
{
    internal const double LeadSeconds = 0.1;

    internal static ImpulseResponse Response(int rateHz, double seconds, double noiseRatio, ulong seed, params ReadOnlySpan<Resonance> resonances)
    {
        var (count, lead) = ((int)Math.Round(seconds * rateHz), (int)Math.Round(LeadSeconds * rateHz));
        var samples = noiseRatio > 0 ? Signals.Noise(count, seed) : new double[count];
        for (var n = 0; n < count; n++)
        {
            samples[n] *= noiseRatio;
            if (n < lead) continue;
            var t = (double)(n - lead) / rateHz;
            foreach (var (frequencyHz, decaySeconds, amplitude) in resonances)
                samples[n] += amplitude * Math.Exp(-Math.Log(1000) / decaySeconds * t) * Math.Cos(2 * Math.PI * frequencyHz * t);
        }
        return Of(samples, rateHz, lead);
    }

    internal static ImpulseResponse Of(double[] samples, int rateHz, double timeZeroSamples = 0) =>
        new(samples, rateHz, timeZeroSamples, TimeZero.Stated, TimeGroup.None, "made for a test");

    /// <summary>
    /// Σ w[n] · h[moment − rise + n] · e^(−jθn) by geometric series, for a window of <paramref name="length"/> samples that rises over the first
    /// <paramref name="rise"/> and falls over the last <paramref name="fall"/> like half a Hann window; h starts at 0, so moment 0 or at least the rise.
    /// </summary>
    internal static double SlicePower(Resonance resonance, int rateHz, int moment, int length, int rise, int fall, double frequencyHz)
    {
        Assert.True(moment == 0 || moment >= rise);
        var pole = new Complex(-resonance.Rate / rateHz, 2 * Math.PI * resonance.FrequencyHz / rateHz);
        var turn = new Complex(0, -2 * Math.PI * frequencyHz / rateHz);
        var sum = Complex.Zero;
        foreach (var side in new[] { pole, Complex.Conjugate(pole) })
        {
            var q = side + turn;
            var own = moment == 0 ? Complex.Zero
                : 0.5 * Geometric(q, 0, rise) - 0.25 * (Geometric(q + new Complex(0, Math.PI / rise), 0, rise) + Geometric(q - new Complex(0, Math.PI / rise), 0, rise));
            own += Geometric(q, rise, length - fall);
            // with j = n − (length − fall) the weight is sin²(π (fall − j) / 2 fall) = ½ + ½ cos(π j / fall)
            own += Complex.Exp(q * (length - fall))
                * (0.5 * Geometric(q, 0, fall) + 0.25 * (Geometric(q + new Complex(0, Math.PI / fall), 0, fall) + Geometric(q - new Complex(0, Math.PI / fall), 0, fall)));
            sum += 0.5 * resonance.Amplitude * Complex.Exp(side * (moment - rise)) * own;
        }
        return sum.Real * sum.Real + sum.Imaginary * sum.Imaginary;
    }

    /// <summary>Σ e^(q n) for n from <paramref name="from"/> to <paramref name="end"/> − 1.</summary>
    private static Complex Geometric(Complex q, int from, int end) => (Complex.Exp(q * from) - Complex.Exp(q * end)) / (1 - Complex.Exp(q));
}
