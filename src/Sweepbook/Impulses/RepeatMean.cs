// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;
using Sweepbook.Trust;

namespace Sweepbook.Impulses;

/// <summary>The mean of repeats of one take: the response stays, independent noise falls by 10 · lg(n) dB.</summary>
/// <remarks>
/// Repeats with a common time zero are averaged as they are; the others are first moved onto the first one by the lag of their
/// cross-correlation. Misleads when something moved between the repeats: the high frequencies then cancel.
/// Source: ISO 18233:2006 on averaging (fact sheet 4.16: +3 dB per doubling).
/// </remarks>
internal static class RepeatMean
{
    /// <summary>Sample-by-sample mean after alignment.</summary>
    /// <param name="repeats">One or more responses of equal sample rate.</param>
    /// <returns>A response on the time axis of the first one, as long as the first one.</returns>
    /// <exception cref="ArgumentException">No response was given, or the rates differ.</exception>
    public static ImpulseResponse Of(IReadOnlyList<ImpulseResponse> repeats)
    {
        return Of(repeats, out _);
    }

    /// <summary>The mean, ending where the first of the aligned repeats ends: behind it the mean would hold less noise than before.</summary>
    internal static ImpulseResponse OfCommonPart(IReadOnlyList<ImpulseResponse> repeats)
    {
        var mean = Of(repeats, out var common);
        return common == mean.Length ? mean : mean.With(mean.Samples[..common].ToArray(), mean.TimeZeroSamples, mean.Method);
    }

    private static ImpulseResponse Of(IReadOnlyList<ImpulseResponse> repeats, out int common)
    {
        ArgumentNullException.ThrowIfNull(repeats);
        if (repeats.Count == 0) throw new ArgumentException("Is empty; give at least one response.", nameof(repeats));
        var first = repeats[0];
        common = first.Length;
        if (repeats.Count == 1) return first;
        var sum = first.ToArray();
        foreach (var repeat in repeats.Skip(1))
        {
            if (repeat.SampleRateHz != first.SampleRateHz)
                throw new ArgumentException($"Hold {first.SampleRateHz} Hz and {repeat.SampleRateHz} Hz; repeats share one rate.", nameof(repeats));
            var moved = OnTimeAxisOf(first, repeat, out var delaySamples);
            common = Math.Clamp((int)Math.Floor(Math.Min(repeat.Length, first.Length) + delaySamples), 0, common);
            for (var n = 0; n < sum.Length; n++) sum[n] += moved[n];
        }
        for (var n = 0; n < sum.Length; n++) sum[n] /= repeats.Count;
        return first.With(sum, first.TimeZeroSamples, $"{first.Method}, mean of {repeats.Count} repeats");
    }

    /// <summary>The samples of every repeat on the time axis of the first one, as long as the first one: what <see cref="Of(IReadOnlyList{ImpulseResponse})"/> is the mean of.</summary>
    internal static IEnumerable<double[]> Aligned(IReadOnlyList<ImpulseResponse> repeats) =>
        repeats.Select((repeat, n) => n == 0 ? repeat.ToArray() : OnTimeAxisOf(repeats[0], repeat, out _));

    private static double[] OnTimeAxisOf(ImpulseResponse first, ImpulseResponse repeat, out double delaySamples)
    {
        delaySamples = first.TimeZeroSamples - repeat.TimeZeroSamples;
        if (!first.TimeGroup.Shares(repeat.TimeGroup)) delaySamples = -LagSamples(first, repeat);
        return FractionalDelay.Shift(Fit(repeat.Samples, first.Length), delaySamples);
    }

    private static double[] Fit(ReadOnlySpan<double> samples, int length)
    {
        var fitted = new double[length];
        samples[..Math.Min(length, samples.Length)].CopyTo(fitted);
        return fitted;
    }

    /// <summary>
    /// How many samples <paramref name="repeat"/> is late: the vertex of the parabola through the correlation's largest magnitude, so that a
    /// repeat of the opposite polarity cancels and shows, instead of hiding at a wrong lag.
    /// </summary>
    private static double LagSamples(ImpulseResponse first, ImpulseResponse repeat)
    {
        var correlation = Correlation.Of(repeat.Samples, first.Samples);
        double At(int lag) => lag >= correlation.FirstLag && lag <= correlation.LastLag ? correlation[lag] : 0;   // beyond, nothing overlaps
        var top = correlation.StrongestLag;
        var (before, peak, after) = (At(top - 1), At(top), At(top + 1));
        var curvature = before - 2 * peak + after;
        var vertex = curvature * peak < 0 ? 0.5 * (before - after) / curvature : 0;
        return top + vertex;
    }
}
