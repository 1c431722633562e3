// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>How much of a decay the right end of a window cut off.</summary>
/// <remarks>
/// The part cut off is the response times one minus the window, up to twice the window's length: of an exponential decay what lies beyond is less
/// than a hundredth again wherever the loss comes near the limit. Its noise, known from the silent block, is taken off; what does not stand above what
/// that noise may do by chance counts as nothing lost. Misleads, to the good side, at frequencies that the sweep reached within a window's length of the recording's
/// end: there only the window's own falling slope has something to lose. Derivation: Parseval in a third of an octave.
/// </remarks>
internal static class TruncationLoss
{
    /// <param name="whole">The response before it was cut.</param>
    /// <param name="window">The window.</param>
    /// <param name="arrivalSeconds">Where it was laid.</param>
    /// <param name="noise">Noise of the windowed response; null where unknown.</param>
    /// <param name="noiseMarginRatio">By how much that noise may be underestimated, per grid point.</param>
    /// <param name="grid">Frequencies to evaluate.</param>
    /// <returns>Third-octave power of what was cut off, in the unit of the third-octave power of a windowed response; zero where none can be seen.</returns>
    internal static double[] PowerOf(ImpulseResponse whole, ImpulseWindow window, double arrivalSeconds, MeasurementNoise? noise, double[] noiseMarginRatio, LogGrid grid)
    {
        var rate = whole.SampleRateHz;
        var weights = window.Samples(rate, out var left);
        var first = (int)Math.Round(whole.TimeZeroSamples + arrivalSeconds * rate);
        var right = weights.Length - left;
        var (cut, cutEnergy) = (new double[Math.Clamp(whole.Length - first, 0, 2 * right)], 0.0);
        for (var n = 0; n < cut.Length; n++)
        {
            var weight = n < right ? 1 - weights[left + n] : 1;
            cut[n] = first + n < 0 ? 0 : whole.Samples[first + n] * weight;
            cutEnergy += weight * weight;
        }
        if (cut.Length == 0 || noise is null) return new double[grid.Count];
        var length = StimulusSpectrum.EvenLength(cut.Length);
        var power = Smoothing.PowerMean(StimulusSpectrum.Powers(FourierTransform.OfReal(cut, length)), (double)rate / length, grid.FrequenciesHz, 1 / 3.0);
        var noisePower = noise.Smeared(grid, 2 * window.ResolutionHz);
        var noiseScale = cutEnergy / window.EnergySamples(rate);
        for (var k = 0; k < power.Length; k++)
        {
            var expected = noisePower[k] * noiseScale;
            power[k] = power[k] > NoiseScatter.HighestRatio(grid[k], (double)cut.Length / rate) * noiseMarginRatio[k] * expected ? power[k] - expected : 0;
        }
        return power;
    }
}
