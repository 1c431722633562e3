// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>From the signal of a band to its compensated decay curve.</summary>
internal static class BandEnergy
{
    private const double MissingAtTheEnd = 0.05;   // own choice: 0.2 dB of noise

    internal static BandReading Of(BandSignal signal, double startSeconds)
    {
        var filter = signal.Filter;
        var ringing = filter.RingingSeconds(FilterUse.TimeReversed);
        var (delay, rise) = DelayAndRise(filter, ringing);
        var samples = signal.Samples[..Math.Max(0, signal.Count - rise)];
        return Of(signal.Band, signal.Band.UpperHz - signal.Band.LowerHz, samples, signal.SampleRateHz, startSeconds, ringing, delay);
    }

    /// <param name="band">The band.</param>
    /// <param name="bandwidthHz">Its width.</param>
    /// <param name="samples">Its signal, filtered backwards in time.</param>
    /// <param name="rateHz">Samples per second of the signal.</param>
    /// <param name="startSeconds">The start of the sound, from the first sample on.</param>
    /// <param name="ringingSeconds">How long before the start the filter may have put energy.</param>
    /// <param name="delaySeconds">By how much it moved energy on average.</param>
    internal static BandReading Of(FrequencyBand band, double bandwidthHz, ReadOnlySpan<double> samples, double rateHz, double startSeconds, double ringingSeconds, double delaySeconds)
    {
        var first = Math.Min(samples.Length, (int)Math.Ceiling(startSeconds * rateHz - 1e-6));
        var energy = Behind(samples, first);
        var tail = NoiseTail.Of(energy, rateHz, bandwidthHz);
        if (!tail.HasDecay) return Nothing();
        var firstSeconds = first / rateHz - startSeconds;
        var curve = Compensated(energy, tail);
        var (before, moment) = Before(samples[..first], Math.Max(0, first - (int)Math.Ceiling(ringingSeconds * rateHz)), tail.NoisePower);
        var whole = curve[0] + before;
        if (!(whole > 0 && double.IsFinite(whole))) return Nothing();   // noise alone, and what looked like a decay was chance
        var result = new DecayCurve(curve, rateHz, firstSeconds, whole, tail);
        var centre = (result.EnergySeconds() + moment / rateHz + before * firstSeconds) / whole;
        return new(band, bandwidthHz, result, delaySeconds, centre);

        BandReading Nothing() => new(band, bandwidthHz, new([], rateHz, 0, 0, default), delaySeconds, 0);
    }

    /// <summary>Σ x² from each sample to the end; one more entry, 0, than there are samples from <paramref name="first"/> on.</summary>
    internal static double[] Behind(ReadOnlySpan<double> samples, int first)
    {
        var energy = GC.AllocateUninitializedArray<double>(samples.Length - first + 1);
        var sum = energy[^1] = 0;
        for (var n = samples.Length - 1; n >= first; n--)
        {
            sum += samples[n] * samples[n];
            energy[n - first] = sum;
        }
        return energy;
    }

    /// <summary>Cut where the noise begins, the noise before it taken out, the decay behind it added (fact sheet 6.4, 6.5); never below zero.</summary>
    private static double[] Compensated(double[] energy, NoiseTail tail)
    {
        var cut = Math.Clamp(tail.CutSamples, 1, energy.Length - 1);
        var curve = GC.AllocateUninitializedArray<double>(cut + 1);
        var behind = tail.EnergyBehind(cut) - energy[cut] - cut * tail.NoisePower;
        for (var n = 0; n <= cut; n++) curve[n] = Math.Max(0, energy[n] + behind + n * tail.NoisePower);
        return curve;
    }

    /// <summary>Energy and first moment (in energy · samples, negative) of what the filter moved before the start, noise taken out.</summary>
    private static (double Energy, double Moment) Before(ReadOnlySpan<double> samples, int from, double noise)
    {
        var (energy, moment) = (0.0, 0.0);
        for (var n = from; n < samples.Length; n++)
        {
            var power = samples[n] * samples[n] - noise;
            energy += power;
            moment += power * (n - samples.Length);
        }
        return energy > 0 ? (energy, moment) : (0, 0);
    }

    /// <summary>
    /// The centroid of the squared impulse response, on the side of earlier times, and how many samples it takes to hold all but a little of its energy: nearer to
    /// the end of the record the filter has not seen what came after it, and noise would seem to fall.
    /// </summary>
    private static (double DelaySeconds, int Rise) DelayAndRise(BandFilter filter, double ringingSeconds)
    {
        var impulse = new double[(int)Math.Ceiling(ringingSeconds * filter.OutputRateHz) + 1];
        impulse[^1] = 1;
        var ringing = filter.AtRate(impulse, FilterUse.TimeReversed);
        var (energy, moment) = (0.0, 0.0);
        for (var n = 0; n < ringing.Length; n++)
        {
            energy += ringing[n] * ringing[n];
            moment += ringing[n] * ringing[n] * (ringing.Length - 1 - n);
        }
        var (first, missing) = (0, 0.0);
        while (first < ringing.Length && missing < MissingAtTheEnd * energy) missing += ringing[first] * ringing[first++];
        return (moment / energy / filter.OutputRateHz, ringing.Length - first);
    }
}
