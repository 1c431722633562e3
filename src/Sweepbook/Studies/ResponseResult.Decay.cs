// SPDX-License-Identifier: MIT
using Sweepbook.Decay;

namespace Sweepbook.Studies;

public sealed partial class ResponseResult
{
    private const double LowestHz = 10, HighestHz = 500;   // own choice: the bass, and the first octaves in which rooms still ring at single frequencies
    private const double LeastOctaves = 0.5;
    private const double LongestWindowSeconds = 0.5, ShortestWindowSeconds = 0.1, LongestSeconds = 1;
    private const double WindowPart = 0.45;   // of the record from its largest sample on, so that a whole window lies in its second half: there the noise is measured
    private IReadOnlyList<SlowPeak>? _slowPeaks;

    /// <summary>Up to here, in hertz, <see cref="SlowPeaks"/> are listed.</summary>
    public const double SlowPeaksUpToHz = DecayFindings.BassToHz;

    /// <summary>How its bass dies away: the cumulative decay of the uncut response, from 10 to 500 Hz as far as its level is trusted.</summary>
    /// <returns>
    /// A map of 200 slices over 1 s through a window of 0.5 s, both shorter where the recording ended early, computed anew each time; null where less than half an octave is
    /// trusted there, or where the window would be shorter than 0.1 s.
    /// </returns>
    /// <remarks>
    /// Levels are those of the response as recorded: the microphone's own deviation, a decibel or so in the bass, is not taken off, and no decay depends on it.
    /// For what misleads see <see cref="DecayMap.Cumulative"/>, which is its source.
    /// </remarks>
    public DecayMap? BassDecay()
    {
        var (fromHz, toHz) = (Math.Max(LevelBand.FromHz, LowestHz), Math.Min(LevelBand.ToHz, HighestHz));
        var recorded = RecordedSeconds();
        var window = Math.Min(LongestWindowSeconds, WindowPart * recorded);
        if (LevelBand.IsEmpty || toHz < fromHz * Math.Pow(2, LeastOctaves) || window < ShortestWindowSeconds) return null;
        return DecayMap.Cumulative(UncutImpulseResponse, fromHz, toHz, window, Math.Min(LongestSeconds, recorded - window));
    }

    /// <summary>The resonances of <see cref="BassDecay"/> up to 200 Hz, the surely slowest first; none where nothing is trusted there or nothing stands out of the noise.</summary>
    /// <remarks>
    /// Computed once. Above 200 Hz the modes of a room of a home lie closer together than the window resolves (its Schroeder frequency is about there), so
    /// that peaks of the map are sums of many and no resonances: the map shows them, this list leaves them out. Source: <see cref="DecayMap.SlowPeaks"/>; the limit is an own choice.
    /// </remarks>
    public IReadOnlyList<SlowPeak> SlowPeaks => LazyInitializer.EnsureInitialized(ref _slowPeaks, () => [.. BassDecay()?.SlowPeaks().Where(peak => peak.FrequencyHz <= SlowPeaksUpToHz) ?? []]);

    /// <summary>What was recorded from the largest sample on.</summary>
    private double RecordedSeconds()
    {
        var (largest, at) = (0.0, UncutImpulseResponse.Length);
        for (var n = 0; n < UncutImpulseResponse.Length; n++)
            if (Math.Abs(UncutImpulseResponse[n]) > largest) (largest, at) = (Math.Abs(UncutImpulseResponse[n]), n);
        return (UncutImpulseResponse.Length - at) / (double)UncutImpulseResponse.SampleRateHz;
    }
}
