// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
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
/// Source: A. Farina, AES 108 (2000), preprint 5093; the windows are an own choice.
/// </remarks>
internal sealed class SweepDistortion
{
    private const int Highest = 5;
    private const double BeforePart = 0.25, AfterPart = 0.6;   // of the space to the pulse on that side: neighbours leave 15 % free between them
    private const double LeastPeriods = 2;                     // in a window, as for the linear response

    private readonly ImpulseResponse _whole;
    private readonly double _arrivalSeconds, _octaveConstantSeconds, _highestHz;

    /// <param name="whole">The deconvolved response, its past included.</param>
    /// <param name="arrivalSeconds">Arrival of the linear pulse.</param>
    /// <param name="octaveConstantSeconds">L = T / ln(end / start) of the sweep; infinite for a linear one, of which nothing is said.</param>
    /// <param name="highestHz">Highest frequency at which the response holds the sweep.</param>
    internal SweepDistortion(ImpulseResponse whole, double arrivalSeconds, double octaveConstantSeconds, double highestHz) =>
        (_whole, _arrivalSeconds, _octaveConstantSeconds, _highestHz) = (whole, arrivalSeconds, octaveConstantSeconds, highestHz);

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
        if (noise is null || double.IsInfinity(_octaveConstantSeconds)) return sum;
        double[] gain = [.. grid.ToArray().Select(frequencyHz => Decibels.ToPowerRatio(correctionDb(frequencyHz)))];
        for (var order = 2; order <= Highest; order++)
        {
            var window = new Window(order, _octaveConstantSeconds);
            var fundamentals = Enumerable.Range(0, grid.Count)
                .Where(k => order * grid[k] <= Math.Min(_highestHz, grid[grid.Count - 1]) && order * grid[k] >= LeastPeriods / window.Seconds).ToArray();
            if (fundamentals.Length == 0) continue;
            var steps = (int)Math.Round(grid.PointsPerOctave * Math.Log2(order));
            var samples = Cut(window, out var energy);
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

    private double[] Cut(Window window, out double energy)
    {
        var rate = _whole.SampleRateHz;
        var (before, after) = (Math.Max(1, (int)(window.BeforeSeconds * rate)), Math.Max(2, (int)(window.AfterSeconds * rate)));
        var weights = new double[before + after];
        Transforms.Window.RisingHalfHann(before).CopyTo(weights, 0);
        weights.AsSpan(before, after - after / 2).Fill(1);
        Transforms.Window.FallingHalfHann(after / 2).CopyTo(weights, before + after - after / 2);
        var first = (int)Math.Round(_whole.TimeZeroSamples + (_arrivalSeconds - window.LeadSeconds) * rate) - before;
        energy = 0;
        for (var n = 0; n < weights.Length; n++)
        {
            energy += weights[n] * weights[n];
            weights[n] *= first + n >= 0 && first + n < _whole.Length ? _whole.Samples[first + n] : 0;
        }
        return weights;
    }

    /// <summary>Where harmonic n lies before the linear pulse, and how far its window reaches.</summary>
    private readonly record struct Window(int Order, double OctaveConstantSeconds)
    {
        internal double LeadSeconds => OctaveConstantSeconds * Math.Log(Order);

        internal double BeforeSeconds => BeforePart * OctaveConstantSeconds * Math.Log((Order + 1.0) / Order);

        internal double AfterSeconds => AfterPart * OctaveConstantSeconds * Math.Log(Order / (Order - 1.0));

        internal double Seconds => BeforeSeconds + AfterSeconds;
    }
}
