// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>A straight line through the falling levels of one frequency of a map.</summary>
/// <param name="DecaySeconds">Time for 60 dB.</param>
/// <param name="SdSeconds">Its standard deviation.</param>
/// <param name="RangeDb">Decibels between the ends of the line.</param>
internal readonly record struct MapLine(double DecaySeconds, double SdSeconds, double RangeDb)
{
    internal const int LeastSlices = 5;
    internal const double UpperDb = 5, LowerDb = 35;   // the range of a T30
    internal const double AboveNoiseDb = 10;           // fact sheet 4.4: the line ends at least 10 dB above the noise
    internal const double LeastRangeDb = 10;
    private const double NeperDb = 8.685889638065035;  // 20 / ln 10

    /// <summary>Fits the levels from 5 dB below their highest down to 35 dB below it, or to 10 dB above the noise.</summary>
    /// <param name="levelsDb">A level per slice.</param>
    /// <param name="seconds">The slices' moments.</param>
    /// <param name="noiseDb">Level of the noise; −∞ where there is none.</param>
    /// <param name="windowSeconds">Slices nearer than half of this are no independent evidence.</param>
    /// <returns>The line, or null where the levels do not fall far enough, in too few slices, or rise.</returns>
    public static MapLine? Through(ReadOnlySpan<double> levelsDb, ReadOnlySpan<double> seconds, double noiseDb, double windowSeconds)
    {
        var highest = 0;
        for (var i = 1; i < levelsDb.Length; i++)
            if (levelsDb[i] > levelsDb[highest]) highest = i;
        var bottom = Math.Max(levelsDb[highest] - LowerDb, noiseDb + AboveNoiseDb);
        var first = highest;
        while (first < levelsDb.Length && levelsDb[first] > levelsDb[highest] - UpperDb) first++;
        var end = first;
        while (end < levelsDb.Length && levelsDb[end] >= bottom) end++;
        if (end - first < LeastSlices) return null;
        return Fit(levelsDb[first..end], seconds[first..end], noiseDb, windowSeconds) is { RangeDb: >= LeastRangeDb } line ? line : null;
    }

    private static MapLine? Fit(ReadOnlySpan<double> levelsDb, ReadOnlySpan<double> seconds, double noiseDb, double windowSeconds)
    {
        var (meanTime, meanLevel) = (0.0, 0.0);
        for (var i = 0; i < seconds.Length; i++) (meanTime, meanLevel) = (meanTime + seconds[i] / seconds.Length, meanLevel + levelsDb[i] / seconds.Length);
        var (spread, product) = (0.0, 0.0);
        for (var i = 0; i < seconds.Length; i++)
        {
            spread += (seconds[i] - meanTime) * (seconds[i] - meanTime);
            product += (seconds[i] - meanTime) * (levelsDb[i] - meanLevel);
        }
        var slope = product / spread;
        if (!(slope < 0)) return null;
        var (residual, noise) = (0.0, 0.0);
        for (var i = 0; i < seconds.Length; i++)
        {
            var off = levelsDb[i] - meanLevel - slope * (seconds[i] - meanTime);
            residual += off * off / seconds.Length;
            noise += Decibels.ToPowerRatio(noiseDb - levelsDb[i]) / seconds.Length;
        }
        // noise at a power ratio r to a steady signal moves its level by 20/ln 10 · √(r/2) dB, one standard deviation, for small r
        var perLevel = Math.Sqrt(residual + NeperDb * NeperDb * noise / 2);
        var span = seconds[^1] - seconds[0];
        var independent = Math.Min(seconds.Length, 1 + 2 * span / windowSeconds);
        var slopeSd = perLevel / Math.Sqrt(spread / seconds.Length * independent);
        return new(-60 / slope, 60 / (slope * slope) * slopeSd, -slope * span);
    }
}
