// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>Takes the phase of an impulse response apart.</summary>
/// <remarks>
/// Everything is measured from the largest sample, so that what has to be unwrapped turns slowly; the delay up to there is added afterwards. The minimum phase is computed
/// on bins of a quarter hertz or less and read between two of them; it is not wrapped at all. Source: see <see cref="PhaseParts"/>.
/// </remarks>
internal static class PhaseAnalysis
{
    private const double CoarsestBinHz = 0.25;
    private const int TimesFiner = 4;                // than the response needs: the cepstrum is longer than the response
    private const double SteepestPower = 8;          // 48 dB per octave
    private const double FloorRatio = 1e-10;         // −200 dB
    private const double DelayFloorRatio = 1e-12;

    /// <param name="impulse">The response.</param>
    /// <param name="grid">Frequencies to evaluate, inside the band.</param>
    /// <param name="fromHz">Lower end of the band whose level is used.</param>
    /// <param name="toHz">Its upper end.</param>
    internal static PhaseParts Of(ImpulseResponse impulse, LogGrid grid, double fromHz, double toHz)
    {
        var samples = impulse.Samples;
        var largest = 0;
        for (var n = 1; n < samples.Length; n++)
            if (Math.Abs(samples[n]) > Math.Abs(samples[largest])) largest = n;
        if (samples.IsEmpty || samples[largest] == 0) throw new ArgumentException("The response is all zeros; it must hold a sound.", nameof(impulse));
        double rate = impulse.SampleRateHz;
        var length = StimulusSpectrum.EvenLength(Math.Max(TimesFiner * samples.Length, (int)Math.Ceiling(rate / CoarsestBinHz)));
        var bins = FourierTransform.OfReal(samples, length);
        var binWidthHz = rate / length;
        var (first, last) = ((int)Math.Ceiling(fromHz / binWidthHz), (int)Math.Floor(toHz / binWidthHz));
        var (minimum, minimumDelay) = MinimumPhase.PhaseAndDelay(Continued(bins, first, last));
        var excess = Excess(bins, minimum, Math.Max(0, first - 1), Math.Min(bins.Length - 1, last + 1), 2 * Math.PI * largest / length);
        var (minimumAt, excessAt, delayAt, minimumDelayAt) = (new double[grid.Count], new double[grid.Count], Delays(impulse, largest, grid), new double[grid.Count]);
        var lateSeconds = impulse.SecondsAt(largest);
        for (var k = 0; k < grid.Count; k++)
        {
            var bin = Math.Min((int)(grid[k] / binWidthHz), bins.Length - 2);
            var part = grid[k] / binWidthHz - bin;
            minimumAt[k] = Between(minimum, bin, part);
            excessAt[k] = Between(excess, bin, part) - 2 * Math.PI * grid[k] * lateSeconds;
            minimumDelayAt[k] = Between(minimumDelay, bin, part) / rate;
        }
        return new(grid, minimumAt, excessAt, delayAt, minimumDelayAt);
    }

    /// <summary>|H| inside the band; outside it goes on with the slope of the outermost octave.</summary>
    private static double[] Continued(Complex[] bins, int first, int last)
    {
        var magnitude = Array.ConvertAll(bins, bin => bin.Magnitude);
        var floor = FloorRatio * magnitude.Max();
        for (var k = 0; k < magnitude.Length; k++) magnitude[k] = Math.Max(magnitude[k], floor);
        var rise = Math.Clamp(PowerLaw(magnitude, first, Math.Min(last, 2 * first)), 0, SteepestPower);
        for (var k = 0; k < first; k++) magnitude[k] = magnitude[first] * Math.Pow(Math.Max(k, 0.5) / first, rise);
        var fall = Math.Clamp(PowerLaw(magnitude, Math.Max(first, last / 2), last), -SteepestPower, 0);
        for (var k = last + 1; k < magnitude.Length; k++) magnitude[k] = magnitude[last] * Math.Pow((double)k / last, fall);
        return magnitude;
    }

    /// <summary>p of the least-squares fit |H| ∝ f^p between two bins, weighted so that every part of the octave counts alike.</summary>
    private static double PowerLaw(double[] magnitude, int from, int to)
    {
        var (weights, meanX, meanY) = (0.0, 0.0, 0.0);
        for (var k = from; k <= to; k++) (weights, meanX, meanY) = (weights + 1.0 / k, meanX + Math.Log(k) / k, meanY + Math.Log(magnitude[k]) / k);
        (meanX, meanY) = (meanX / weights, meanY / weights);
        var (xy, xx) = (0.0, 0.0);
        for (var k = from; k <= to; k++) (xy, xx) = (xy + (Math.Log(k) - meanX) * (Math.Log(magnitude[k]) - meanY) / k, xx + (Math.Log(k) - meanX) * (Math.Log(k) - meanX) / k);
        return xx > 0 ? xy / xx : 0;
    }

    /// <summary>Phase beyond the minimum phase, the turns of a delay of so many radians per bin taken out, unwrapped from the first bin on.</summary>
    private static double[] Excess(Complex[] bins, double[] minimum, int first, int last, double radiansPerBin)
    {
        var excess = new double[bins.Length];
        var before = 0.0;
        for (var k = first; k <= last; k++)
        {
            var wrapped = bins[k].Phase + radiansPerBin * k - minimum[k];
            excess[k] = before = wrapped - 2 * Math.PI * Math.Round((wrapped - before) / (2 * Math.PI));
        }
        return excess;
    }

    /// <summary>Group delay after the time zero, in seconds: Re(Σ n·h·e^(−jωn) / Σ h·e^(−jωn)), n counted from the largest sample.</summary>
    private static double[] Delays(ImpulseResponse impulse, int largest, LogGrid grid)
    {
        var samples = impulse.Samples;
        var late = new double[samples.Length];
        for (var n = 0; n < late.Length; n++) late[n] = (n - largest) * samples[n];
        var values = DiscreteTimeTransform.At(samples, largest, impulse.SampleRateHz, grid.FrequenciesHz);
        var derivatives = DiscreteTimeTransform.At(late, largest, impulse.SampleRateHz, grid.FrequenciesHz);
        var smallest = DelayFloorRatio * values.Max(value => value.Magnitude);
        return [.. values.Select((value, k) => impulse.SecondsAt(largest) + (value.Magnitude > smallest ? (derivatives[k] / value).Real / impulse.SampleRateHz : double.NaN))];
    }

    private static double Between(double[] values, int bin, double part) => values[bin] + part * (values[bin + 1] - values[bin]);
}
