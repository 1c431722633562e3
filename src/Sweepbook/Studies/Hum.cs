// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>Mains hum in the silent block, as loud as it was recorded.</summary>
/// <remarks>The search and its limits are those of <see cref="HumLines"/>. Source: derived; a tone of amplitude A has the root mean square √(A²/2).</remarks>
internal static class Hum
{
    private const int PaddedTimes = 8;   // bins much narrower than the block's resolution, so that a line between two bins keeps its height

    /// <param name="silence">The silent block, full scale ±1.</param>
    /// <param name="sampleRateHz">Its sample rate in hertz.</param>
    /// <returns>The lines, low to high; empty where there are none.</returns>
    internal static IReadOnlyList<HumLine> LinesHz(ReadOnlySpan<double> silence, int sampleRateHz)
    {
        if (silence.Length < 2) return [];
        var length = 2 * FourierTransform.NextFastLength(PaddedTimes / 2 * silence.Length);
        var (window, tapered) = (Window.Hann(silence.Length), new double[silence.Length]);
        var (energy, mean) = (0.0, 0.0);
        foreach (var sample in silence) mean += sample / silence.Length;
        for (var n = 0; n < tapered.Length; n++)
        {
            tapered[n] = (silence[n] - mean) * window[n];
            energy += window[n] * window[n];
        }
        var density = StimulusSpectrum.Powers(FourierTransform.OfReal(tapered, length));
        for (var k = 0; k < density.Length; k++) density[k] /= energy;
        return HumLines.TakenOutOf(density, (double)sampleRateHz / length, silence.Length, sampleRateHz);
    }

    /// <summary>Root mean square of lines together, over full scale.</summary>
    internal static double RootMeanSquare(IEnumerable<HumLine> lines) => Math.Sqrt(lines.Sum(line => 2 * line.PowerRatio));
}
