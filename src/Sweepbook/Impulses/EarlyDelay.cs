// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The delay between two subwoofers in a room from the first swings of both, before the room has built up: several short windows round each onset, which have to agree.</summary>
/// <remarks>
/// Later than one or two periods the resonances of the room, not the two boxes, decide the phase between the two, and a line through it is no delay. So each response is cut by one shape
/// round its own onset, and the delay and the polarity are where Σ |X| cos(arg X + ωt) of the cross-spectrum X is largest or smallest. The lengths of the window go from 0.6 to 1.5
/// periods of the middle of the band: what the room adds changes with them, what the boxes do hardly. The deviation holds three parts: how far the windows disagree; what is left of the
/// phase, which hangs together over 1 / length of the window, so that only band · length values of it are independent; and a floor for the walls beside the boxes, whose reflections arrive
/// within every window. Limits and floor are own choices, set on simulated rooms with walls 0.25 to 0.6 m behind the boxes and T60 from 0.25 to 0.6 s. Of 1800 pairs in 600 such rooms (a
/// test repeats some of them) 862 were given a delay: median error 0.4 ms, 95 % within one deviation, all but 5 within two, every polarity right. Misleads where the direct sound is so weak
/// that the onset found is a reflection's: a node at the source or the seat; of those 5 one was off by 12 ms. In the open it doubts more than it need.
/// </remarks>
internal static class EarlyDelay
{
    internal const double LowestHz = 30;                // own choice: below it a period is longer than any room leaves alone
    internal const double HighestHz = 200;              // own choice: subwoofers beyond their crossover say little
    internal const double LeastOctaves = 1.5;           // own choice: in less, the first swing has no shape
    private static readonly double[] Periods = [0.6, 0.75, 0.95, 1.1, 1.5];
    private const double LeadSeconds = 0.02;            // the rise before the onset, a half Hann; it holds the band limit of 30 Hz
    private const double FloorPeriods = 0.075;          // 1.0 ms of a band from 30 to 190 Hz
    private const double MostSpreadPeriods = 0.113;     // 1.5 ms there
    private const double MostDegrees = 25;
    private const double LeastLikeness = 0.93;
    private const double LeastConfidenceDb = 6;
    private const double OnsetRatio = 0.5, PeakRatio = 0.316;   // −6 dB on the first flank that leads to within 10 dB of the largest value
    private const double WeakPeakRatio = 0.178;         // 15 dB below the largest value: something before the onset that may be the direct sound
    private const double MostOnsetPeriods = 0.3;        // 4 ms of a band from 30 to 190 Hz
    private const double StepHz = 2, ReachSeconds = 0.05;
    private const int StepsPerPeriod = 24;              // of the highest frequency; a parabola finds the rest

    /// <summary>The delay, or null and why it cannot be believed.</summary>
    internal static (RelativeDelay? Delay, EarlyDoubt Doubt) Of(ImpulseResponse response, ImpulseResponse reference, double fromHz, double toHz, Func<double, double> phaseVariance)
    {
        var frequencies = Enumerable.Range(0, (int)((toHz - fromHz) / StepHz) + 1).Select(k => fromHz + k * StepHz).Where(f => double.IsFinite(phaseVariance(f))).ToArray();
        var middleHz = Math.Sqrt(fromHz * toHz);
        if (frequencies.Length < 2 || Onset(response, fromHz, toHz) is not { } late || Onset(reference, fromHz, toHz) is not { } early) return (null, EarlyDoubt.Silent);
        if (late.Doubted || early.Doubted) return (null, EarlyDoubt.Onset);
        var readings = Periods.Select(periods => Read(Cut(response, late.Seconds, periods / middleHz, frequencies), Cut(reference, early.Seconds, periods / middleHz, frequencies), frequencies, late.Seconds - early.Seconds)).ToArray();
        if (readings.Any(reading => reading.Polarity != readings[0].Polarity || reading.ConfidenceDb < LeastConfidenceDb)) return (null, EarlyDoubt.Polarity);
        var spread = readings.Max(reading => reading.Seconds) - readings.Min(reading => reading.Seconds);
        if (!(spread <= MostSpreadPeriods / middleHz)) return (null, EarlyDoubt.Spread);
        var rest = readings.Max(reading => reading.RestRadians);
        if (!(rest * 180 / Math.PI <= MostDegrees) || !(readings.Min(reading => reading.Likeness) >= LeastLikeness)) return (null, EarlyDoubt.Shape);
        var independent = Math.Max(1, (toHz - fromHz) * Periods[^1] / middleHz);
        var byRest = rest / (readings[^1].RootMeanSquareOmega * Math.Sqrt(independent));
        var floor = FloorPeriods / middleHz;
        return (new(readings.Average(reading => reading.Seconds), Math.Sqrt(floor * floor + spread * spread + byRest * byRest), readings[0].Polarity,
            readings.Min(reading => reading.ConfidenceDb), fromHz, toHz, rest * 180 / Math.PI)
        { EarlySeconds = Periods[^1] / middleHz }, EarlyDoubt.None);
    }

    private readonly record struct Reading(double Seconds, int Polarity, double ConfidenceDb, double RestRadians, double RootMeanSquareOmega, double Likeness);

