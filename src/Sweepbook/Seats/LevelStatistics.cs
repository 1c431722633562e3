// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using Sweepbook.Quantities;

namespace Sweepbook.Seats;

/// <summary>Means, variance and extremes over seats for many frequencies in one pass; knows neither trust nor names.</summary>
/// <remarks>
/// Frequencies are taken in blocks that stay in a near cache, and the variance is that of deviations from the mean, never a difference of two sums.
/// Weights are scaled to add up to one; the variance is divided by that sum. A power of zero at a seat makes the level mean −∞ and the variance NaN.
/// </remarks>
internal sealed class LevelStatistics
{
    private const int BlockLength = 2048;   // long enough for the memory to be read ahead, short enough for the levels of all seats to stay in the second-level cache

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
            Block(levels, shares, LevelMeanDb.AsSpan(first, length), VarianceDb2.AsSpan(first, length), LowestDb.AsSpan(first, length), HighestDb.AsSpan(first, length));
        }
    }

    /// <summary>Σ w · H over the seats with Σ w = 1: the sum keeps the phases.</summary>
    internal static void ComplexMean(Complex[][] values, ReadOnlySpan<double> weights, Span<Complex> mean)
    {
        var sum = MemoryMarshal.Cast<Complex, double>(mean);
        var shares = Shares(weights);
        for (var first = 0; first < sum.Length; first += BlockLength)
        {
            var length = Math.Min(BlockLength, sum.Length - first);
            sum.Slice(first, length).Clear();
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

    /// <summary>One block. What is left of it behind the last whole vector is computed with eight, and the surplus not used.</summary>
    private static void Block(double[] levels, double[] shares, Span<double> mean, Span<double> variance, Span<double> lowest, Span<double> highest)
    {
        var (whole, rest) = Math.DivRem(mean.Length, Vector512<double>.Count);
        Rows(levels, shares, 0, MemoryMarshal.Cast<double, Vector512<double>>(mean), MemoryMarshal.Cast<double, Vector512<double>>(variance),
            MemoryMarshal.Cast<double, Vector512<double>>(lowest), MemoryMarshal.Cast<double, Vector512<double>>(highest));
        if (rest == 0) return;
        Span<Vector512<double>> last = stackalloc Vector512<double>[4];
        Rows(levels, shares, whole, last[..1], last[1..2], last[2..3], last[3..]);
        var numbers = MemoryMarshal.Cast<Vector512<double>, double>(last);
        numbers[..rest].CopyTo(mean[^rest..]);
        numbers.Slice(8, rest).CopyTo(variance[^rest..]);
        numbers.Slice(16, rest).CopyTo(lowest[^rest..]);
        numbers.Slice(24, rest).CopyTo(highest[^rest..]);
    }

    private static void Rows(double[] levels, double[] shares, int first, Span<Vector512<double>> mean, Span<Vector512<double>> variance, Span<Vector512<double>> lowest, Span<Vector512<double>> highest)
    {
        const int Row = BlockLength / 8;
        var level = MemoryMarshal.Cast<double, Vector512<double>>(levels);
        for (var k = 0; k < mean.Length; k++)
        {
            var low = level[first + k];
            var high = low;
            var sum = Vector512<double>.Zero;
            for (int seat = 0, at = first + k; seat < shares.Length; seat++, at += Row)
            {
                low = Vector512.MinNative(low, level[at]);
                high = Vector512.MaxNative(high, level[at]);
                sum += level[at] * shares[seat];
            }
            var squares = Vector512<double>.Zero;
            for (int seat = 0, at = first + k; seat < shares.Length; seat++, at += Row)
            {
                var deviation = level[at] - sum;
                squares += deviation * deviation * shares[seat];
            }
            (mean[k], variance[k], lowest[k], highest[k]) = (sum, squares, low, high);
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
