// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Files;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>A take as the interface would have recorded it, and the truth behind it.</summary>
internal sealed class SimulatedTake
{
    private readonly SimulatedSystem _system;
    private readonly RoomPath _path;

    public SimulatedTake(SimulatedSystem system, PlannedTake plan, RoomPath path, double[] microphone, double[] loopback, int latencySamples) =>
        (_system, Plan, _path, Microphone, Loopback, LatencySamples) = (system, plan, path, microphone, loopback, latencySamples);

    public PlannedTake Plan { get; }

    /// <summary>Channel 1, before it is cut to full scale and rounded.</summary>
    public double[] Microphone { get; }

    /// <summary>Channel 2; empty where there is none.</summary>
    public double[] Loopback { get; }

    public int LatencySamples { get; }

    /// <summary>How a take without a loopback was recorded; null where it has one.</summary>
    public RecorderTruth? Recorder { get; init; }

    /// <summary>Distance over speed of sound plus the source's own processing delay.</summary>
    public double ArrivalSeconds => _path.ArrivalSeconds + Plan.Source.DelaySeconds;

    /// <summary>Pressure at the seat over digital signal, as an ideal microphone at this input gain would deliver it: no noise, no distortion.</summary>
    public Complex TrueResponseAt(double frequencyHz) =>
        _system.SourceOf(Plan.Source).ResponseAt(frequencyHz) * _path.ResponseAt(frequencyHz) * Decibels.ToAmplitudeRatio(_system.Plan.Interface.InputGainDb);

    /// <summary>The same as this survey's microphone delivers it, before any correction.</summary>
    public Complex UncorrectedResponseAt(double frequencyHz) => TrueResponseAt(frequencyHz) * _system.Microphone.ResponseAt(frequencyHz);

    public Recording ToRecording() => new(_system.SampleRateHz, Recorder is null ? [Cut(Microphone), Cut(Loopback)] : [Cut(Microphone)]);

    private static double[] Cut(double[] samples) => [.. samples.Select(value => Math.Clamp(value, -1, 1))];
}
