// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>A time window round the arrival: rising over its whole left part, flat, and falling over the last share of its right part, a quarter unless said otherwise.</summary>
/// <param name="LeftSeconds">Length before the arrival, in seconds; it holds the ringing of the band limit, so at least one period of the lowest frequency.</param>
/// <param name="RightSeconds">Length T after the arrival, in seconds; 1/T is the finest detail that survives.</param>
/// <remarks>
/// Half-Hann slopes. Below 2/T the response shows the window as much as the room: <see cref="TrustedFromHz"/>.
/// Source: own choice of slopes; the 1/T resolution is the width of a rectangle's transform (common practice).
/// </remarks>
public readonly record struct ImpulseWindow(double LeftSeconds, double RightSeconds)
{
    private const double UsualFallingRatio = 0.25;

    /// <summary>The share of the right part over which the window falls, no unit, in [0, 1]: 0 ends it with a hard edge, 1 lets it fall from the arrival on.</summary>
    /// <remarks>A hard edge leaks: where the response has not died away by then, its ripples spread 1/T and more to either side. It needs no source.</remarks>
    public double FallingRatio { get; init; } = UsualFallingRatio;

    /// <summary>A two-sided window: <c>ImpulseWindow.OfMilliseconds(leftMs: 50, rightMs: 300)</c>.</summary>
    /// <param name="leftMs">Length before the arrival in milliseconds, in (0, ∞).</param>
    /// <param name="rightMs">Length after the arrival in milliseconds, in (0, ∞).</param>
    /// <returns>The window.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is outside its interval.</exception>
    /// <remarks>Trusted from 2 / right part, and from two periods within the left part: 5 ms before the arrival are enough from 400 Hz on. Source: the class.</remarks>
    public static ImpulseWindow OfMilliseconds(double leftMs, double rightMs) => new(Seconds(leftMs, nameof(leftMs)), Seconds(rightMs, nameof(rightMs)));

    /// <summary>A one-sided window: nothing before the arrival but a short edge.</summary>
    /// <param name="lengthMs">Length after the arrival in milliseconds, in (0, ∞).</param>
    /// <param name="edgeMs">Length of the rising edge before it in milliseconds, in (0, ∞); it keeps the front of the pulse whole.</param>
    /// <returns>The window.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is outside its interval.</exception>
    /// <remarks>
    /// Cuts off the ringing that the band limit of a sweep leaves before the arrival. That ringing belongs to the response: a sweep whose band begins sharply at f₁ rings like
    /// −sin(2πf₁t) / (πt), and without its left half the value at f is off by ½ below f₁ and by ln((f + f₁) / (f − f₁)) / 2π above it, 1 % at 32 f₁ (derived). Results
    /// of a study are therefore trusted from two periods within the edge: 1 ms, 2 kHz.
    /// </remarks>
    public static ImpulseWindow AfterArrival(double lengthMs, double edgeMs = 1) => new(Seconds(edgeMs, nameof(edgeMs)), Seconds(lengthMs, nameof(lengthMs)));

    /// <summary>1/T: the resolution limit, in hertz.</summary>
    public double ResolutionHz => 1 / RightSeconds;

    /// <summary>2/T: from here on the window no longer decides, in hertz.</summary>
    public double TrustedFromHz => 2 / RightSeconds;

    /// <summary>Cuts the response to the window round <paramref name="arrivalSeconds"/>.</summary>
    /// <param name="response">The response to cut; it is not changed.</param>
    /// <param name="arrivalSeconds">Arrival on the response's own time axis, in seconds.</param>
    /// <returns>A new response of the window's length whose time axis is the same as before; what lies outside the record counts as zero.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A length is not above zero, or the falling share outside [0, 1].</exception>
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
        if (!(FallingRatio >= 0 && FallingRatio <= 1))
            throw new ArgumentOutOfRangeException(nameof(FallingRatio), FallingRatio, "Must be in [0, 1].");
        left = Math.Max(1, (int)Math.Round(LeftSeconds * sampleRateHz));
        var right = Math.Max(1, (int)Math.Round(RightSeconds * sampleRateHz));
        var fall = FallingSamples(right);
        var weights = new double[left + right];
        Window.RisingHalfHann(left).CopyTo(weights, 0);
        weights.AsSpan(left, right - fall).Fill(1);
        Window.FallingHalfHann(fall).CopyTo(weights, left + right - fall);
        return weights;
    }

    /// <summary>Length of the falling slope of a right part of so many samples.</summary>
    internal int FallingSamples(int right) => Math.Max(1, (int)(right * FallingRatio));

    private static double Seconds(double milliseconds, string name) => milliseconds > 0 && double.IsFinite(milliseconds)
        ? milliseconds / 1000
        : throw new ArgumentOutOfRangeException(name, milliseconds, "Must be in (0, ∞) ms.");
}
