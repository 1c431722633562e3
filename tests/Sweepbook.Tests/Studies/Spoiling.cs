// SPDX-License-Identifier: MIT
using Sweepbook.Simulation;
using Sweepbook.Transforms;

namespace Sweepbook.Tests.Studies;

/// <summary>What spoils a made take, at a strength in the unit that the test's table names.</summary>
internal static class Spoiling
{
    private const int Rate = MadeTake.Rate;

    /// <summary>A moment while the sweep is well under way: from a fifth to nine tenths of it.</summary>
    internal static int Moment(MadeTake take) =>
        take.LatencySamples + take.Stimulus.SweepStart + (int)((take.Stimulus.SweepEnd - take.Stimulus.SweepStart) * take.Between(0.2, 0.9));

    internal static void Lose(MadeTake take, double samples)
    {
        var (at, lost) = (Moment(take), (int)samples);
        (take.Microphone, take.Reference) = (Cut(take.Microphone), Cut(take.Reference));

        double[] Cut(double[] channel) => [.. channel[..at], .. channel[(at + lost)..], .. channel[^lost..]];
    }

    internal static void Repeat(MadeTake take, double samples)
    {
        var (at, length) = (Moment(take), (int)samples);
        foreach (var channel in new[] { take.Microphone, take.Reference }) channel.AsSpan(at - length, length).CopyTo(channel.AsSpan(at));
    }

    internal static void Zero(MadeTake take, double samples)
    {
        var at = Moment(take);
        foreach (var channel in new[] { take.Microphone, take.Reference }) channel.AsSpan(at, (int)samples).Clear();
    }

    /// <summary>A dull blow: noise below 300 Hz that dies away in a sixth of a second.</summary>
    internal static void Bump(MadeTake take, double levelDb) => Burst(take, levelDb, RecursiveFilter.LowPass(300, 2, Rate), 0.05);

    /// <summary>A door: everything below 3 kHz, a little longer.</summary>
    internal static void Door(MadeTake take, double levelDb) => Burst(take, levelDb, RecursiveFilter.LowPass(3000, 2, Rate), 0.1);

    internal static void Hum(MadeTake take, double levelDb)
    {
        var amplitude = Math.Sqrt(2) * take.SweepRatio * Math.Pow(10, levelDb / 20) / Math.Sqrt(1 + 0.25 + 0.1);
        for (var n = 0; n < take.Microphone.Length; n++)
            take.Microphone[n] += amplitude * (Math.Sin(2 * Math.PI * 49.98 * n / Rate) + 0.5 * Math.Sin(2 * Math.PI * 99.96 * n / Rate + 1) + 0.316 * Math.Sin(2 * Math.PI * 149.94 * n / Rate + 2));
    }

    internal static void Quiet(MadeTake take, double peakDbfs)
    {
        var gain = Math.Pow(10, peakDbfs / 20) / take.Microphone.Max(Math.Abs);
        for (var n = 0; n < take.Microphone.Length; n++) take.Microphone[n] *= gain;
    }

    internal static void Clip(MadeTake take, double overDb) => Quiet(take, overDb);

    /// <summary>A limit that bends: tanh, the crest compressed by so many decibels.</summary>
    internal static void Squeeze(MadeTake take, double compressionDb)
    {
        var (low, high) = (0.01, 20.0);
        for (var step = 0; step < 60; step++)
        {
            var middle = (low + high) / 2;
            if (20 * Math.Log10(middle / Math.Tanh(middle)) < compressionDb) low = middle; else high = middle;
        }
        var peak = take.Microphone.Max(Math.Abs);
        for (var n = 0; n < take.Microphone.Length; n++) take.Microphone[n] = peak / low * Math.Tanh(low * take.Microphone[n] / peak);
    }

    internal static void Exchange(MadeTake take, double _) => (take.Microphone, take.Reference) = (take.Reference, take.Microphone);

