// SPDX-License-Identifier: MIT
namespace Sweepbook.Studies;

/// <summary>What a fault costs.</summary>
internal enum FaultCost
{
    /// <summary>The response is there but less sure; the take is used and the fault is named.</summary>
    Quality,

    /// <summary>The time zero or the response would be wrong; the take is left out.</summary>
    Take,
}

/// <summary>One fault of a take: what is wrong, and the remedy, in words; with the number behind it.</summary>
/// <param name="Kind">Its kind, lower case with hyphens.</param>
/// <param name="Cost">What it costs.</param>
/// <param name="Problem">What is wrong, without a full stop.</param>
/// <param name="Remedy">What to do, without a full stop.</param>
/// <param name="Value">The number behind it, or NaN.</param>
/// <param name="Unit">Its unit, or nothing.</param>
internal readonly record struct TakeFault(string Kind, FaultCost Cost, string Problem, string Remedy, double Value, string Unit)
{
    /// <summary>As the reason why a take is left out.</summary>
    internal Files.DataFault For(Surveys.Take take) => new(take.File, null, Problem, Remedy + ".");

    /// <summary>As it stands in the tables.</summary>
    internal string Words => $"{Problem}; {Remedy}";
}
