// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Files;

namespace Sweepbook.Simulation;

/// <summary>A take as the interface would have recorded it, and the truth behind it.</summary>
internal sealed class SimulatedTake
{
    private readonly SimulatedSystem _system;
    private readonly ISimulatedSound _sound;

    public SimulatedTake(SimulatedSystem system, PlannedTake plan, ISimulatedSound sound, double[] microphone, double[] loopback, int latencySamples) =>
        (_system, Plan, _sound, Microphone, Loopback, LatencySamples) = (system, plan, sound, microphone, loopback, latencySamples);

    public PlannedTake Plan { get; }

    /// <summary>Channel 1, before it is cut to full scale and rounded.</summary>
    public double[] Microphone { get; }

    /// <summary>Channel 2; empty where there is none.</summary>
    public double[] Loopback { get; }

    public int LatencySamples { get; }

    /// <summary>How a take without a loopback was recorded; null where it has one.</summary>
    public RecorderTruth? Recorder { get; init; }

    /// <summary>Distance over speed of sound plus the source's own processing delay.</summary>
    public double ArrivalSeconds => _sound.ArrivalSeconds + Plan.Source.DelaySeconds;

    /// <summary>Pressure at the seat over digital signal, as an ideal microphone at this input gain would deliver it: no noise, no distortion.</summary>
    public Complex TrueResponseAt(double frequencyHz) =>
        _sound.ResponseAt(frequencyHz) * _system.InputGainRatioOf(Plan.Microphone);

    /// <summary>The same as the take's microphone delivers it, before any correction.</summary>
    public Complex UncorrectedResponseAt(double frequencyHz) => TrueResponseAt(frequencyHz) * _system.ModelOf(Plan.Microphone).ResponseAt(frequencyHz);

    public Recording ToRecording() => new(_system.SampleRateHz, Loopback.Length > 0 ? [Cut(Microphone), Cut(Loopback)] : [Cut(Microphone)]);

    private static double[] Cut(double[] samples) => [.. samples.Select(value => Math.Clamp(value, -1, 1))];
}
