// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Impulses;

/// <summary>A deconvolved take, or a recorded impulse response: samples that know their rate, their time zero and how both came about.</summary>
/// <remarks>
/// Value: output over input, linear, so that the sum over n of h[n] · e^{−jω(n − time zero)/rate} is the transfer function.
/// Misleads when two responses of different time groups are compared in time: their zeros are unrelated, see <see cref="TimeGroup"/>.
/// </remarks>
public sealed partial class ImpulseResponse
{
    private readonly double[] _samples;

    /// <summary>An impulse response from samples; they are copied.</summary>
    /// <param name="samples">Linear, one per sample period.</param>
    /// <param name="sampleRateHz">Sample rate in hertz, 1 or more.</param>
    /// <param name="timeZeroSamples">Index, possibly fractional or outside the record, of the moment the stimulus left.</param>
    /// <param name="timeZero">How that moment is known.</param>
    /// <param name="timeGroup">Group whose members share the time zero.</param>
    /// <param name="method">How the samples were obtained, in a few words.</param>
    /// <exception cref="ArgumentOutOfRangeException">The rate is below 1 Hz or the time zero is not finite.</exception>
    public ImpulseResponse(ReadOnlySpan<double> samples, int sampleRateHz, double timeZeroSamples, TimeZero timeZero, TimeGroup timeGroup, string method)
        : this(samples.ToArray(), sampleRateHz, timeZeroSamples, timeZero, timeGroup, method)
    {
    }

    private ImpulseResponse(double[] samples, int sampleRateHz, double timeZeroSamples, TimeZero timeZero, TimeGroup timeGroup, string method)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(sampleRateHz, 1);
        if (!double.IsFinite(timeZeroSamples))
            throw new ArgumentOutOfRangeException(nameof(timeZeroSamples), timeZeroSamples, "Must be finite.");
        (_samples, SampleRateHz, TimeZeroSamples, TimeZero, TimeGroup, Method) = (samples, sampleRateHz, timeZeroSamples, timeZero, timeGroup, method);
    }

    /// <summary>Number of samples.</summary>
    public int Length => _samples.Length;

    /// <summary>Sample rate in hertz.</summary>
    public int SampleRateHz { get; }

    /// <summary>Index of the moment the stimulus left; it may be fractional or lie outside the record.</summary>
    public double TimeZeroSamples { get; }

    /// <summary>How the time zero is known.</summary>
    public TimeZero TimeZero { get; }

    /// <summary>Group whose members share the time zero.</summary>
    public TimeGroup TimeGroup { get; }

    /// <summary>How the samples were obtained.</summary>
    public string Method { get; }

    /// <summary>Sample <paramref name="n"/>, linear.</summary>
    public double this[int n] => _samples[n];

    /// <summary>Time of sample <paramref name="n"/> after the time zero, in seconds.</summary>
    public double SecondsAt(int n) => (n - TimeZeroSamples) / SampleRateHz;

    /// <summary>All samples, a copy the caller owns.</summary>
    public double[] ToArray() => [.. _samples];

    /// <summary>The part between two moments, on the same time axis; what lies outside the record is left out.</summary>
    /// <param name="fromSeconds">First moment after the time zero, in seconds.</param>
    /// <param name="toSeconds">Last moment after the time zero, in seconds.</param>
    /// <returns>A new, possibly empty response.</returns>
    /// <exception cref="ArgumentOutOfRangeException">A moment is NaN.</exception>
    public ImpulseResponse Between(double fromSeconds, double toSeconds)
    {
        if (double.IsNaN(fromSeconds)) throw new ArgumentOutOfRangeException(nameof(fromSeconds), fromSeconds, "Must be a moment in seconds.");
        if (double.IsNaN(toSeconds)) throw new ArgumentOutOfRangeException(nameof(toSeconds), toSeconds, "Must be a moment in seconds.");
        var first = (int)Math.Clamp(Math.Round(TimeZeroSamples + fromSeconds * SampleRateHz), 0, Length);
        var end = (int)Math.Clamp(Math.Round(TimeZeroSamples + toSeconds * SampleRateHz), first, Length);
        return With(_samples[first..end], TimeZeroSamples - first, Method);
    }

    internal ReadOnlySpan<double> Samples => _samples;

    /// <summary>The same response with other samples, taken over and not copied.</summary>
    internal ImpulseResponse With(double[] samples, double timeZeroSamples, string method) =>
        new(samples, SampleRateHz, timeZeroSamples, TimeZero, TimeGroup, method);

    /// <summary>The same samples on another time axis, not copied.</summary>
    internal ImpulseResponse On(double timeZeroSamples, TimeZero timeZero, TimeGroup timeGroup, string method) =>
        new(_samples, SampleRateHz, timeZeroSamples, timeZero, timeGroup, method);

    /// <summary>A response that takes over <paramref name="samples"/> without a copy.</summary>
    internal static ImpulseResponse Owning(double[] samples, int sampleRateHz, double timeZeroSamples, TimeZero timeZero, TimeGroup timeGroup, string method) =>
        new(samples, sampleRateHz, timeZeroSamples, timeZero, timeGroup, method);
}
