// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Impulses;
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>Decays of an impulse response: <c>impulse.Decays(FrequencyBand.Octaves(63, 4000)).At(1000).T30</c>.</summary>
/// <remarks>
/// Give it the whole response with the noise behind its tail, never one that a window has faded: a fade reads as a quick decay.
/// <para>Start: the first sample 20 dB below the peak of the whole response (ISO 3382-1:2009, A.1; fact sheet 4.12), one moment for all bands. In a band of its own
/// the start would depend on how far its filter smears it: in the 25 Hz third octave by a tenth of a second. Where
/// noise comes closer than that to the peak, the first sample that stands out of it.</para>
/// <para>Bands: filtered backwards in time (fact sheet 4.5), so that what rings lies before the start and an exponential decay stays one. Energy is counted from
/// where the filter put it, so levels are relative to all of it. Clarity and centre time take back the filter's delay, the centroid of its squared impulse response,
/// measured on the filter itself; that is exact to the first order in delay over decay time.</para>
/// <para>Noise: truncation by Lundeby and co-workers (fact sheet 6.2), the noise's mean square subtracted (W. T. Chu, J. Acoust. Soc. Am. 63 (1978) 1444–1446;
/// 6.5), the energy behind the truncation added from the late line (6.4).</para>
/// <para>Misleads in narrow bands: T60 is the inverse of a slope that scatters, so its mean reads long by about the square of its relative uncertainty.</para>
/// </remarks>
public static class ImpulseDecays
{
    private const double OnsetBelowPeakDb = 20;   // fact sheet 4.12
    private const double NoisePart = 0.1;         // the last tenth (fact sheet 6.2, step 2)
    private const double NoiseCrest = 5.5;        // own choice: Gaussian noise goes beyond 5.5 times its rms once in 26 million samples

    /// <summary>Every figure of every band.</summary>
    /// <param name="impulse">Impulse response, uncut.</param>
    /// <param name="bands">At least one band, for example <see cref="FrequencyBand.ThirdOctaves"/>(25, 10 000).</param>
    /// <returns>One decay per band; what cannot be given says why.</returns>
    /// <exception cref="ArgumentException">No band, no sample, or a sample that is not finite.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A band reaches above 0.45 · sample rate.</exception>
    /// <remarks>See the class, also for the source.</remarks>
    public static BandDecays Decays(this ImpulseResponse impulse, IReadOnlyList<FrequencyBand> bands)
    {
        ArgumentNullException.ThrowIfNull(impulse);
        ArgumentNullException.ThrowIfNull(bands);
        return impulse.Decays(FilterBank.Of(bands, impulse.SampleRateHz).AtOwnRates());
    }

    /// <summary>Every figure of every band, with a bank that was made before: quicker for many responses.</summary>
    /// <param name="impulse">Impulse response, uncut.</param>
    /// <param name="bank">A bank for the response's sample rate; one that works at its own rates is four times quicker.</param>
    /// <returns>One decay per band; what cannot be given says why.</returns>
    /// <exception cref="ArgumentException">Another sample rate, no sample, or a sample that is not finite.</exception>
    /// <remarks>See the class, also for the source.</remarks>
    public static BandDecays Decays(this ImpulseResponse impulse, FilterBank bank)
    {
        ArgumentNullException.ThrowIfNull(impulse);
        ArgumentNullException.ThrowIfNull(bank);
        if (bank.Filters[0].SampleRateHz != impulse.SampleRateHz)
            throw new ArgumentException($"The bank is for {bank.Filters[0].SampleRateHz} Hz; must be for {impulse.SampleRateHz} Hz, the rate of the response.", nameof(bank));
        var samples = WithoutZerosBehind(impulse);
        var start = Start(samples);
        var ringing = bank.Filters.Max(filter => filter.RingingSeconds(FilterUse.TimeReversed));
        var first = Math.Max(0, start - (int)(ringing * impulse.SampleRateHz));
        var startSeconds = (double)(start - first) / impulse.SampleRateHz;
        return new(bank.TimeReversed(samples[first..]).Select(signal => BandEnergy.Of(signal, startSeconds).Read()));
    }

    /// <summary>Every figure of all frequencies together, without a filter.</summary>
    /// <param name="impulse">Impulse response, uncut.</param>
    /// <returns>The decay; no uncertainty, because the width of what was excited is not known here.</returns>
    /// <exception cref="ArgumentException">No sample, or a sample that is not finite.</exception>
    /// <remarks>Misleads as one number for a room whose bands differ. See the class, also for the source.</remarks>
    public static BandDecay BroadbandDecay(this ImpulseResponse impulse)
    {
        CheckFinite(impulse, nameof(impulse));
        var samples = WithoutZerosBehind(impulse);
        return BandEnergy.Of(default, double.PositiveInfinity, samples, impulse.SampleRateHz, (double)Start(samples) / impulse.SampleRateHz, 0, 0).Read();
    }

