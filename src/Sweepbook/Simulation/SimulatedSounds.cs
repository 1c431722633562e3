// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Simulation;

/// <summary>Sound at one place while a source plays, and its truth.</summary>
internal interface ISimulatedSound
{
    /// <summary>When the direct sound is there, from the moment it leaves.</summary>
    double ArrivalSeconds { get; }

    /// <summary>Pressure at the place over digital signal, linear part.</summary>
    Complex ResponseAt(double frequencyHz);

    /// <summary>The pressure while a digital signal plays.</summary>
    double[] Apply(double[] digital);
}

/// <summary>A source in the room.</summary>
internal sealed class RoomSound(SourceModel source, RoomPath path) : ISimulatedSound
{
    public double ArrivalSeconds => path.ArrivalSeconds;

    public Complex ResponseAt(double frequencyHz) => source.ResponseAt(frequencyHz) * path.ResponseAt(frequencyHz);

    public double[] Apply(double[] digital) => path.Apply(source.Apply(digital));
}
