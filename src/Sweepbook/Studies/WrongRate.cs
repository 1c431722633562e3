// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>Whether a channel holds the sweep at another speed than the file says: samples taken at one rate and labelled with another.</summary>
/// <remarks>
/// The sweep is made anew at each speed that mixed-up rates give, and correlated. Only asked where the sweep at the right speed was not found, or was found
/// broken. A clock that is off by parts per million is another matter. Source: derived; the sweep after A. Farina, 108th AES Convention (2000).
/// </remarks>
internal static class WrongRate
{
    private const double WantedPeakRatio = 12;    // noise reaches 5 in half a million samples; a sweep at the right speed stands far above
    private const double BetterThanOwn = 2;       // than at the speed that the file claims; a subwoofer's few cycles of a sweep shorter than a second reach 1.5 at the right one
    private const double MuchBetterThanOwn = 3;   // for factors of two: resonances leave few cycles of a short sweep in a subwoofer's take, and twice the speed then reaches 2; a long sweep at a wrong speed reaches 10
    private const double BelowMarkerRatio = 0.45; // of its first frequency: a marker looks like a sweep of another speed, and one played at half the speed begins at half of it
    private static readonly (double SpeedRatio, string Words)[] Speeds =
    [
        (48_000 / 44_100.0, "fast, as where a recorder at 44.1 kHz labels its file 48 kHz"),
        (44_100 / 48_000.0, "slow, as where a recorder at 48 kHz labels its file 44.1 kHz"),
        (2, "fast, as where a recorder at half the rate labels its file with the whole"),
        (0.5, "slow, as where a recorder at twice the rate labels its file with the single rate"),
    ];

    /// <returns>The fault, or null where the channel holds no sweep at any of these speeds.</returns>
    internal static TakeFault? Find(Stimulus stimulus, ReadOnlySpan<double> channel)
    {
        var length = 2 * FourierTransform.NextFastLength(stimulus.Length + channel.Length / 2);
        var take = FourierTransform.OfReal(channel, length);
        if (stimulus.Description.Marker is { } marker) take.AsSpan(Math.Min(take.Length, (int)(BelowMarkerRatio * marker.StartHz * length / stimulus.SampleRateHz))).Clear();
        var own = PeakRatio(take, Sweep(stimulus, 1), length);
        foreach (var (speed, words) in Speeds)
        {
            var ratio = PeakRatio(take, Sweep(stimulus, speed), length);
            if (ratio < WantedPeakRatio || ratio < (speed is 2 or 0.5 ? MuchBetterThanOwn : BetterThanOwn) * own) continue;
            var percent = 100 * Math.Abs(speed - 1);
            return new("wrong-rate", FaultCost.Take, FormattableString.Invariant($"the sweep in this file runs {percent:0.#} % too {words}"),
                "Set player, recorder and operating system to the stimulus' rate and record again", 100 * (speed - 1), "percent");
        }
        return null;
    }

    private static double[] Sweep(Stimulus stimulus, double speedRatio)
    {
        var (design, law) = (stimulus.Description, stimulus.Description.Law);
        var rate = design.SampleRateHz / speedRatio;
        var samples = new double[(int)(design.SweepSamples / speedRatio)];
        for (var n = 0; n < samples.Length; n++)
        {
            if (law.FrequencyHzAt(n / rate) * speedRatio > 0.45 * design.SampleRateHz) break;
            samples[n] = Math.Sin(2 * Math.PI * law.PhaseCyclesAt(n / rate));
        }
        return samples;
    }

    private static double PeakRatio(Complex[] take, double[] sweep, int length)
    {
        var bins = FourierTransform.OfReal(sweep, length);
        for (var k = 0; k < bins.Length; k++) bins[k] = take[k] * Complex.Conjugate(bins[k]);
        var (peak, energy) = (0.0, 0.0);
        foreach (var value in FourierTransform.ToReal(bins, length)) (peak, energy) = (Math.Max(peak, Math.Abs(value)), energy + value * value);
        return energy == 0 ? 0 : peak / Math.Sqrt(energy / length);
    }
}
