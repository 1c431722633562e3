// SPDX-License-Identifier: MIT
namespace Sweepbook.Seats;

/// <summary>What the squared deviations of the seats are divided by. With three seats the two differ by half, so say which one was used.</summary>
/// <remarks>With unequal weights w the first is Σw, the second Σw − Σw²/Σw, which for equal weights is the number of seats less one.</remarks>
public enum SpreadDivisor
{
    /// <summary>The number of seats: these seats are all there are. The default.</summary>
    Seats,

    /// <summary>One less: these seats stand for all other places in the room.</summary>
    SeatsLessOne,
}
