// SPDX-License-Identifier: MIT
namespace Sweepbook.Trust;

/// <summary>Turns one limit into a mask: everything on the wrong side of it carries the same reason.</summary>
/// <remarks>Comparisons only; it needs no source. The limits themselves are stated where they are computed.</remarks>
public static class Limits
{
    /// <summary>Doubts every frequency below <paramref name="limitHz"/>.</summary>
    /// <param name="frequenciesHz">Rising frequencies in hertz.</param>
    /// <param name="limitHz">First frequency that is believed, in hertz; NaN or −∞ doubts nothing.</param>
    /// <param name="reason">The reason to give.</param>
    public static TrustMask From(ReadOnlySpan<double> frequenciesHz, double limitHz, Reason reason) =>
        Where(frequenciesHz, k => k < limitHz, reason);

    /// <summary>Doubts every frequency above <paramref name="limitHz"/>.</summary>
    /// <param name="frequenciesHz">Rising frequencies in hertz.</param>
    /// <param name="limitHz">Last frequency that is believed, in hertz; NaN or +∞ doubts nothing.</param>
    /// <param name="reason">The reason to give.</param>
    public static TrustMask UpTo(ReadOnlySpan<double> frequenciesHz, double limitHz, Reason reason) =>
        Where(frequenciesHz, k => k > limitHz, reason);

    /// <summary>Doubts every frequency whose value is below what is wanted; NaN values are not doubted.</summary>
    /// <param name="frequenciesHz">Rising frequencies in hertz.</param>
    /// <param name="valuesDb">One value per frequency in decibels, for example a signal-to-noise ratio.</param>
    /// <param name="wantedDb">The least that is believed, in decibels.</param>
    /// <param name="doubt">The kind of doubt.</param>
    /// <param name="sentence">The reason in words.</param>
    /// <exception cref="ArgumentException">The lengths differ.</exception>
    public static TrustMask AtLeast(
        ReadOnlySpan<double> frequenciesHz, ReadOnlySpan<double> valuesDb, double wantedDb, Doubt doubt, string sentence)
    {
        if (frequenciesHz.Length != valuesDb.Length)
            throw new ArgumentException($"Has {valuesDb.Length} values for {frequenciesHz.Length} frequencies.", nameof(valuesDb));
        var reasons = new Reason[frequenciesHz.Length];
        for (var k = 0; k < reasons.Length; k++)
            if (valuesDb[k] < wantedDb) reasons[k] = new(doubt, sentence);
        return new(frequenciesHz, reasons);
    }

    private static TrustMask Where(ReadOnlySpan<double> frequenciesHz, Predicate<double> isDoubtful, Reason reason)
    {
        var reasons = new Reason[frequenciesHz.Length];
        for (var k = 0; k < reasons.Length; k++)
            if (isDoubtful(frequenciesHz[k])) reasons[k] = reason;
        return new(frequenciesHz, reasons);
    }
}
