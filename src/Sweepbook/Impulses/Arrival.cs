// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Impulses;

/// <summary>How an arrival was found.</summary>
public enum ArrivalMethod
{
    /// <summary>The first sample that rises above 20 dB below the peak.</summary>
    Onset,

    /// <summary>The first extremum that reaches half of the largest one, interpolated between samples.</summary>
    Peak,

    /// <summary>The phase between two responses, over a band: a relative delay, see <see cref="RelativeDelay"/>.</summary>
    CrossPhase,
}

/// <summary>When a response starts, and which way it first swings.</summary>
/// <param name="Seconds">Time after the time zero, in seconds.</param>
/// <param name="Method">How it was found.</param>
/// <param name="Polarity">+1 or −1: the sign of the first extremum; 0 where there is no signal.</param>
/// <param name="PolarityConfidenceDb">How far the first extremum stands above the opposite one within one millisecond, in decibels.</param>
public readonly record struct Arrival(double Seconds, ArrivalMethod Method, int Polarity, double PolarityConfidenceDb)
{
    private const double ClearPolarityDb = 2;        // extrema of 1 and 0.8: noise or a reflection 20 dB below, which a trusted phase may hold, makes them equal

    /// <summary>True where the polarity may be believed: the first extremum stands 2 dB or more above the opposite one. Where it does not, the polarity is ambiguous.</summary>
    public bool IsPolarityClear => Polarity != 0 && PolarityConfidenceDb >= ClearPolarityDb;

    /// <summary>The polarity in a word: "positive", "negative" or "ambiguous"; empty where there is no signal.</summary>
    public string PolarityInWords => Polarity == 0 ? "" : !IsPolarityClear ? "ambiguous" : Polarity > 0 ? "positive" : "negative";

    private const double OnsetBelowPeakDb = 20;      // ISO 3382-1:2009, A.1 (fact sheet 4.12)
    private const double FirstPeakRatio = 0.5;       // own choice: earlier, weaker extrema are band-limit ringing
    private const int InterpolationHalfWidth = 32;   // samples of the windowed sinc on either side
    private const double NeighbourhoodSeconds = 0.001;

    /// <summary>Arrival by the first large extremum, refined to a fraction of a sample by band-limited interpolation.</summary>
    /// <param name="response">Impulse response; a full-band source gives a meaningful result, a subwoofer only a rough one.</param>
    /// <returns>The arrival; polarity 0 and NaN seconds where the response is all zeros.</returns>
    /// <remarks>
    /// A subwoofer's peak comes later than its onset by its own group delay: never turn it into a distance.
    /// Source: own definition; the interpolator is a Hann-windowed sinc, derived from the sampling theorem.
    /// </remarks>
    public static Arrival AtFirstPeak(ImpulseResponse response)
    {
        ArgumentNullException.ThrowIfNull(response);
        var samples = response.Samples;
        var largest = Largest(samples);
        if (largest == 0) return new(double.NaN, ArrivalMethod.Peak, 0, 0);
        var n = 0;
        while (Math.Abs(samples[n]) < FirstPeakRatio * largest) n++;
        while (n + 1 < samples.Length && Math.Abs(samples[n + 1]) > Math.Abs(samples[n])) n++;
        var sign = Math.Sign(samples[n]);
        var position = Refine(samples, n, sign);
        return new((position - response.TimeZeroSamples) / response.SampleRateHz, ArrivalMethod.Peak, sign,
            Confidence(samples, n, sign, (int)(NeighbourhoodSeconds * response.SampleRateHz)));
    }

    /// <summary>Arrival by the first sample that rises above 20 dB below the peak.</summary>
    /// <param name="response">Impulse response.</param>
    /// <returns>The arrival, to the sample; polarity is that of the first large extremum.</returns>
    /// <remarks>Early by the ringing of a steep band limit. Source: ISO 3382-1:2009, A.1 (fact sheet 4.12).</remarks>
    public static Arrival AtOnset(ImpulseResponse response)
    {
        var peak = AtFirstPeak(response);
        if (peak.Polarity == 0) return peak with { Method = ArrivalMethod.Onset };
        var threshold = Largest(response.Samples) * Decibels.ToAmplitudeRatio(-OnsetBelowPeakDb);
        var n = 0;
        while (Math.Abs(response.Samples[n]) < threshold) n++;
        return peak with { Seconds = response.SecondsAt(n), Method = ArrivalMethod.Onset };
    }

    private static double Largest(ReadOnlySpan<double> samples)
    {
        var largest = 0.0;
        foreach (var sample in samples) largest = Math.Max(largest, Math.Abs(sample));
        return largest;
    }

    /// <summary>Golden-section search for the extremum of the interpolated signal within one sample of <paramref name="n"/>.</summary>
    private static double Refine(ReadOnlySpan<double> samples, int n, int sign)
    {
        var golden = (Math.Sqrt(5) - 1) / 2;
        var (low, high) = (n - 1.0, n + 1.0);
        for (var step = 0; step < 40; step++)
        {
            var (a, b) = (high - golden * (high - low), low + golden * (high - low));
            if (sign * Interpolated(samples, a) > sign * Interpolated(samples, b)) high = b;
            else low = a;
        }
        return (low + high) / 2;
    }

    private static double Interpolated(ReadOnlySpan<double> samples, double position)
    {
        var centre = (int)Math.Floor(position);
        var sum = 0.0;
        for (var k = centre - InterpolationHalfWidth + 1; k <= centre + InterpolationHalfWidth; k++)
        {
            if (k < 0 || k >= samples.Length) continue;
            var x = position - k;
            var sinc = x == 0 ? 1 : Math.Sin(Math.PI * x) / (Math.PI * x);
            sum += samples[k] * sinc * (0.5 + 0.5 * Math.Cos(Math.PI * x / (InterpolationHalfWidth + 1)));
        }
        return sum;
    }

    private static double Confidence(ReadOnlySpan<double> samples, int n, int sign, int reach)
    {
        var opposite = 0.0;
        for (var k = Math.Max(0, n - reach); k <= Math.Min(samples.Length - 1, n + reach); k++)
            opposite = Math.Max(opposite, -sign * samples[k]);
        return opposite == 0 ? double.PositiveInfinity : Decibels.FromAmplitude(Math.Abs(samples[n]) / opposite);
    }
}