    /// <summary>The plain backward integral from the start on: E[n] = Σ p²[m] over m ≥ n.</summary>
    /// <param name="impulse">Impulse response of any length.</param>
    /// <returns>One level per sample, 0 dB first, never rising. A response that is all zeros gives an empty curve.</returns>
    /// <exception cref="ArgumentException">A sample is not finite.</exception>
    /// <remarks>
    /// Does not take background noise out: noise bends the tail upward and decay times read long, so use <see cref="BroadbandDecay"/> or
    /// <see cref="Decays(ImpulseResponse, IReadOnlyList{FrequencyBand})"/> for figures. Source: M. R. Schroeder, J. Acoust. Soc. Am. 37 (1965) 409–412, with a sum in place of the integral.
    /// </remarks>
    public static DecayCurve BackwardIntegral(this ImpulseResponse impulse)
    {
        CheckFinite(impulse, nameof(impulse));
        var start = FirstAbove(impulse.Samples, Peak(impulse.Samples) * Decibels.ToAmplitudeRatio(-OnsetBelowPeakDb));
        var energy = BandEnergy.Behind(impulse.Samples, start)[..^1];
        return energy.Length == 0 || energy[0] == 0 ? new([], impulse.SampleRateHz, 0, 0, default) : new(energy, impulse.SampleRateHz, 0, energy[0], default);
    }

    /// <summary>Energy of the direct sound, the peak and a few milliseconds round it, over the energy of all the rest.</summary>
    /// <param name="impulse">Impulse response of a full-band source.</param>
    /// <param name="halfWidthMs">How much on either side of the peak counts as direct, in milliseconds, in (0, ∞).</param>
    /// <returns>Decibels; +∞ where there is no rest, NaN where there is nothing at all.</returns>
    /// <exception cref="ArgumentException">The width is outside its interval, or a sample is not finite.</exception>
    /// <remarks>Misleads where a reflection comes within the width, or is stronger than the direct sound. Noise counts as rest. Source: the definition; 2.5 ms is usual.</remarks>
    public static double DirectToReverberantDb(this ImpulseResponse impulse, double halfWidthMs = 2.5)
    {
        CheckFinite(impulse, nameof(impulse));
        if (!(halfWidthMs > 0 && double.IsFinite(halfWidthMs))) throw new ArgumentOutOfRangeException(nameof(halfWidthMs), halfWidthMs, "Must be in (0, ∞) ms.");
        var samples = impulse.Samples;
        var (peak, reach) = (0, halfWidthMs * impulse.SampleRateHz / 1000);
        for (var n = 1; n < samples.Length; n++) if (Math.Abs(samples[n]) > Math.Abs(samples[peak])) peak = n;
        var (direct, rest) = (0.0, 0.0);
        for (var n = 0; n < samples.Length; n++)
            if (Math.Abs(n - peak) <= reach) direct += samples[n] * samples[n];
            else rest += samples[n] * samples[n];
        return direct == 0 ? double.NaN : Decibels.FromPower(direct / rest);
    }

    internal static void CheckFinite(ImpulseResponse impulse, string name)
    {
        ArgumentNullException.ThrowIfNull(impulse, name);
        for (var n = 0; n < impulse.Length; n++)
            if (!double.IsFinite(impulse[n])) throw new ArgumentException(FormattableString.Invariant($"Sample {n} is {impulse[n]}; must be finite, in (−∞, ∞)."), name);
    }

    /// <summary>Zeros at the end are no record: somebody padded.</summary>
    private static ReadOnlySpan<double> WithoutZerosBehind(ImpulseResponse impulse)
    {
        var samples = impulse.Samples;
        if (samples.IsEmpty) throw new ArgumentException("Got 0 samples; must be at least 1.", nameof(impulse));
        var end = samples.LastIndexOfAnyExcept(0.0);
        return end < 0 ? samples : samples[..(end + 1)];
    }

    private static int Start(ReadOnlySpan<double> samples)
    {
        var (peak, noise) = (Peak(samples), 0.0);
        var end = samples[(int)((1 - NoisePart) * samples.Length)..];
        foreach (var sample in end) noise += sample * sample;
        return FirstAbove(samples, Math.Min(peak, Math.Max(peak * Decibels.ToAmplitudeRatio(-OnsetBelowPeakDb), NoiseCrest * Math.Sqrt(noise / end.Length))));
    }

    private static double Peak(ReadOnlySpan<double> samples)
    {
        var peak = 0.0;
        foreach (var sample in samples) peak = Math.Max(peak, Math.Abs(sample));
        return peak;
    }

    private static int FirstAbove(ReadOnlySpan<double> samples, double threshold)
    {
        var n = 0;
        while (n < samples.Length && Math.Abs(samples[n]) < threshold) n++;
        return n;
    }
}
