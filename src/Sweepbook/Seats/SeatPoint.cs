// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Seats;

/// <summary>One frequency over all seats. Every number is NaN where not all seats can be trusted; the reason then says why.</summary>
/// <param name="FrequencyHz">Frequency in hertz.</param>
/// <param name="PowerMeanDb">Level of the weighted mean power.</param>
/// <param name="LevelMeanDb">Weighted mean of the levels in decibels.</param>
/// <param name="SpreadDb">Standard deviation of the levels over the seats.</param>
/// <param name="RangeDb">Highest less lowest level.</param>
/// <param name="LowestDb">Lowest level read at any seat.</param>
/// <param name="HighestDb">Highest level read at any seat.</param>
/// <param name="IsLowerBound">True where a seat dips into the noise: spread and range are then the smallest that fit the readings, and the means upper bounds.</param>
/// <param name="Reason">Why the seats cannot be compared here; no doubt where they can.</param>
public readonly record struct SeatPoint(
    double FrequencyHz, double PowerMeanDb, double LevelMeanDb, double SpreadDb, double RangeDb, double LowestDb, double HighestDb, bool IsLowerBound, Reason Reason)
{
    /// <summary>True where every seat can be trusted.</summary>
    public bool IsTrusted => Reason.Doubt == Doubt.None;
}
