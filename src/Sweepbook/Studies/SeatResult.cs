// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Surveys;

namespace Sweepbook.Studies;

/// <summary>The seats of one source in one setting with one microphone, brought together because they may be compared.</summary>
/// <remarks>They share stimulus, level reference, drive and input gain. Source: own definition.</remarks>
public sealed class SeatResult
{
    internal SeatResult(Take firstTake, SeatSet seats) => (FirstTake, Seats) = (firstTake, seats);

    /// <summary>What played: source ids joined by "+".</summary>
    public string Source => FirstTake.SourceName;

    /// <summary>The setting.</summary>
    public string Setting => FirstTake.Setting;

    /// <summary>The microphone.</summary>
    public string Microphone => FirstTake.Microphone;

    /// <summary>The seats with their means and their spread.</summary>
    public SeatSet Seats { get; }

    /// <summary>One of the takes behind it, for what all of them share.</summary>
    internal Take FirstTake { get; }
}
