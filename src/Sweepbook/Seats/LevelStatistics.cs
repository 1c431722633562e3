// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Sweepbook.Quantities;

namespace Sweepbook.Seats;

/// <summary>Means, variance and extremes over seats for many frequencies in one pass; knows neither trust nor names.</summary>
/// <remarks>
/// Frequencies are taken in blocks that stay in the nearest cache, and the variance is that of deviations from the mean, never a difference of two sums.
/// Weights are scaled to add up to one; the variance is divided by that sum. A power of zero at a seat makes the level mean −∞ and the variance NaN.
/// </remarks>
internal sealed class LevelStatistics
{
    private const int BlockLength = 256;

    internal LevelStatistics(int count) =>
        (PowerMeanDb, LevelMeanDb, VarianceDb2, LowestDb, HighestDb) = (new double[count], new double[count], new double[count], new double[count], new double[count]);

    internal double[] PowerMeanDb { get; }

    internal double[] LevelMeanDb { get; }

    internal double[] VarianceDb2 { get; }

    internal double[] LowestDb { get; }

    internal double[] HighestDb { get; }

    /// <summary>Statistics of powers, one array per seat, all of one length; the weights are not negative and not all zero.</summary>
    internal static LevelStatistics Of(double[][] powers, ReadOnlySpan<double> weights)
    {
        var statistics = new LevelStatistics(powers[0].Length);
        statistics.Fill(powers, weights);
        return statistics;
    }

    /// <summary>Puts the statistics of powers in the place of those before; for many sets of one length in turn.</summary>
    internal void Fill(double[][] powers, ReadOnlySpan<double> weights)
    {
        var shares = Shares(weights);
        var levels = new double[powers.Length * BlockLength];
        var results = new double[4 * BlockLength];   // mean, variance, lowest, highest
        for (var first = 0; first < PowerMeanDb.Length; first += BlockLength)
        {
            var length = Math.Min(BlockLength, PowerMeanDb.Length - first);
            var power = PowerMeanDb.AsSpan(first, length);
            power.Clear();
            for (var seat = 0; seat < powers.Length; seat++)
            {
                AddWeighted(powers[seat].AsSpan(first, length), shares[seat], power);
                Decibels.FromPowers(powers[seat].AsSpan(first, length), levels.AsSpan(seat * BlockLength, length));
            }
            Decibels.FromPowers(power, power);
            Block(levels, shares, results);
            results.AsSpan(0, length).CopyTo(LevelMeanDb.AsSpan(first));
            results.AsSpan(BlockLength, length).CopyTo(VarianceDb2.AsSpan(first));
            results.AsSpan(2 * BlockLength, length).CopyTo(LowestDb.AsSpan(first));
            results.AsSpan(3 * BlockLength, length).CopyTo(HighestDb.AsSpan(first));
        }
    }

    /// <summary>Σ w · H over the seats with Σ w = 1: the sum keeps the phases.</summary>
    internal static void ComplexMean(Complex[][] values, ReadOnlySpan<double> weights, Span<Complex> mean)
    {
        var sum = MemoryMarshal.Cast<Complex, double>(mean);
        var shares = Shares(weights);
        sum.Clear();
        for (var first = 0; first < sum.Length; first += BlockLength)
        {
            var length = Math.Min(BlockLength, sum.Length - first);
            for (var seat = 0; seat < values.Length; seat++)
                AddWeighted(MemoryMarshal.Cast<Complex, double>(values[seat].AsSpan()).Slice(first, length), shares[seat], sum.Slice(first, length));
        }
    }

    /// <summary>Square roots of variances: standard deviations, eight at a time.</summary>
    internal static void Spread(ReadOnlySpan<double> varianceDb2, Span<double> spreadDb)
    {
        var from = MemoryMarshal.Cast<double, Vector512<double>>(varianceDb2);
        var to = MemoryMarshal.Cast<double, Vector512<double>>(spreadDb);
        for (var k = 0; k < from.Length; k++) to[k] = Vector512.Sqrt(from[k]);
        for (var k = from.Length * Vector512<double>.Count; k < varianceDb2.Length; k++) spreadDb[k] = Math.Sqrt(varianceDb2[k]);
    }

    private static double[] Shares(ReadOnlySpan<double> weights)
    {
        var sum = 0.0;
        foreach (var weight in weights) sum += weight;
        var shares = weights.ToArray();
        for (var n = 0; n < shares.Length; n++) shares[n] /= sum;
        return shares;
    }

    /// <summary>One block, whole vectors only: what lies behind a shorter last block is computed too, and not used.</summary>
    private static void Block(double[] levels, double[] shares, double[] results)
    {
        const int Row = BlockLength / 8;
        var level = MemoryMarshal.Cast<double, Vector512<double>>(levels);
        var result = MemoryMarshal.Cast<double, Vector512<double>>(results.AsSpan());
        for (var k = 0; k < Row; k++)
        {
            var low = level[k];
            var high = low;
            var mean = Vector512<double>.Zero;
            for (int seat = 0, at = k; seat < shares.Length; seat++, at += Row)
            {
                low = Vector512.MinNative(low, level[at]);
                high = Vector512.MaxNative(high, level[at]);
                mean += level[at] * shares[seat];
            }
            var squares = Vector512<double>.Zero;
            for (int seat = 0, at = k; seat < shares.Length; seat++, at += Row)
            {
                var deviation = level[at] - mean;
                squares += deviation * deviation * shares[seat];
            }
            result[k] = mean;
            result[Row + k] = squares;
            result[2 * Row + k] = low;
            result[3 * Row + k] = high;
        }
    }

    private static void AddWeighted(ReadOnlySpan<double> values, double weight, Span<double> sum)
    {
        var from = MemoryMarshal.Cast<double, Vector512<double>>(values);
        var to = MemoryMarshal.Cast<double, Vector512<double>>(sum);
        for (var k = 0; k < to.Length; k++) to[k] += from[k] * weight;
        for (var k = to.Length * Vector512<double>.Count; k < sum.Length; k++) sum[k] += values[k] * weight;
    }
}
