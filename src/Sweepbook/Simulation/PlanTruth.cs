// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Simulation;

/// <summary>What the takes of a plan would show if nothing went wrong: one sound path of the invented room in closed form.</summary>
/// <remarks>No noise, no distortion, no microphone, no latency. Source: the sums of modes and images that the simulation is made of; see its classes.</remarks>
internal sealed class PlanTruth
{
    private readonly SourceModel _source;
    private readonly RoomPath _path;
    private readonly double _interfaceGainRatio;

    public PlanTruth(PlannedSurvey plan, string source, string seat)
    {
        var system = new SimulatedSystem(plan);
        var (from, to) = (plan.Sources.FirstOrDefault(item => item.Id == source), plan.Seats.FirstOrDefault(item => item.Id == seat));
        if (from?.Radiator is not null) throw new ArgumentException($"\"{source}\" is part of a box, which stands at no seat: ask for the response of the box.", nameof(source));
        if (from is null) throw new ArgumentException($"The plan has no source \"{source}\"; it has {string.Join(", ", plan.Sources.Select(item => item.Id))}.", nameof(source));
        if (to is null) throw new ArgumentException($"The plan has no seat \"{seat}\"; it has {string.Join(", ", plan.Seats.Select(item => item.Id))}.", nameof(seat));
        (_source, _path) = (system.SourceOf(from), system.PathOf(from, to));
        _interfaceGainRatio = Decibels.ToAmplitudeRatio(plan.Interface.InputGainDb - (plan.Recorder is null ? plan.Interface.LoopbackGainDb : 0));
    }

    public Complex At(double frequencyHz) => _source.ResponseAt(frequencyHz) * _path.ResponseAt(frequencyHz) * _interfaceGainRatio;
}
