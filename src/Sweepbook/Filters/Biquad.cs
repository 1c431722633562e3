// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>
/// The coefficients of a second-order filter for one sample rate: H(z) = (b0 + b1·z⁻¹ + b2·z⁻²) / (1 + a1·z⁻¹ + a2·z⁻²).
/// The default has all coefficients zero and lets nothing through.
/// </summary>
/// <remarks>
/// Mind the signs of a1 and a2: some processors want them reversed. Source: R. Bristow-Johnson, "Audio EQ Cookbook", W3C Audio Working Group note 2021
/// (fact sheet 12); the peaking filter's q is that of the boost and of the cut alike, so that the two undo each other.
/// </remarks>
public readonly record struct Biquad
{
    private const double LowestQ = 1e-6, HighestQ = 1e6, LargestGainDb = 1000;   // far beyond any use, far within the range of a double

    private Biquad(int sampleRateHz, double b0, double b1, double b2, double a0, double a1, double a2) =>
        (SampleRateHz, B0, B1, B2, A1, A2) = (sampleRateHz, b0 / a0, b1 / a0, b2 / a0, a1 / a0, a2 / a0);

    /// <summary>The sample rate that the coefficients belong to, in hertz.</summary>
    public int SampleRateHz { get; }

    /// <summary>Numerator, weight of the newest sample.</summary>
    public double B0 { get; }

    /// <summary>Numerator, weight of the sample before.</summary>
    public double B1 { get; }

    /// <summary>Numerator, weight of the sample before that.</summary>
    public double B2 { get; }

    /// <summary>Denominator, factor of z⁻¹.</summary>
    public double A1 { get; }

    /// <summary>Denominator, factor of z⁻².</summary>
    public double A2 { get; }

    /// <summary>Low-pass: 0 dB at 0 Hz, 20·lg q at its frequency, falling by 12 dB per octave above.</summary>
    /// <param name="frequencyHz">Corner frequency in hertz, in (0, sample rate / 2).</param>
    /// <param name="q">Quality factor, in [1e-6, 1e6]; 1/√2 is a Butterworth.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The coefficients.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>Near half the sample rate the shape is squeezed against it (bilinear transform). Source: Audio EQ Cookbook.</remarks>
    public static Biquad LowPass(double frequencyHz, double q, int sampleRateHz)
    {
        var (cosine, alpha, versine) = Angle(frequencyHz, q, sampleRateHz);
        return new(sampleRateHz, versine / 2, versine, versine / 2, 1 + alpha, -2 * cosine, 1 - alpha);
    }

    /// <summary>High-pass: 0 dB towards half the sample rate, 20·lg q at its frequency, falling by 12 dB per octave below.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static Biquad HighPass(double frequencyHz, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        return new(sampleRateHz, (1 + cosine) / 2, -(1 + cosine), (1 + cosine) / 2, 1 + alpha, -2 * cosine, 1 - alpha);
    }

    /// <summary>All-pass: 0 dB everywhere, phase from 0° through ±180° at its frequency to −360°.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static Biquad AllPass(double frequencyHz, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        return new(sampleRateHz, 1 - alpha, -2 * cosine, 1 + alpha, 1 + alpha, -2 * cosine, 1 - alpha);
    }

    /// <summary>First-order all-pass: 0 dB everywhere, phase from 0° through −90° at its frequency to −180°.</summary>
    /// <param name="frequencyHz">Frequency of the quarter turn in hertz, in (0, sample rate / 2).</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The coefficients; b2 and a2 are zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>Near half the sample rate the turn is squeezed against it. Source: (1 − s)/(1 + s) through the bilinear transform, matched at its frequency.</remarks>
    public static Biquad AllPassFirstOrder(double frequencyHz, int sampleRateHz)
    {
        _ = Angle(frequencyHz, 1, sampleRateHz);
        var corner = double.TanPi(frequencyHz / sampleRateHz);
        return new(sampleRateHz, corner - 1, corner + 1, 0, corner + 1, corner - 1, 0);
    }

    /// <summary>Band-pass: 0 dB at its frequency, 3 dB down f/q apart, falling by 6 dB per octave on both sides.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static Biquad BandPass(double frequencyHz, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        return new(sampleRateHz, alpha, 0, -alpha, 1 + alpha, -2 * cosine, 1 - alpha);
    }

    /// <summary>Band-pass whose skirts stay where they are when q changes: 20·lg q at its frequency.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static Biquad BandPassConstantSkirt(double frequencyHz, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        return new(sampleRateHz, q * alpha, 0, -q * alpha, 1 + alpha, -2 * cosine, 1 - alpha);
    }

    /// <summary>The q of a bandwidth: 1/q = 2·sinh(ln 2 / 2 · bandwidth · ω / sin ω), ω = 2π·frequency/rate.</summary>
    /// <param name="bandwidthOctaves">Width in octaves, in (0, ∞): between the −3 dB points of a band-pass or notch, the half-gain points of a peaking filter.</param>
    /// <param name="frequencyHz">Centre frequency in hertz, in (0, sample rate / 2).</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The quality factor, linear.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>Near half the sample rate the width is met approximately only. Source: Audio EQ Cookbook.</remarks>
    public static double QOfBandwidth(double bandwidthOctaves, double frequencyHz, int sampleRateHz)
    {
        _ = Angle(frequencyHz, 1, sampleRateHz);
        if (!(bandwidthOctaves > 0 && double.IsFinite(bandwidthOctaves)))
            throw new ArgumentOutOfRangeException(nameof(bandwidthOctaves), bandwidthOctaves, "Must be in (0, ∞) octaves.");
        var angle = 2 * Math.PI * frequencyHz / sampleRateHz;
        return 1 / (2 * Math.Sinh(Math.Log(2) / 2 * bandwidthOctaves * angle / Math.Sin(angle)));
    }

    /// <summary>The q of a shelf's slope: 1/q = √((A + 1/A)·(1/slope − 1) + 2), A = 10^(gain/40).</summary>
    /// <param name="slopeRatio">Slope over the steepest one without overshoot, in (0, 1].</param>
    /// <param name="gainDb">Gain of the shelf in decibels, in [−1000, 1000].</param>
    /// <returns>The quality factor, linear; 1/√2 for slope 1.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>Slopes above 1 overshoot and are left to q itself. Source: Audio EQ Cookbook.</remarks>
    public static double QOfSlope(double slopeRatio, double gainDb)
    {
        if (!(slopeRatio > 0 && slopeRatio <= 1)) throw new ArgumentOutOfRangeException(nameof(slopeRatio), slopeRatio, "Must be in (0, 1].");
        var a = HalfGain(gainDb);
        return 1 / Math.Sqrt((a + 1 / a) * (1 / slopeRatio - 1) + 2);
    }

    /// <summary>Notch: nothing at its frequency, 0 dB far from it, 3 dB down f/q apart.</summary>
    /// <inheritdoc cref="LowPass"/>
    public static Biquad Notch(double frequencyHz, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        return new(sampleRateHz, 1, -2 * cosine, 1, 1 + alpha, -2 * cosine, 1 - alpha);
    }

    /// <summary>Peaking filter: the gain at its frequency, 0 dB far from it.</summary>
    /// <param name="frequencyHz">Centre frequency in hertz, in (0, sample rate / 2).</param>
    /// <param name="gainDb">Gain at the centre in decibels, in [−1000, 1000]; negative cuts.</param>
    /// <param name="q">Quality factor, in [1e-6, 1e6]: half the gain in decibels is reached about f/q apart.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, above zero.</param>
    /// <returns>The coefficients.</returns>
    /// <exception cref="ArgumentOutOfRangeException">An argument is outside its interval.</exception>
    /// <remarks>Other definitions of q are in use, which differ by up to the gain: compare responses, not settings. Source: Audio EQ Cookbook.</remarks>
    public static Biquad Peaking(double frequencyHz, double gainDb, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        var a = HalfGain(gainDb);
        return new(sampleRateHz, 1 + alpha * a, -2 * cosine, 1 - alpha * a, 1 + alpha / a, -2 * cosine, 1 - alpha / a);
    }

    /// <summary>Low shelf: the gain far below its frequency, half of it in decibels at it, 0 dB far above.</summary>
    /// <inheritdoc cref="Peaking"/>
    public static Biquad LowShelf(double frequencyHz, double gainDb, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        var a = HalfGain(gainDb);
        var (plus, minus, edge) = (a + 1, a - 1, 2 * Math.Sqrt(a) * alpha);
        return new(sampleRateHz, a * (plus - minus * cosine + edge), 2 * a * (minus - plus * cosine), a * (plus - minus * cosine - edge),
            plus + minus * cosine + edge, -2 * (minus + plus * cosine), plus + minus * cosine - edge);
    }

    /// <summary>High shelf: the gain far above its frequency, half of it in decibels at it, 0 dB far below.</summary>
    /// <inheritdoc cref="Peaking"/>
    public static Biquad HighShelf(double frequencyHz, double gainDb, double q, int sampleRateHz)
    {
        var (cosine, alpha, _) = Angle(frequencyHz, q, sampleRateHz);
        var a = HalfGain(gainDb);
        var (plus, minus, edge) = (a + 1, a - 1, 2 * Math.Sqrt(a) * alpha);
        return new(sampleRateHz, a * (plus + minus * cosine + edge), -2 * a * (minus + plus * cosine), a * (plus + minus * cosine - edge),
            plus - minus * cosine + edge, 2 * (minus - plus * cosine), plus - minus * cosine - edge);
    }

    /// <summary>H at one frequency: z = e^(j2πf/fs).</summary>
    /// <param name="frequencyHz">Frequency in hertz, in [0, sample rate / 2].</param>
    /// <returns>Output over input, linear, complex; a delay makes its phase fall.</returns>
    /// <exception cref="ArgumentOutOfRangeException">Outside the interval.</exception>
    /// <remarks>The steady state only: a filter of high q takes q/f seconds to get there. Source: the definition of H.</remarks>
    public Complex ResponseAt(double frequencyHz)
    {
        if (!(frequencyHz >= 0 && frequencyHz <= SampleRateHz / 2.0))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, $"Must be in [0, {SampleRateHz / 2.0}] Hz.");
        if (SampleRateHz == 0) return 0;
        // Both sides times z; cos ω = 1 − 2 sin²(ω/2) keeps the digits where all coefficients nearly cancel, at low frequencies.
        var (sine, halfSine) = (double.SinPi(2 * frequencyHz / SampleRateHz), double.SinPi(frequencyHz / SampleRateHz));
        Complex numerator = new(B0 + B1 + B2 - 2 * (B0 + B2) * halfSine * halfSine, (B0 - B2) * sine);
        Complex denominator = new(1 + A1 + A2 - 2 * (1 + A2) * halfSine * halfSine, (1 - A2) * sine);
        return numerator / denominator;
    }

    /// <summary>A section from coefficients that are already over a0.</summary>
    internal static Biquad FromCoefficients(int sampleRateHz, double b0, double b1, double b2, double a1, double a2) => new(sampleRateHz, b0, b1, b2, 1, a1, a2);

    private static (double Cosine, double Alpha, double Versine) Angle(double frequencyHz, double q, int sampleRateHz)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 1);
        if (!(frequencyHz > 0 && frequencyHz < sampleRateHz / 2.0))
            throw new ArgumentOutOfRangeException(nameof(frequencyHz), frequencyHz, $"Must be in (0, {sampleRateHz / 2.0}) Hz.");
        if (!(q >= LowestQ && q <= HighestQ))
            throw new ArgumentOutOfRangeException(nameof(q), q, "Must be in [1e-6, 1e6].");
        var (sine, cosine) = double.SinCosPi(2 * frequencyHz / sampleRateHz);
        var halfSine = double.SinPi(frequencyHz / sampleRateHz);
        return (cosine, sine / (2 * q), 2 * halfSine * halfSine);
    }

    /// <summary>10^(gain/40): the cookbook's A.</summary>
    private static double HalfGain(double gainDb) => Math.Abs(gainDb) <= LargestGainDb
        ? Decibels.ToAmplitudeRatio(gainDb / 2)
        : throw new ArgumentOutOfRangeException(nameof(gainDb), gainDb, "Must be in [−1000, 1000] dB.");
}
