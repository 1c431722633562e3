// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Filters;

/// <summary>What one band lets through of a signal.</summary>
public sealed class BandSignal
{
    private readonly double[] _samples;

    /// <summary>Takes the samples over; only this folder makes one.</summary>
    internal BandSignal(BandFilter filter, double[] samples) => (Filter, _samples) = (filter, samples);

    /// <summary>The filter that made it.</summary>
    public BandFilter Filter { get; }

    /// <summary>The band.</summary>
    public FrequencyBand Band => Filter.Band;

    /// <summary>Samples per second of this signal, in hertz; with <see cref="BandFilter.AtOwnRate"/> a fraction of that of the whole signal.</summary>
    public double SampleRateHz => Filter.OutputRateHz;

    /// <summary>Number of samples; sample n is at n / <see cref="SampleRateHz"/>.</summary>
    public int Count => _samples.Length;

    /// <summary>Sample <paramref name="n"/>, in the unit of the signal.</summary>
    public double this[int n] => _samples[n];

    /// <summary>All samples, as a copy that the caller owns.</summary>
    public double[] ToArray() => [.. _samples];

    internal ReadOnlySpan<double> Samples => _samples;
}
