// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>Room noise that falls by 3 dB per octave, the microphone's own white noise, and mains hum with its harmonics.</summary>
/// <remarks>
/// The room's noise is white noise through a ladder of real poles and zeros, two poles per decade from 5 Hz: within 0.3 dB of −3 dB per octave from
/// 10 Hz to 10 kHz, flat below. Levels are root mean square re a sample value of 1 for noise, and likewise (not peak) for each line of the hum.
/// </remarks>
internal static class NoiseGenerator
{
    private const double LowestPoleHz = 5;
    private const int PolesPerDecade = 2;
    private const int WarmUpSamples = 1 << 14;     // the slowest pole has faded by 10⁻⁴ and less
    private const int EnergySamples = 1 << 16;

    /// <summary>Noise for one microphone channel; each take draws its own.</summary>
    /// <param name="plan">Levels.</param>
    /// <param name="roomGainDb">By how much the room is louder at this place, or this microphone more sensitive.</param>
    /// <param name="length">How many samples.</param>
    /// <param name="sampleRateHz">Their rate.</param>
    /// <param name="random">The take's own numbers.</param>
    /// <param name="heardBy">What the microphone does to the room's noise; null where the plan means it as recorded.</param>
    public static double[] ForMicrophone(PlannedNoise plan, double roomGainDb, int length, int sampleRateHz, RandomNumbers random, MicrophoneModel? heardBy = null)
    {
        var result = Pink(Decibels.ToAmplitudeRatio(plan.RoomDbfs + roomGainDb), length, sampleRateHz, random);
        if (heardBy is not null) result = heardBy.Apply(result);
        AddWhite(result, plan.SelfDbfs, random);
        for (var line = 0; line < plan.MainsDbfs.Count; line++)
        {
            var amplitude = Math.Sqrt(2) * Decibels.ToAmplitudeRatio(plan.MainsDbfs[line]);
            var phase = 2 * Math.PI * random.NextUniform();
            var step = 2 * Math.PI * plan.MainsHz * (line + 1) / sampleRateHz;
            for (var n = 0; n < length; n++) result[n] += amplitude * Math.Sin(step * n + phase);
        }
        return result;
    }

    public static void AddWhite(double[] samples, double levelDbfs, RandomNumbers random)
    {
        var deviation = Decibels.ToAmplitudeRatio(levelDbfs);
        for (var n = 0; n < samples.Length; n++) samples[n] += deviation * random.NextGaussian();
    }

    public static double[] Pink(double rmsRatio, int length, int sampleRateHz, RandomNumbers random)
    {
        var ladder = RecursiveFilter.Ladder(LowestPoleHz, PolesPerDecade, sampleRateHz);
        var impulse = new double[EnergySamples];
        impulse[0] = 1;
        var energy = 0.0;
        foreach (var value in ladder.Apply(impulse)) energy += value * value;
        var white = new double[WarmUpSamples + length];
        for (var n = 0; n < white.Length; n++) white[n] = random.NextGaussian();
        var pink = ladder.Apply(white)[WarmUpSamples..];
        var scale = rmsRatio / Math.Sqrt(energy);
        for (var n = 0; n < pink.Length; n++) pink[n] *= scale;
        return pink;
    }
}
