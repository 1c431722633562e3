// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The transfer function through a window that has another length at every frequency: Σ w_f[n] · h[n] · e^(−jω(n − time zero)/rate), summed anew for each.</summary>
/// <remarks>
/// Nothing is interpolated between frequencies. Before the arrival the window holds 2.5 periods, so that the ringing of a band limit is kept wherever two are asked for; after it the
/// length of the table, and it falls over the last quarter like every window here. Source: see <see cref="WindowLengths"/>; the slopes are an own choice.
/// </remarks>
internal static class VariableWindow
{
    private const double PeriodsBefore = 2.5;

    /// <summary>The window at one frequency.</summary>
    internal static ImpulseWindow At(WindowLengths lengths, double frequencyHz) => new(PeriodsBefore / frequencyHz, lengths.SecondsAt(frequencyHz));

    /// <summary>Values at each grid frequency, and mean powers: over a cell that is wider than two resolution widths several values, else the one.</summary>
    internal static GridSpectrum Of(ImpulseResponse uncut, double arrivalSeconds, WindowLengths lengths, LogGrid grid)
    {
        var (values, cells) = (new Complex[grid.Count], new double[grid.Count]);
        for (var k = 0; k < values.Length; k++)
        {
            var window = At(lengths, grid[k]);
            var cut = window.Cut(uncut, arrivalSeconds);
            var frequencies = Looks(grid, k, window);
            var seen = DiscreteTimeTransform.At(cut.Samples, cut.TimeZeroSamples, cut.SampleRateHz, frequencies);
            values[k] = seen[0];
            foreach (var value in seen.AsSpan(frequencies.Length > 1 ? 1 : 0)) cells[k] += (value.Real * value.Real + value.Imaginary * value.Imaginary) / Math.Max(1, frequencies.Length - 1);
        }
        return new(values, cells, ThirdOctaves(cells, grid.PointsPerOctave));
    }

    /// <summary>The frequency itself, and where the cell holds more than one independent value, one look per resolution width inside it.</summary>
    private static double[] Looks(LogGrid grid, int k, ImpulseWindow window)
    {
        if (Resolution.IsSingleValue(grid, k, window.ResolutionHz)) return [grid[k]];
        var (fromHz, toHz) = (grid[k] * Math.Pow(2, -0.5 / grid.PointsPerOctave), grid[k] * Math.Pow(2, 0.5 / grid.PointsPerOctave));
        var looks = (int)Math.Ceiling((toHz - fromHz) / window.ResolutionHz);
        return [grid[k], .. Enumerable.Range(0, looks).Select(look => fromHz + (look + 0.5) * (toHz - fromHz) / looks)];
    }

    /// <summary>Mean of the cells within a third of an octave, each weighted with its width.</summary>
    private static double[] ThirdOctaves(double[] cells, int pointsPerOctave)
    {
        var (means, reach) = (new double[cells.Length], pointsPerOctave / 6);
        for (var k = 0; k < means.Length; k++)
        {
            var (sum, weights) = (0.0, 0.0);
            for (var n = Math.Max(0, k - reach); n <= Math.Min(cells.Length - 1, k + reach); n++)
            {
                var width = Math.Pow(2, (double)(n - k) / pointsPerOctave);
                (sum, weights) = (sum + width * cells[n], weights + width);
            }
            means[k] = sum / weights;
        }
        return means;
    }
}
