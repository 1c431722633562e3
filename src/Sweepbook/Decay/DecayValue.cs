// SPDX-License-Identifier: MIT
namespace Sweepbook.Decay;

/// <summary>One figure of a decay, with what it needs to be judged by.</summary>
/// <param name="Quantity">What it is.</param>
/// <param name="Value">The figure, in <paramref name="Unit"/>; NaN where it cannot be given.</param>
/// <param name="Unit"><c>s</c>, <c>dB</c>, <c>ms</c>, or empty for a ratio.</param>
/// <param name="RangeDb">How far the noise, or the end of the record, lies below the start of the decay, in decibels.</param>
/// <param name="NonlinearityPermille">How far the decay is from a straight line, see <see cref="DecayFit"/>; NaN where there is no line.</param>
/// <param name="CurvaturePercent">By how much T30 is longer than T20, in percent; NaN where it is neither of them.</param>
/// <param name="Reason">
/// Why it cannot be given, or what to mind; empty where all is well. It begins with one word that a program may look for. Without a figure: <c>range</c>,
/// <c>narrow</c>, <c>none</c>, or in a survey <c>excitation</c>, <c>loopback</c>, <c>recording</c>. With one: <c>curved</c>, or <c>part</c> for a mean over some of the places.
/// </param>
public readonly record struct DecayValue(
    DecayQuantity Quantity, double Value, string Unit, double RangeDb, double NonlinearityPermille, double CurvaturePercent, string? Reason)
{
    /// <summary>Standard deviation by the chance of a noise-like decay, in the unit of the figure; NaN where it is not known.</summary>
    /// <remarks>
    /// T20 and T30 by the formulas of ISO 3382 for ten averages, which are quoted from memory (fact sheet 4.9); EDT and late as found in own simulations;
    /// clarity, definition and centre time derived for a purely reverberant sound, so that where the direct sound is strong they scatter less. It says nothing
    /// about other places in the room.
    /// </remarks>
    public double Uncertainty { get; init; } = double.NaN;

    /// <summary>True where there is a figure to believe; a curved decay keeps its own and says so.</summary>
    public bool IsValid => double.IsFinite(Value) && Unit is not null;

    /// <summary>The figure with its unit, as a person says it: "0.42 s", or "not given (range …)".</summary>
    public override string ToString() => IsValid
        ? FormattableString.Invariant($"{Value:0.00#} {Unit}").TrimEnd()
        : $"not given ({Reason})";

    internal DecayValue Refused(string reason) => this with { Value = double.NaN, Uncertainty = double.NaN, Reason = reason };
}
