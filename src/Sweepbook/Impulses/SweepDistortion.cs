// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>A careful estimate of harmonics 2 to 5 from one exponential sweep: enough to say where a response depends on its level.</summary>
/// <remarks>
/// Harmonic n of an exponential sweep is the same sweep, L · ln n earlier, so that it comes out of the deconvolution as a pulse of its own before the
/// linear one (fact sheet 5.2); its spectrum at n·f over the linear one is the harmonic's share of the fundamental f. The linear one is taken at f or at n·f,
/// whichever is stronger: a dip of the room at f would make much of a harmless harmonic, and a crossover between the two as well. Each pulse is cut with a window
/// that keeps clear of its neighbours, compared over a third of an octave, and counts only where it stands above what the noise of its window may do by chance.
/// It reads low rather than high: a decay longer than the space between two pulses is cut off (1.5 dB for the fifth in a sweep of 3 s and a decay of
/// 0.6 s). It cannot see harmonics above the fifth or above the sweep's end, distortion below the noise, nor what is not harmonic; and a noise that
/// happens during the sweep only may pass for it. Below the roll-off of a driver, where its harmonics are louder than they look, it reads low.
/// Source: A. Farina, AES 108 (2000), preprint 5093; the windows are those of <see cref="HarmonicWindow"/>.
/// </remarks>
internal sealed class SweepDistortion
{
    private const int Highest = 5;
    private const double LeastPeriods = 2;                     // in a window, as for the linear response

    private readonly ImpulseResponse _whole;
    private readonly double _arrivalSeconds, _highestHz;
    private readonly SweepLaw _law;

    /// <param name="whole">The deconvolved response, its past included.</param>
    /// <param name="arrivalSeconds">Arrival of the linear pulse.</param>
    /// <param name="law">The sweep; of a linear one nothing is said.</param>
    /// <param name="highestHz">Highest frequency at which the response holds the sweep.</param>
    internal SweepDistortion(ImpulseResponse whole, double arrivalSeconds, SweepLaw law, double highestHz) =>
        (_whole, _arrivalSeconds, _law, _highestHz) = (whole, arrivalSeconds, law, highestHz);

    /// <summary>Power of harmonics 2 to 5 together over that of the linear response, for each fundamental of the grid.</summary>
    /// <param name="grid">Fundamentals.</param>
    /// <param name="linearPower">Third-octave power of the linear response at each grid point.</param>
    /// <param name="noise">Noise of the windowed linear response; null where unknown, and then nothing is counted.</param>
    /// <param name="windowEnergy">Σw² of that window.</param>
    /// <param name="noiseMarginRatio">By how much that noise may be underestimated, per grid point.</param>
    /// <param name="correctionDb">What the microphone's calibration adds at a frequency.</param>
    internal double[] PowerRatio(LogGrid grid, double[] linearPower, MeasurementNoise? noise, double windowEnergy, double[] noiseMarginRatio, Func<double, double> correctionDb)
    {
        var sum = new double[grid.Count];
        if (noise is null || _law.Kind == SweepKind.Linear) return sum;
        double[] gain = [.. grid.ToArray().Select(frequencyHz => Decibels.ToPowerRatio(correctionDb(frequencyHz)))];
        for (var order = 2; order <= Highest; order++)
        {
            var window = HarmonicWindow.Of(order, 1, _law);
            var fundamentals = Enumerable.Range(0, grid.Count)
                .Where(k => order * grid[k] <= Math.Min(_highestHz, grid[grid.Count - 1]) && order * grid[k] >= LeastPeriods / window.Seconds).ToArray();
            if (fundamentals.Length == 0) continue;
            var steps = (int)Math.Round(grid.PointsPerOctave * Math.Log2(order));
            var centre = _whole.TimeZeroSamples + (_arrivalSeconds - _law.LeadSecondsOf(order)) * _whole.SampleRateHz;
            var samples = window.Cut(_whole.Samples, centre, _whole.SampleRateHz, isCircular: false, out _, out var energy);
            var length = StimulusSpectrum.EvenLength(samples.Length);
            var power = Smoothing.PowerMean(StimulusSpectrum.Powers(FourierTransform.OfReal(samples, length)), (double)_whole.SampleRateHz / length,
                [.. fundamentals.Select(k => order * grid[k])], 1 / 3.0);
            var noisePower = noise.Smeared(grid, LeastPeriods / window.Seconds);
            foreach (var (n, k) in fundamentals.Index())
            {
                var at = Math.Min(grid.Count - 1, k + steps);
                var expected = noisePower[at] * energy / windowEnergy;
                if (power[n] > NoiseScatter.HighestRatio(order * grid[k], window.Seconds) * noiseMarginRatio[at] * expected)
                    sum[k] += (power[n] - expected) * gain[at] / Math.Max(linearPower[k] * gain[k], linearPower[at] * gain[at]);
            }
        }
        return sum;
    }
}
