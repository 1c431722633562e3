// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;

namespace Sweepbook.Stimuli;

/// <summary>Which channel of a stimulus' WAV file holds what.</summary>
/// <param name="Count">Number of channels.</param>
/// <param name="Sweep">Channels with the sweep, counted from 1, rising.</param>
/// <param name="Marker">The channel with the marker, or 0.</param>
internal sealed record StimulusChannels(int Count, IReadOnlyList<int> Sweep, int Marker)
{
    /// <summary>The outputs of a stimulus with a marker where none are named.</summary>
    internal static readonly IReadOnlyDictionary<string, int> UsualOutputs = new Dictionary<string, int> { [UsualSweepOutput] = 1, [UsualMarkerOutput] = 2 };

    internal const string UsualSweepOutput = "sweep", UsualMarkerOutput = "marker", UsualLoopbackOutput = "loopback";

    /// <summary>Channel of the low-frequency effects in files of six or eight channels.</summary>
    /// <remarks>
    /// The order front left, front right, front centre, low frequency, … is that of the channel mask's bits in Microsoft, "Multiple Channel Audio
    /// Data and WAVE Files" (2007); a file without a mask, as written here, is usually played in it.
    /// </remarks>
    private const int LowFrequencyChannel = 4;

    /// <summary>The channels that a description asks for.</summary>
    internal static StimulusChannels Of(StimulusDescription description, StimulusLayout layout)
    {
        if (description.Marker is null && (layout == StimulusLayout.Shortest || description.DeviceOutputs.Count == 0)) return new(1, [1], 0);
        var outputs = description.DeviceOutputs;
        var marker = description.MarkerOutput is { } name && description.Marker is not null ? outputs[name] : 0;
        return new(outputs.Values.Max(), [.. outputs.Values.Where(channel => channel != marker).Order()], marker);
    }

    /// <summary>The channels from what a stimulus holds; channels that nobody named are silent.</summary>
    internal double[][] Fill(double[] sweep, double[] marker)
    {
        var silent = Sweep.Count + (Marker > 0 ? 1 : 0) == Count ? [] : new double[sweep.Length];
        var channels = new double[Count][];
        for (var c = 1; c <= Count; c++) channels[c - 1] = c == Marker ? marker : Sweep.Contains(c) ? sweep : silent;
        return channels;
    }

    /// <summary>What is wrong with a file that should have these channels, or null.</summary>
    internal string? Problem(Recording recording)
    {
        var first = recording.ChannelSpan(Sweep[0]);
        foreach (var channel in Sweep.Skip(1))
            if (!recording.ChannelSpan(channel).SequenceEqual(first)) return $"channels {Sweep[0]} and {channel} should both hold the sweep and differ";
        for (var c = 1; c <= Count; c++)
            if (c != Marker && !Sweep.Contains(c) && recording.ChannelSpan(c).ContainsAnyExcept(0.0)) return $"channel {c} belongs to no output of the description and is not silent";
        return null;
    }

    /// <summary>A sentence where the sweep lies on the channel that usually is played ten decibels louder, or null.</summary>
    internal string? LowFrequencyWarning => Count is 6 or 8 && Sweep.Contains(LowFrequencyChannel)
        ? string.Create(CultureInfo.InvariantCulture, $"The sweep lies on channel {LowFrequencyChannel} of {Count}, usually that of the low-frequency effects: a home-theatre processor plays it 10 dB louder than the others. Lower the level by 10 dB, or use another output.")
        : null;
}
