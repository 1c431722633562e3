// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The harmonics of one recording as powers over the fundamentals of the plan's grid, with what noise and neighbours put there.</summary>
/// <param name="Plan">What all takes of the stimulus share.</param>
/// <param name="Power">Power of the linear response at the fundamental, mean over a sixth of an octave.</param>
/// <param name="Noise">Noise in it; NaN where unknown.</param>
/// <param name="Orders">One entry per order, from the second.</param>
internal sealed record HarmonicReading(HarmonicPlan Plan, double[] Power, double[] Noise, IReadOnlyList<HarmonicReading.Order> Orders)
{
    /// <param name="Power">Mean over a sixth of an octave round n · f, squared ratio to the digital stimulus.</param>
    /// <param name="Noise">Expected noise in it; NaN where unknown.</param>
    /// <param name="NoiseMarginRatio">How many times its expectation the noise may be, by chance and because the silent block was short.</param>
    /// <param name="Leak">What the linear response and the reverberation of the next harmonic read as here.</param>
    /// <param name="Direction">Phase of the harmonic less n times that of the fundamental, as a unit vector.</param>
    /// <param name="WhyNot">Why it cannot be given, or null.</param>
    internal sealed record Order(double[] Power, double[] Noise, double[] NoiseMarginRatio, double[] Leak, Complex[] Direction, string?[] WhyNot);

    /// <summary>Width of the means, in octaves: two points of the grid.</summary>
    internal const double Octaves = 1 / 6.0;

    private const double NoiseOctaves = 1 / 3.0;   // steadier than the reading; the larger of both widths counts, so that a line of hum is not missed

    /// <param name="plan">Division by the stimulus itself.</param>
    /// <param name="recording">The microphone's channel.</param>
    /// <param name="silence">Part of it in which nothing played; empty where there is none.</param>
    /// <param name="stepRatio">One step of the file over full scale, or zero.</param>
    /// <param name="whole">The recording divided by the stimulus itself.</param>
    /// <param name="arrivalSeconds">When the sound arrives in it.</param>
    /// <param name="window">The window of the linear response.</param>
    internal static HarmonicReading Of(Deconvolution plan, ReadOnlySpan<double> recording, ReadOnlySpan<double> silence, double stepRatio, ImpulseResponse whole, double arrivalSeconds, ImpulseWindow window)
    {
        var (harmonics, grid) = (plan.Harmonics, plan.Harmonics.Grid);
        var response = window.Cut(whole, arrivalSeconds);
        var linear = Powers(response.Samples, whole.SampleRateHz, out var binWidthHz, fine: 2);
        var values = DiscreteTimeTransform.At(response.Samples, response.TimeZeroSamples, whole.SampleRateHz, grid.FrequenciesHz);
        var orders = PowersOf(harmonics, recording, arrivalSeconds);
        foreach (var (n, order) in orders.Index())
        {
            var number = HarmonicPlan.Lowest + n;
            double[] outputs = [.. Enumerable.Range(0, order.Power.Length).Select(k => number * grid[k])];
            double[] inside = [.. outputs.Select(outputHz => Math.Min(outputHz, harmonics.Stimulus.Description.EndHz * Math.Pow(2, -Octaves)))];   // beyond the sweep's end the room is taken to be as it is there
            var same = Smoothing.PowerMean(linear, binWidthHz, inside, Octaves);
            var next = n + 1 < orders.Count ? orders[n + 1] : null;
            foreach (var (first, count, shape) in harmonics.Stretches(number))
            {
                var late = number == HarmonicPlan.Highest ? null : LateShare(first, count, shape, HarmonicWindow.SpaceSeconds(number + 1, outputs[first], harmonics.Law));
                for (var k = first; k < first + count; k++)
                {
                    order.Leak[k] = harmonics.LeakPower(number)[k] * same[k];
                    var at = k - (int)Math.Round(HarmonicPlan.PointsPerOctave * Math.Log2((number + 1.0) / number));   // the fundamental whose next harmonic is the same output
                    if (late is not null && next is not null && at >= 0 && at < next.Power.Length) order.Leak[k] += late[k - first] * next.Power[at];
                    order.Direction[k] *= Complex.Pow(values[k] / values[k].Magnitude, -number);
                    order.WhyNot[k] = harmonics.WhyNot(number, grid[k], shape);
                }
            }

            // how much of the linear response comes later than the pulse before it, so that it reaches into this window, over all of it
            double[] LateShare(int first, int count, HarmonicWindow shape, double spaceSeconds)
            {
                var centre = whole.TimeZeroSamples + (arrivalSeconds + spaceSeconds) * whole.SampleRateHz;
                var late = Powers(shape.Cut(whole.Samples, centre, whole.SampleRateHz, isCircular: false, out _, out _), whole.SampleRateHz, out var lateBinHz);
                var share = Smoothing.PowerMean(late, lateBinHz, inside.AsSpan(first, count), Octaves);
                for (var k = 0; k < count; k++) share[k] = same[first + k] > 0 ? Math.Min(1, share[k] / same[first + k]) : 0;
                return share;
            }
        }
        var noise = silence.Length == 0 ? Unknown(grid.Count)
            : AddNoise(harmonics, orders, plan.BlockDensity(silence), stepRatio, (double)silence.Length / whole.SampleRateHz, window.EnergySamples(whole.SampleRateHz));
        return new(harmonics, Smoothing.PowerMean(linear, binWidthHz, grid.FrequenciesHz, Octaves), noise, orders);
    }

