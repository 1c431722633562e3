// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;

namespace Sweepbook.Studies;

/// <summary>By how much one source is later than another at one seat, or why that cannot be said.</summary>
/// <param name="Source">The source whose delay it is.</param>
/// <param name="ComparedWith">The source that it is compared with.</param>
/// <param name="Setting">The setting.</param>
/// <param name="Seat">The seat.</param>
/// <param name="Microphone">The microphone.</param>
/// <param name="Delay">The delay, or null where there is none.</param>
/// <param name="WhyNot">Why there is none, and what to do; null where there is one.</param>
/// <remarks>For what misleads see <see cref="RelativeDelay"/>, which is its source.</remarks>
public readonly record struct SourceDelay(string Source, string ComparedWith, string Setting, string Seat, string Microphone, RelativeDelay? Delay, string? WhyNot)
{
    /// <summary>What the delay leaves of the phase, root mean square in degrees; where there is none, what the best line through the whole of it would leave, or NaN where there is no phase.</summary>
    public double ResidualDegrees { get; init; } = double.NaN;
}
