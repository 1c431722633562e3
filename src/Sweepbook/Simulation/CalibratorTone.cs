// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>The recording of a calibrator on the capsule of a microphone: a steady tone, the room shut out for the most part, hiss and hum of the input.</summary>
/// <remarks>Levels count as everywhere here: 0 dBFS is a sine that just reaches full scale. Own model; it needs no source.</remarks>
internal static class CalibratorTone
{
    private const double RoomShutOutDb = 20;   // own choice: the cavity fits tightly

    public static string FileOf(PlannedMicrophone microphone) => $"takes/calibrator_{microphone.Id}.wav";

    public static Recording Record(SimulatedSystem system, PlannedMicrophone microphone)
    {
        var (plan, calibrator, rate) = (system.Plan, system.Plan.Calibrator!, system.SampleRateHz);
        var random = RandomNumbers.For(plan.Seed, $"calibrator_{microphone.Id}");
        var (amplitude, step, phase) = (Decibels.ToAmplitudeRatio(microphone.SensitivityDbfs + calibrator.LevelDb - 94), 2 * Math.PI * calibrator.FrequencyHz / rate, 2 * Math.PI * random.NextUniform());
        var warmUp = rate;   // the tone was on before recording started
        var tone = new double[warmUp + (int)Math.Round(calibrator.LengthSeconds * rate)];
        for (var n = 0; n < tone.Length; n++) tone[n] = amplitude * Math.Sin(step * n + phase);
        var samples = system.ModelOf(microphone).Apply(tone)[warmUp..];
        var noise = system.NoiseOf(microphone, -RoomShutOutDb, samples.Length, random);
        for (var n = 0; n < samples.Length; n++) samples[n] = Math.Clamp(samples[n] + noise[n], -1, 1);
        return new(rate, [samples]);
    }
}