    /// <summary>When the envelope of the band first passes half of its first large peak, in seconds after the time zero, and whether a weaker peak comes clearly before it; null where the response is silent.</summary>
    private static (double Seconds, bool Doubted)? Onset(ImpulseResponse response, double fromHz, double toHz)
    {
        var envelope = BandEnvelope.Of(response.Samples, response.SampleRateHz, fromHz, toHz);
        var largest = envelope.Length == 0 ? 0 : envelope.Max();
        if (!(largest > 0)) return null;
        var (onset, weak) = (Flank(envelope, PeakRatio * largest), Flank(envelope, WeakPeakRatio * largest));
        return ((onset - response.TimeZeroSamples) / response.SampleRateHz, (onset - weak) / response.SampleRateHz > MostOnsetPeriods / Math.Sqrt(fromHz * toHz));
    }

    /// <summary>Where the flank of the first peak that passes a level passes half of that peak, in samples.</summary>
    private static double Flank(double[] envelope, double level)
    {
        var peak = Array.FindIndex(envelope, value => value >= level);
        while (peak + 1 < envelope.Length && envelope[peak + 1] >= envelope[peak]) peak++;
        var threshold = OnsetRatio * envelope[peak];
        var k = peak;
        while (k > 0 && envelope[k - 1] > threshold) k--;
        return k == 0 ? 0 : k - (envelope[k] - threshold) / (envelope[k] - envelope[k - 1]);
    }

    /// <summary>The spectrum of what a window lets through that rises before the onset and falls from it on, half Hann both.</summary>
    private static Complex[] Cut(ImpulseResponse response, double onsetSeconds, double fallSeconds, double[] frequencies)
    {
        var first = Math.Clamp((int)Math.Ceiling(response.TimeZeroSamples + (onsetSeconds - LeadSeconds) * response.SampleRateHz), 0, response.Length);
        var end = Math.Clamp((int)Math.Ceiling(response.TimeZeroSamples + (onsetSeconds + fallSeconds) * response.SampleRateHz), first, response.Length);
        var cut = response.Samples[first..end].ToArray();
        for (var n = 0; n < cut.Length; n++)
        {
            var after = response.SecondsAt(first + n) - onsetSeconds;
            cut[n] *= 0.5 + 0.5 * Math.Cos(Math.PI * after / (after < 0 ? LeadSeconds : fallSeconds));
        }
        return DiscreteTimeTransform.At(cut, response.TimeZeroSamples - first, response.SampleRateHz, frequencies);
    }

    private static Reading Read(Complex[] one, Complex[] other, double[] frequencies, double nearSeconds)
    {
        var omega = frequencies.Select(frequency => 2 * Math.PI * frequency).ToArray();
        var cross = one.Zip(other, (a, b) => a * Complex.Conjugate(b)).ToArray();
        var weights = cross.Select(value => value.Magnitude).ToArray();
        var total = weights.Sum();
        var step = 1 / (StepsPerPeriod * frequencies[^1]);
        var count = (int)(ReachSeconds / step);
        var agreement = Enumerable.Range(-count, 2 * count + 1).Select(n => Agreement(nearSeconds + n * step)).ToArray();
        var (largest, smallest) = (Array.IndexOf(agreement, agreement.Max()), Array.IndexOf(agreement, agreement.Min()));
        var polarity = agreement[largest] >= -agreement[smallest] ? 1 : -1;
        var best = polarity > 0 ? largest : smallest;
        var seconds = nearSeconds + (best - count + Vertex(agreement, best)) * step;
        var (misfit, otherMisfit) = (1 - polarity * Agreement(seconds), 1 + polarity * agreement[polarity > 0 ? smallest : largest]);
        var (rest, squares) = (0.0, 0.0);
        for (var k = 0; k < omega.Length; k++)
        {
            var phase = (polarity * cross[k] * Complex.FromPolarCoordinates(1, omega[k] * seconds)).Phase;
            (rest, squares) = (rest + weights[k] * phase * phase, squares + weights[k] * omega[k] * omega[k]);
        }
        var likeness = total / Math.Sqrt(one.Sum(Power) * other.Sum(Power));
        return new(seconds, polarity, Decibels.FromPower(otherMisfit / Math.Max(misfit, 1e-6)), Math.Sqrt(rest / total), Math.Sqrt(squares / total), likeness);

        double Agreement(double t)
        {
            var sum = 0.0;
            for (var k = 0; k < omega.Length; k++) sum += cross[k].Real * Math.Cos(omega[k] * t) - cross[k].Imaginary * Math.Sin(omega[k] * t);
            return sum / total;
        }

        static double Power(Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;
    }

    /// <summary>Where a parabola through three values has its vertex, in steps from the middle one; 0 at the ends.</summary>
    private static double Vertex(double[] values, int at)
    {
        if (at == 0 || at == values.Length - 1) return 0;
        var bend = values[at - 1] - 2 * values[at] + values[at + 1];
        return bend == 0 ? 0 : 0.5 * (values[at - 1] - values[at + 1]) / bend;
    }
}

/// <summary>Why the early part gives no delay.</summary>
internal enum EarlyDoubt
{
    /// <summary>It gives one.</summary>
    None,

    /// <summary>Nothing is heard in the band.</summary>
    Silent,

    /// <summary>Before the first strong swing there is a weaker one, and either may be the direct sound.</summary>
    Onset,

    /// <summary>A delay of one polarity fits about as well as one of the other, or windows of different lengths say different ones.</summary>
    Polarity,

    /// <summary>Windows of different lengths say different delays.</summary>
    Spread,

    /// <summary>Even the first swings have different shapes.</summary>
    Shape,
}
