// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>A two-sided time window round the arrival: rising over its whole left part, flat, and falling over the last quarter of its right part.</summary>
/// <param name="LeftSeconds">Length before the arrival, in seconds; it holds the ringing of the band limit, so at least one period of the lowest frequency.</param>
/// <param name="RightSeconds">Length T after the arrival, in seconds; 1/T is the finest detail that survives.</param>
/// <remarks>
/// Half-Hann slopes. Below 2/T the response shows the window as much as the room: <see cref="TrustedFromHz"/>.
/// Source: own choice of slopes; the 1/T resolution is the width of a rectangle's transform (common practice).
/// </remarks>
public readonly record struct ImpulseWindow(double LeftSeconds, double RightSeconds)
{
    internal const double FallingPart = 0.25;

    /// <summary>1/T: the resolution limit, in hertz.</summary>
    public double ResolutionHz => 1 / RightSeconds;

    /// <summary>2/T: from here on the window no longer decides, in hertz.</summary>
    public double TrustedFromHz => 2 / RightSeconds;

    /// <summary>Cuts the response to the window round <paramref name="arrivalSeconds"/>.</summary>
    /// <param name="response">The response to cut; it is not changed.</param>
    /// <param name="arrivalSeconds">Arrival on the response's own time axis, in seconds.</param>
    /// <returns>A new response of the window's length whose time axis is the same as before; what lies outside the record counts as zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is not above zero.</exception>
    public ImpulseResponse Cut(ImpulseResponse response, double arrivalSeconds)
    {
        ArgumentNullException.ThrowIfNull(response);
        var slopes = Samples(response.SampleRateHz, out var left);
        var first = (int)Math.Round(response.TimeZeroSamples + arrivalSeconds * response.SampleRateHz) - left;
        var cut = new double[slopes.Length];
        for (var n = 0; n < cut.Length; n++)
            if (first + n >= 0 && first + n < response.Length)
                cut[n] = response.Samples[first + n] * slopes[n];
        return response.With(cut, response.TimeZeroSamples - first, FormattableString.Invariant($"{response.Method}, window −{LeftSeconds * 1000:0.#} … +{RightSeconds * 1000:0.#} ms"));
    }

    /// <summary>Σ w²: how many samples' worth of noise power the window lets through.</summary>
    internal double EnergySamples(int sampleRateHz)
    {
        var sum = 0.0;
        foreach (var weight in Samples(sampleRateHz, out _)) sum += weight * weight;
        return sum;
    }

    /// <summary>|Σ w[n] · e^{−jωn}|² from 0 Hz upwards, four times finer than the window resolves.</summary>
    internal double[] PowerSpectrum(int sampleRateHz, out double binWidthHz)
    {
        var samples = Samples(sampleRateHz, out _);
        var length = StimulusSpectrum.EvenLength(4 * samples.Length);
        binWidthHz = (double)sampleRateHz / length;
        return StimulusSpectrum.Powers(FourierTransform.OfReal(samples, length));
    }

    internal double[] Samples(int sampleRateHz, out int left)
    {
        if (!(LeftSeconds > 0 && double.IsFinite(LeftSeconds)))
            throw new ArgumentOutOfRangeException(nameof(LeftSeconds), LeftSeconds, "Must be in (0, ∞) s.");
        if (!(RightSeconds > 0 && double.IsFinite(RightSeconds)))
            throw new ArgumentOutOfRangeException(nameof(RightSeconds), RightSeconds, "Must be in (0, ∞) s.");
        left = Math.Max(1, (int)Math.Round(LeftSeconds * sampleRateHz));
        var right = Math.Max(1, (int)Math.Round(RightSeconds * sampleRateHz));
        var fall = Math.Max(1, (int)(right * FallingPart));
        var weights = new double[left + right];
        Window.RisingHalfHann(left).CopyTo(weights, 0);
        weights.AsSpan(left, right - fall).Fill(1);
        Window.FallingHalfHann(fall).CopyTo(weights, left + right - fall);
        return weights;
    }
}
