// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>What recorders, cables and helpful operating systems do to the two channels of a take.</summary>
/// <remarks>Levels refer to the root mean square of the louder half of the channel, which is where the sweep is. Own model.</remarks>
internal static class ChannelDamage
{
    private const double BumpSeconds = 0.05;        // the time in which a blow falls to a third
    private const double BumpHz = 300;
    private const double HoldSeconds = 0.05;
    private const double SuppressedBelowDb = -26;   // what counts as weak, from the sweep's own level

    /// <summary>Damage to the samples, before they become a file.</summary>
    public static void ToSamples(PlannedDamage damage, ref double[] microphone, ref double[] loopback, int sampleRateHz)
    {
        var (half, length) = (microphone.Length / 2, (int)Math.Round(damage.Amount / 1000 * sampleRateHz));
        switch (damage.Kind)
        {
            case DamageKind.RepeatedBuffer:
                foreach (var channel in new[] { microphone, loopback }) channel.AsSpan(half - length, length).CopyTo(channel.AsSpan(half));
                break;
            case DamageKind.Zeros:
                foreach (var channel in new[] { microphone, loopback }) channel.AsSpan(half, length).Clear();
                break;
            case DamageKind.SoftClipped:
                Bend(microphone, damage.Amount);
                break;
            case DamageKind.Bump:
                AddBump(microphone, damage.Amount, sampleRateHz);
                break;
            case DamageKind.ExchangedChannels:
                (microphone, loopback) = (loopback, microphone);
                break;
            case DamageKind.IdenticalChannels:
                loopback = (double[])microphone.Clone();
                break;
            case DamageKind.LeakingLoopback:
                var gain = Decibels.ToAmplitudeRatio(damage.Amount) * Level(loopback) / Level(microphone);
                for (var n = 0; n < loopback.Length; n++) loopback[n] += gain * microphone[n];
                break;
            case DamageKind.NoiseSuppression:
                Suppress(microphone, damage.Amount, sampleRateHz);
                break;
            case DamageKind.LevelRiding:
                foreach (var channel in new[] { microphone, loopback })
                    for (var n = 0; n < channel.Length; n++) channel[n] *= Decibels.ToAmplitudeRatio(-damage.Amount * n / channel.Length);
                break;
        }
    }

    /// <summary>tanh, driven so that the highest crest loses so many decibels.</summary>
    private static void Bend(double[] samples, double compressionDb)
    {
        var (low, high) = (1e-3, 100.0);
        for (var step = 0; step < 80; step++)
        {
            var middle = (low + high) / 2;
            if (Decibels.FromAmplitude(middle / Math.Tanh(middle)) < compressionDb) low = middle;
            else high = middle;
        }
        var peak = samples.Max(Math.Abs);
        for (var n = 0; n < samples.Length; n++) samples[n] = peak / low * Math.Tanh(low * samples[n] / peak);
    }

    private static void AddBump(double[] samples, double levelDb, int sampleRateHz)
    {
        var random = RandomNumbers.For(samples.Length, "bump");
        var (first, blow) = (samples.Length / 3 * 2, new double[Math.Min(samples.Length / 3, (int)(8 * BumpSeconds * sampleRateHz))]);
        for (var n = 0; n < blow.Length; n++) blow[n] = random.NextGaussian();
        blow = RecursiveFilter.LowPass(BumpHz, 2, sampleRateHz).Apply(blow);
        for (var n = 0; n < blow.Length; n++) blow[n] *= Math.Exp(-n / (BumpSeconds * sampleRateHz));
        var gain = Decibels.ToAmplitudeRatio(levelDb) * Level(samples) / Level(blow);
        for (var n = 0; n < blow.Length; n++) samples[first + n] += gain * blow[n];
    }

    private static void Suppress(double[] samples, double weakerDb, int sampleRateHz)
    {
        var (gain, threshold, envelope) = (Decibels.ToAmplitudeRatio(-weakerDb), Level(samples) * Decibels.ToAmplitudeRatio(SuppressedBelowDb), 0.0);
        var fall = Math.Exp(-1 / (HoldSeconds * sampleRateHz));
        for (var n = 0; n < samples.Length; n++)
        {
            envelope = Math.Max(Math.Abs(samples[n]), envelope * fall);
            if (envelope < threshold) samples[n] *= gain;
        }
    }

    private static double Level(double[] samples)
    {
        var squares = samples.Select(sample => sample * sample).Order().ToList();
        return Math.Sqrt(squares.Skip(squares.Count / 2).Average());
    }
}
