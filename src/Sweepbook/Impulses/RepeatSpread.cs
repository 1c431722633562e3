// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>How far repeats of one take lie apart, after the alignment that <see cref="RepeatMean"/> gives them, over a third of an octave.</summary>
/// <param name="Complex">Σ |Hᵢ − H̄|² / (n − 1): what independent noise of that power per repeat would explain.</param>
/// <param name="Radial">Σ (|Hᵢ| − mean |H|)² / (n − 1): the same for magnitudes alone; half of independent noise goes here.</param>
/// <param name="Mean">|H̄|² of the mean.</param>
/// <param name="Loss">Mean of |Hᵢ|² over |H̄|²: what cancels in the mean, 1 where nothing does.</param>
/// <remarks>Two repeats of opposite polarity agree in magnitude and cancel in the mean: only the loss shows it. Derivation: sample variance.</remarks>
internal sealed record RepeatSpread(double[] Complex, double[] Radial, double[] Mean, double[] Loss)
{
    internal static RepeatSpread Of(IReadOnlyList<ImpulseResponse> repeats, LogGrid grid)
    {
        var first = repeats[0];
        var length = StimulusSpectrum.EvenLength(first.Length);
        var bins = RepeatMean.Aligned(repeats).Select(repeat => FourierTransform.OfReal(repeat, length)).ToArray();
        var count = bins[0].Length;
        var (complex, radial, mean, power) = (new double[count], new double[count], new double[count], new double[count]);
        for (var k = 0; k < count; k++)
        {
            var (sum, magnitudes) = (System.Numerics.Complex.Zero, 0.0);
            foreach (var own in bins) (sum, magnitudes) = (sum + own[k], magnitudes + own[k].Magnitude);
            (sum, magnitudes) = (sum / bins.Length, magnitudes / bins.Length);
            mean[k] = Square(sum);
            foreach (var own in bins)
            {
                complex[k] += Square(own[k] - sum) / (bins.Length - 1);
                radial[k] += (own[k].Magnitude - magnitudes) * (own[k].Magnitude - magnitudes) / (bins.Length - 1);
                power[k] += Square(own[k]) / bins.Length;
            }
        }
        var (smoothMean, loss) = (Smooth(mean), Smooth(power));
        for (var k = 0; k < loss.Length; k++) loss[k] = smoothMean[k] > 0 ? loss[k] / smoothMean[k] : loss[k] > 0 ? double.PositiveInfinity : 1;
        return new(Smooth(complex), Smooth(radial), smoothMean, loss);

        double[] Smooth(double[] values) => Smoothing.PowerMean(values, (double)first.SampleRateHz / length, grid.FrequenciesHz, 1 / 3.0);
    }

    private static double Square(System.Numerics.Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;
}
