// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>How much of a decay the right end of a window cut off.</summary>
/// <remarks>
/// The part cut off is the response times one minus the window, up to twice the window's length: of an exponential decay what lies beyond is less
/// than a hundredth again wherever the loss comes near the limit. Its noise, known from the silent block, is taken off; what does not stand 10 dB above
/// it counts as nothing lost, nor does what falls by less than 4 dB from its first half to its second: a decay as slow as
/// ten times the window's length is missed, noise that the silent block understates is not taken for one. Misleads, to the good side, at frequencies that the sweep reached within a window's length of the recording's
/// end: there only the window's own falling slope has something to lose. Derivation: Parseval in a third of an octave.
/// </remarks>
internal static class TruncationLoss
{
    private const double StandsOutRatio = 10;   // 10 dB: more than chance does, and more than a noise that grew during the sweep by half as much
    private const double FallsRatio = 2.5;      // 4 dB

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
        var start = right - window.FallingSamples(right);
        var end = Math.Clamp(whole.Length - first, start, 2 * right);
        var middle = (start + end) / 2;
        if (middle == start || noise is null) return new double[grid.Count];
        var (early, earlyEnergy) = Part(start, middle);
        var (late, lateEnergy) = Part(middle, end);
        var noisePower = noise.Smeared(grid, 2 * window.ResolutionHz);
        var noiseScale = (earlyEnergy + lateEnergy) / window.EnergySamples(rate);
        var lost = new double[grid.Count];
        for (var k = 0; k < lost.Length; k++)
        {
            var (all, expected) = (early[k] + late[k], noisePower[k] * noiseScale);
            if (all > StandsOutRatio * noiseMarginRatio[k] * expected && early[k] / earlyEnergy > FallsRatio * late[k] / lateEnergy)
                lost[k] = all - expected;
        }
        return lost;

        (double[] Power, double Energy) Part(int from, int to)
        {
            var (cut, energy) = (new double[to - from], 0.0);
            for (var n = from; n < to; n++)
            {
                var weight = n < right ? 1 - weights[left + n] : 1;
                cut[n - from] = first + n < 0 ? 0 : whole.Samples[first + n] * weight;
                energy += weight * weight;
            }
            var length = StimulusSpectrum.EvenLength(cut.Length);
            return (Smoothing.PowerMean(StimulusSpectrum.Powers(FourierTransform.OfReal(cut, length)), (double)rate / length, grid.FrequenciesHz, 1 / 3.0), energy);
        }
    }
}
