// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>What the slices of a map would hold if only noise were there: their powers at the end of the record, where the sound is gone.</summary>
/// <remarks>
/// From the last tenth of what follows the start, or one window where that is longer (fact sheet 6.2 for the tenth); never from the first half, so a
/// record shorter than two windows has no noise to measure. Sound that still rings there counts as noise, which errs on the safe side.
/// </remarks>
internal static class MapNoise
{
    private const double LastPart = 0.1;
    private const double LargestPart = 0.5;
    private const int MomentsPerWindow = 4;       // Hann-like windows, three quarters over one another: closer ones tell nothing new
    private const double HalfWidthOctaves = 0.5;

    /// <summary>First moment, in samples after the start, and the step between moments whose whole windows lie in the quiet end; no moment where there is no such end.</summary>
    public static int[] Moments(MapSignal signal, MapWindow window)
    {
        var (length, available) = (window.Weights.Length, signal.Samples.Length - signal.Start);
        var part = Math.Max((int)(LastPart * available), length);
        if (part > LargestPart * available) return [];
        var step = Math.Max(1, length / MomentsPerWindow);
        var last = available - length + window.Moment;
        return [.. Enumerable.Range(0, 1 + (part - length) / step).Select(n => last - n * step)];
    }

    /// <summary>The mean power over some moments, frequency by frequency.</summary>
    public static double[] Mean(ReadOnlySpan<double> powers, int bins)
    {
        var mean = new double[bins];
        var moments = powers.Length / bins;
        for (var i = 0; i < moments; i++)
            for (var k = 0; k < bins; k++) mean[k] += powers[i * bins + k] / moments;
        return mean;
    }

    /// <summary>The mean over an octave, or the strongest within one resolution where that is more: a hum line keeps its own height.</summary>
    public static double[] Ceiling(double[] mean, ReadOnlySpan<double> frequenciesHz, Func<int, double> resolutionHz)
    {
        var ceiling = new double[mean.Length];
        var factor = Math.Pow(2, HalfWidthOctaves);
        for (var k = 0; k < mean.Length; k++)
        {
            var (sum, count, strongest, near) = (0.0, 0, 0.0, resolutionHz(k));
            for (var j = 0; j < mean.Length; j++)
            {
                var away = Math.Abs(frequenciesHz[j] - frequenciesHz[k]);
                if (away <= near) strongest = Math.Max(strongest, mean[j]);
                if (away > 3 * near && (frequenciesHz[j] > frequenciesHz[k] * factor || frequenciesHz[j] * factor < frequenciesHz[k])) continue;
                (sum, count) = (sum + mean[j], count + 1);
            }
            ceiling[k] = Math.Max(sum / count, strongest);
        }
        return ceiling;
    }
}
