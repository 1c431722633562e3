// SPDX-License-Identifier: MIT
namespace Sweepbook.Files;

/// <summary>Samples of one or several channels as they stand in a file: one rate, one length, full scale ±1.</summary>
/// <remarks>
/// Nothing is ever normalised, resampled, padded or dropped: in a measurement, the level is the data. Values beyond ±1 are possible in float files.
/// Misleads where full scale is taken for a sound pressure: that needs a level calibration. Own convention; it needs no source.
/// </remarks>
public sealed class Recording
{
    /// <summary>The largest number of channels handled.</summary>
    internal const int MostChannels = 32;

    /// <summary>The highest sample rate that is not taken for a damaged header.</summary>
    internal const int HighestRateHz = 10_000_000;

    private readonly double[][] _channels;

    /// <summary>A recording from its channels.</summary>
    /// <param name="sampleRateHz">Samples per second, in [1, 10 000 000].</param>
    /// <param name="channels">1 to 32 channels of one length above zero, linear, full scale ±1, finite. Copied.</param>
    /// <exception cref="ArgumentException">No or too many channels, unequal or zero lengths, or a value that is not finite.</exception>
    public Recording(int sampleRateHz, IReadOnlyList<double[]> channels)
    {
        ArgumentNullException.ThrowIfNull(channels);
        if (sampleRateHz is < 1 or > HighestRateHz)
            throw new ArgumentOutOfRangeException(nameof(sampleRateHz), sampleRateHz, $"Must be in [1, {HighestRateHz}] Hz.");
        if (channels.Count is < 1 or > MostChannels)
            throw new ArgumentException($"Got {channels.Count} channels; must be in [1, {MostChannels}].", nameof(channels));
        for (var c = 0; c < channels.Count; c++)
        {
            if (channels[c] is null || channels[c].Length == 0)
                throw new ArgumentException($"Channel {c + 1} holds no samples; at least one is needed.", nameof(channels));
            if (channels[c].Length != channels[0].Length)
                throw new ArgumentException(
                    $"Channel {c + 1} has {channels[c].Length} samples and channel 1 has {channels[0].Length}; the numbers must be equal.", nameof(channels));
            for (var n = 0; n < channels[c].Length; n++)
                if (!double.IsFinite(channels[c][n]))
                    throw new ArgumentException($"Channel {c + 1}, sample {n} is {channels[c][n]}; must be finite.", nameof(channels));
        }
        (SampleRateHz, _channels) = (sampleRateHz, [.. channels.Select(channel => (double[])channel.Clone())]);
    }

    private Recording(double[][] owned, int sampleRateHz) => (SampleRateHz, _channels) = (sampleRateHz, owned);

    /// <summary>Samples per second.</summary>
    public int SampleRateHz { get; }

    /// <summary>Number of channels, at least 1.</summary>
    public int ChannelCount => _channels.Length;

    /// <summary>Samples per channel (frames), at least 1.</summary>
    public int Length => _channels[0].Length;

    /// <summary>Length over sample rate.</summary>
    public double DurationSeconds => (double)Length / SampleRateHz;

    /// <summary>The samples of one channel, linear, full scale ±1.</summary>
    /// <param name="number">Channel counted from 1, in [1, <see cref="ChannelCount"/>].</param>
    /// <returns>A copy that the caller owns.</returns>
    /// <exception cref="ArgumentOutOfRangeException">There is no such channel.</exception>
    public double[] Channel(int number) => ChannelSpan(number).ToArray();

    /// <summary>The samples of one channel without a copy.</summary>
    /// <param name="number">Channel counted from 1.</param>
    internal ReadOnlySpan<double> ChannelSpan(int number) => number >= 1 && number <= ChannelCount
        ? _channels[number - 1]
        : throw new ArgumentOutOfRangeException(nameof(number), number, $"Must be in [1, {ChannelCount}].");

    /// <summary>A recording over arrays that nobody else keeps and that were checked while they were filled.</summary>
    internal static Recording Owning(int sampleRateHz, double[][] channels) => new(channels, sampleRateHz);
}