    /// <summary>Only the powers and the phases of the pulses; also what the plan asks of the stimulus itself.</summary>
    internal static IReadOnlyList<Order> PowersOf(HarmonicPlan plan, ReadOnlySpan<double> recording, double arrivalSeconds)
    {
        var (rate, bins, orders) = (plan.Stimulus.SampleRateHz, FourierTransform.OfReal(recording, plan.Length), new List<Order>());
        double[]? pulses = null;
        for (var number = HarmonicPlan.Lowest; number <= HarmonicPlan.Highest; number++)
        {
            if (pulses is null || plan.IsLinear) pulses = Deconvolved(bins, plan.Inverse(number), plan.Length);
            var count = plan.CountOf(number);
            var order = new Order(new double[count], Unknown(count), new double[count], new double[count], new Complex[count], new string?[count]);
            foreach (var (first, points, window) in plan.Stretches(number))
            {
                double[] outputs = [.. Enumerable.Range(first, points).Select(k => number * plan.Grid[k])];
                var centre = (arrivalSeconds - plan.LeadSeconds(number)) * rate;
                var cut = window.Cut(pulses, centre, rate, isCircular: true, out var start, out _);
                Smoothing.PowerMean(Powers(cut, rate, out var binWidthHz), binWidthHz, outputs, Octaves).CopyTo(order.Power, first);
                var values = DiscreteTimeTransform.At(cut, -plan.LeadSeconds(number) * rate - start, rate, outputs);
                for (var k = 0; k < points; k++) order.Direction[first + k] = values[k] == 0 ? 0 : plan.Turn(number) * values[k] / values[k].Magnitude;
            }
            orders.Add(order);
        }
        return orders;
    }

    /// <summary>The noise of the silent block, sent through the same inverse and windows; returns that of the linear response.</summary>
    private static double[] AddNoise(HarmonicPlan plan, IReadOnlyList<Order> orders, double[] density, double stepRatio, double silenceSeconds, double windowEnergy)
    {
        const double RoundingDivisor = 12;   // a uniform error of one step has the variance step²/12
        var rounding = stepRatio * stepRatio / RoundingDivisor;
        var fundamental = plan.Grid.ToArray();
        foreach (var sharing in plan.IsLinear ? orders.Select(order => new[] { order }) : [[.. orders]])
        {
            var first = HarmonicPlan.Lowest + orders.ToList().IndexOf(sharing[0]);
            double[] centres = [.. sharing.Index().SelectMany(entry => Enumerable.Range(0, entry.Item.Power.Length).Select(k => (first + entry.Index) * plan.Grid[k])), .. first == HarmonicPlan.Lowest ? plan.Grid.ToArray() : []];
            if (centres.Length == 0) continue;
            var inverse = plan.Inverse(first);
            var power = new double[Math.Min(density.Length, (int)(centres.Max() * Math.Pow(2, NoiseOctaves) / plan.BinWidthHz) + 2)];
            for (var k = 0; k < power.Length; k++) power[k] = Math.Max(density[k], rounding) * (inverse[k].Real * inverse[k].Real + inverse[k].Imaginary * inverse[k].Imaginary);
            var (wide, narrow) = (Smoothing.PowerMean(power, plan.BinWidthHz, centres, NoiseOctaves), Smoothing.PowerMean(power, plan.BinWidthHz, centres, Octaves));
            var at = 0;
            foreach (var (n, order) in sharing.Index())
            {
                foreach (var (from, count, window) in plan.Stretches(first + n))
                {
                    window.Cut([], 0, plan.Stimulus.SampleRateHz, isCircular: false, out _, out var energy);
                    for (var k = from; k < from + count; k++)
                    {
                        order.Noise[k] = Math.Max(wide[at + k], narrow[at + k]) * energy;
                        order.NoiseMarginRatio[k] = NoiseScatter.HighestRatio(centres[at + k], window.Seconds, Octaves) * Decibels.ToPowerRatio(NoiseMargin.DecibelsAt(centres[at + k], silenceSeconds));
                    }
                }
                at += order.Power.Length;
            }
            for (var k = 0; at + k < centres.Length; k++) fundamental[k] = Math.Max(wide[at + k], narrow[at + k]) * windowEnergy / (plan.IsLinear ? first : 1);   // a linear sweep's inverse of order n has n times the power
        }
        return fundamental;
    }

    private static double[] Deconvolved(ReadOnlySpan<Complex> bins, ReadOnlySpan<Complex> inverse, int length)
    {
        var product = new Complex[bins.Length];
        for (var k = 0; k < product.Length; k++) product[k] = bins[k] * inverse[k];
        return FourierTransform.ToReal(product, length);
    }

    /// <summary>Powers of the spectrum, on bins several times finer than the cut resolves.</summary>
    private static double[] Powers(ReadOnlySpan<double> samples, int sampleRateHz, out double binWidthHz, int fine = 4)
    {
        var length = StimulusSpectrum.EvenLength(fine * samples.Length);
        binWidthHz = (double)sampleRateHz / length;
        return StimulusSpectrum.Powers(FourierTransform.OfReal(samples, length));
    }

    private static double[] Unknown(int count)
    {
        var values = new double[count];
        Array.Fill(values, double.NaN);
        return values;
    }
}
