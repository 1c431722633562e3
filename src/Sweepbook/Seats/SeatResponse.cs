// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;

namespace Sweepbook.Seats;

/// <summary>What one seat hears of a source, and how much that seat counts.</summary>
/// <param name="Seat">Name of the seat.</param>
/// <param name="Response">Its response.</param>
/// <param name="Weight">How much it counts, linear, in [0, ∞): 1 for an ordinary seat, 0 for one that is only looked at.</param>
public readonly record struct SeatResponse(string Seat, Response Response, double Weight = 1);
