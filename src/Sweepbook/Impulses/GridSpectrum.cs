// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>A windowed impulse response seen on a logarithmic grid: the exact value at each frequency, and mean powers round it.</summary>
/// <param name="Values">Σ h[n] · e^{−jω(n − time zero)/rate} at each grid frequency, linear.</param>
/// <param name="CellPower">Mean of |H|² over the grid cell; |value|² where the cell is narrower than two bins.</param>
/// <param name="ThirdOctavePower">Mean of |H|² over a third of an octave: the local level that noise is judged against.</param>
internal sealed record GridSpectrum(Complex[] Values, double[] CellPower, double[] ThirdOctavePower)
{
    /// <summary>Only the mean over a third of an octave.</summary>
    internal static double[] ThirdOctavePowerOf(ImpulseResponse windowed, LogGrid grid)
    {
        var length = StimulusSpectrum.EvenLength(windowed.Length);
        return Smoothing.PowerMean(StimulusSpectrum.Powers(FourierTransform.OfReal(windowed.Samples, length)), (double)windowed.SampleRateHz / length, grid.FrequenciesHz, 1 / 3.0);
    }

    /// <summary>Σ t[n] · h[n] · e^{−jωt} at each grid frequency, t in seconds after the time zero: what the exact group delay is made of.</summary>
    internal static Complex[] TimeMoments(ImpulseResponse windowed, LogGrid grid)
    {
        var moments = windowed.ToArray();
        for (var n = 0; n < moments.Length; n++) moments[n] *= windowed.SecondsAt(n);
        return DiscreteTimeTransform.At(moments, windowed.TimeZeroSamples, windowed.SampleRateHz, grid.FrequenciesHz);
    }

    internal static GridSpectrum Of(ImpulseResponse windowed, LogGrid grid)
    {
        var length = StimulusSpectrum.EvenLength(windowed.Length);
        var power = StimulusSpectrum.Powers(FourierTransform.OfReal(windowed.Samples, length));
        var binWidthHz = (double)windowed.SampleRateHz / length;
        var values = DiscreteTimeTransform.At(windowed.Samples, windowed.TimeZeroSamples, windowed.SampleRateHz, grid.FrequenciesHz);
        var cells = Smoothing.PowerMean(power, binWidthHz, grid.FrequenciesHz, 1.0 / grid.PointsPerOctave);
        for (var k = 0; k < cells.Length; k++)
            if (Resolution.IsSingleValue(grid, k, binWidthHz))
                cells[k] = values[k].Real * values[k].Real + values[k].Imaginary * values[k].Imaginary;
        return new(values, cells, Smoothing.PowerMean(power, binWidthHz, grid.FrequenciesHz, 1 / 3.0));
    }
}
