// SPDX-License-Identifier: MIT
namespace Sweepbook.Seats;

/// <summary>
/// What can be said where a seat dips into the noise. Its true level is anywhere at or below the reading, so the numbers here are the smallest
/// that any such levels give: true lower bounds, also where the noisy seat reads louder than the others.
/// </summary>
internal static class CensoredSeats
{
    /// <summary>The smallest Σ w (x − m)² with Σ w = 1, where each x is its reading, or any value up to it where that reading is censored.</summary>
    /// <remarks>
    /// A convex function over a box: at its smallest a censored level is its reading where that lies below the mean m, and m itself elsewhere. Starting from
    /// the mean of the readings, m falls from step to step until no further reading lies above it.
    /// </remarks>
    internal static double LeastVarianceDb2(ReadOnlySpan<double> levelsDb, ReadOnlySpan<bool> censored, ReadOnlySpan<double> weights)
    {
        var (mean, total) = (double.PositiveInfinity, 0.0);
        foreach (var weight in weights) total += weight;
        while (true)
        {
            var (sum, share) = (0.0, 0.0);
            for (var n = 0; n < levelsDb.Length; n++)
            {
                if (censored[n] && levelsDb[n] >= mean) continue;
                (sum, share) = (sum + weights[n] * levelsDb[n], share + weights[n]);
            }
            if (share == 0) return 0;   // every level may be the same
            if (!(sum / share < mean)) break;   // written so that NaN ends it too
            mean = sum / share;
        }
        var squares = 0.0;
        for (var n = 0; n < levelsDb.Length; n++)
            if (!censored[n] || levelsDb[n] < mean) squares += weights[n] * (levelsDb[n] - mean) * (levelsDb[n] - mean);
        return squares / total;
    }

    /// <summary>The smallest highest-less-lowest: a censored level lies as near to the others as its reading lets it.</summary>
    internal static double LeastRangeDb(ReadOnlySpan<double> levelsDb, ReadOnlySpan<bool> censored)
    {
        var (lowest, highest) = (double.PositiveInfinity, double.NegativeInfinity);
        for (var n = 0; n < levelsDb.Length; n++)
        {
            lowest = Math.Min(lowest, levelsDb[n]);
            if (!censored[n]) highest = Math.Max(highest, levelsDb[n]);
        }
        return Math.Max(0, highest - lowest);
    }
}
