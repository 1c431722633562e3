// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What a time window does to the trusted band, whatever its length at each frequency.</summary>
/// <remarks>
/// Below 1/T nothing, from there to 2/T indicative; and before the arrival two periods, which the ringing of the band limit takes (its left slope then costs less than 0.1 dB; tested).
/// In the free field a window that reaches the first reflection is doubted as a whole. Source: own definition (design, "What may be believed": window, reflections).
/// </remarks>
internal static class WindowMask
{
    private const double LeftPeriods = 2;
    private const double SameLengthRatio = 1 + 1e-9;
    private const double InSecondsFrom = 0.05;

    /// <param name="windowAt">The window at a frequency.</param>
    /// <param name="gate">Where the first reflection is, if it is known.</param>
    /// <param name="frequenciesHz">Frequencies.</param>
    internal static TrustMask Of(Func<double, ImpulseWindow> windowAt, FreeFieldGate gate, ReadOnlySpan<double> frequenciesHz)
    {
        var reasons = new Reason[frequenciesHz.Length];
        for (var k = 0; k < reasons.Length; k++) reasons[k] = At(frequenciesHz[k], windowAt(frequenciesHz[k]), gate);
        return new(frequenciesHz, reasons);
    }

    private static Reason At(double frequencyHz, ImpulseWindow window, FreeFieldGate gate)
    {
        if (gate.IsKnown && window.RightSeconds > gate.Seconds * SameLengthRatio)
            return new(Doubt.Reflection, FormattableString.Invariant($"the time window of {Length(window.RightSeconds)} holds the first reflection ({gate.Surface}), {Length(gate.Seconds)} after the sound"));
        var (kind, what) = gate.IsKnown && window.RightSeconds * SameLengthRatio >= gate.Seconds ? (Doubt.Reflection, gate.Words) : (Doubt.Window, $"the time window of {Length(window.RightSeconds)}");
        if (frequencyHz < window.ResolutionHz) return new(kind, $"{what} resolves nothing below {TakeLimits.Hertz(window.ResolutionHz)}");
        var leftHz = LeftPeriods / window.LeftSeconds;
        var isLeft = frequencyHz < leftHz;
        if (frequencyHz < window.TrustedFromHz && !(isLeft && kind > Doubt.Window))
            return new(kind, $"only indicative below {TakeLimits.Hertz(window.TrustedFromHz)}, where {what} still shapes the curve");
        return isLeft ? new(Doubt.Window, $"the {Length(window.LeftSeconds)} kept before the arrival hold less than two periods below {TakeLimits.Hertz(leftHz)}") : Reason.None;
    }

    private static string Length(double seconds) => seconds >= InSecondsFrom ? FormattableString.Invariant($"{seconds:0.##} s") : FormattableString.Invariant($"{seconds * 1000:0.##} ms");
}
