// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Microphones;

/// <summary>The noise of one silent block: A-weighted and in third octaves, as powers of which 1 is a sine that just reaches full scale.</summary>
/// <param name="WeightedPower">A-weighted, the microphone's deviation taken off.</param>
/// <param name="Bands">Third octaves from the first that the block resolves, unweighted, the deviation taken off.</param>
/// <remarks>A third octave is given where it is three periods of the block wide or more, two resolution cells of a Hann window. Source: own definition.</remarks>
internal sealed record BlockNoise(double WeightedPower, IReadOnlyDictionary<FrequencyBand, double> Bands)
{
    private const double LowestHz = 10, HighestHz = 20_000, CellsWide = 3;

    /// <summary>Nothing for a block of zeros or one value, which no chain delivers.</summary>
    internal static BlockNoise? Of(ReadOnlySpan<double> block, int sampleRateHz, Func<double, double> correctionDbAt)
    {
        if (block.Length < 2 || block.IndexOfAnyExcept(block[0]) < 0) return null;
        var window = Window.HannPeriodic(block.Length);
        var (mean, energy) = (0.0, 0.0);
        foreach (var sample in block) mean += sample / block.Length;
        for (var n = 0; n < window.Length; n++)
        {
            energy += window[n] * window[n];
            window[n] *= block[n] - mean;
        }
        var length = FourierTransform.NextFastLength(4 * block.Length);   // four bins to a cell, so that band edges fall between bins that are close
        var bins = FourierTransform.OfReal(window, length);
        var binHz = (double)sampleRateHz / length;
        var seconds = (double)block.Length / sampleRateHz;
        var bands = FrequencyBand.ThirdOctaves(LowestHz, HighestHz).Where(band => band.UpperHz < sampleRateHz / 2.0 && (band.UpperHz - band.LowerHz) * seconds >= CellsWide).ToDictionary(band => band, _ => 0.0);
        var weighted = 0.0;
        for (var k = 1; k < bins.Length; k++)
        {
            var frequencyHz = k * binHz;
            if (frequencyHz > HighestHz * 1.13) break;
            const double SineRatio = 2;   // a sine of full scale has a mean square of a half
            // One-sided: every bin stands for two; Parseval's sum over the padded length, with the window's energy taken off.
            var power = SineRatio * 2 * (bins[k].Real * bins[k].Real + bins[k].Imaginary * bins[k].Imaginary) / (energy * length) * Decibels.ToPowerRatio(correctionDbAt(frequencyHz));
            weighted += power * Decibels.ToPowerRatio(Weighting.A.LevelDb(frequencyHz));
            var band = FrequencyBand.ThirdOctaveAt(frequencyHz);
            if (bands.ContainsKey(band)) bands[band] += power;
        }
        return new(weighted, bands);
    }
}