    internal static void Copy(MadeTake take, double _) => take.Reference = (double[])take.Microphone.Clone();

    /// <summary>The room in the loopback channel, its mean power so many decibels over the loopback's.</summary>
    internal static void LeakIntoLoopback(MadeTake take, double levelDb) => Mix(take.Reference, take.Microphone, levelDb);

    /// <summary>The loopback in the microphone channel, so many decibels over the sound.</summary>
    internal static void LeakIntoMicrophone(MadeTake take, double levelDb) => Mix(take.Microphone, take.Reference, levelDb);

    /// <summary>Automatic level: at full gain in the silence, turned down by so many decibels within 50 ms of the sweep's start, released over seconds.</summary>
    internal static void Ride(MadeTake take, double downDb)
    {
        var (envelope, floor) = (0.0, Math.Pow(10, -downDb / 20));
        var threshold = 0.2 * take.SweepRatio;
        for (var n = 0; n < take.Microphone.Length; n++)
        {
            var level = Math.Abs(take.Microphone[n]);
            envelope += (level > envelope ? 1 / (0.05 * Rate) : 1 / (2.0 * Rate)) * (level - envelope);
            var gain = envelope <= threshold ? 1 : Math.Max(floor, threshold / envelope);
            take.Microphone[n] *= gain;
        }
    }

    /// <summary>The same on the loopback channel: the gain falls by so many decibels over the sweep.</summary>
    internal static void RideLoopback(MadeTake take, double downDb)
    {
        for (var n = 0; n < take.Reference.Length; n++)
        {
            var part = Math.Clamp((double)(n - take.Stimulus.SweepStart) / (take.Stimulus.SweepEnd - take.Stimulus.SweepStart), 0, 1);
            take.Reference[n] *= Math.Pow(10, -downDb * part / 20);
        }
    }

    /// <summary>Noise suppression: everything before the sweep and after its sound is so many decibels weaker.</summary>
    internal static void Gate(MadeTake take, double downDb)
    {
        var (gain, envelope) = (Math.Pow(10, -downDb / 20), 0.0);
        for (var n = 0; n < take.Microphone.Length; n++)
        {
            envelope = Math.Max(Math.Abs(take.Microphone[n]), envelope * Math.Exp(-1 / (0.05 * Rate)));
            if (envelope < 4.5 * take.NoiseRatio + 2 * take.HumRatio) take.Microphone[n] *= gain;
        }
    }

    internal static void Relabel(MadeTake take, double toHz)
    {
        (take.Microphone, take.Reference) = (Fit(take.Microphone), Fit(take.Reference));

        double[] Fit(double[] channel)
        {
            var other = Resampling.ToRate(channel, Rate, (int)toHz);
            Array.Resize(ref other, channel.Length);
            return other;
        }
    }

    private static void Burst(MadeTake take, double levelDb, RecursiveFilter filter, double decaySeconds)
    {
        var (at, burst) = (Moment(take), new double[(int)(0.4 * Rate)]);
        for (var n = 0; n < burst.Length; n++) burst[n] = take.Random.NextGaussian();
        burst = filter.Apply(burst);
        var loudest = 0.0;
        for (var n = 0; n < burst.Length; n++)
        {
            burst[n] *= Math.Exp(-n / (decaySeconds * Rate)) * Math.Min(1, n / 200.0);
            if (n < 2048) loudest += burst[n] * burst[n] / 2048;
        }
        var gain = take.SweepRatio * Math.Pow(10, levelDb / 20) / Math.Sqrt(loudest);
        for (var n = 0; n < burst.Length && at + n < take.Microphone.Length; n++) take.Microphone[at + n] += gain * burst[n];
    }

    private static void Mix(double[] into, double[] other, double levelDb)
    {
        var gain = Math.Sqrt(into.Sum(x => x * x) / other.Sum(x => x * x)) * Math.Pow(10, levelDb / 20);
        for (var n = 0; n < into.Length; n++) into[n] += gain * other[n];
    }
}
