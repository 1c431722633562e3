// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Where hiss or hum comes too close to the signal, each with its own reason.</summary>
internal static class NoiseMask
{
    /// <summary>The mask for one use.</summary>
    /// <param name="grid">Frequencies.</param>
    /// <param name="snrDb">Signal over all noise; NaN where unknown, which is not doubted here.</param>
    /// <param name="repeats">The takes behind it, with what hums in them.</param>
    /// <param name="wantedDb">The least that is believed.</param>
    internal static TrustMask Of(LogGrid grid, double[] snrDb, IReadOnlyList<TakeAnalysis> repeats, double wantedDb)
    {
        var reasons = new Reason[grid.Count];
        for (var k = 0; k < reasons.Length; k++)
            if (snrDb[k] < wantedDb) reasons[k] = HumAt(repeats, k, grid[k]) is { } humHz ? Hum(humHz, wantedDb) : new(Doubt.Noise, Within("noise", wantedDb));
        return new(grid.FrequenciesHz, reasons);
    }

    internal static string Within(string what, double wantedDb) => FormattableString.Invariant($"{what} may come within {wantedDb:0} dB of the signal");

    private static Reason Hum(double humHz, double wantedDb) => new(Doubt.Hum, Within($"mains hum at {TakeLimits.Hertz(humHz)}", wantedDb));

    /// <summary>The line nearest to a frequency where hum is stronger than the rest of the noise, or null.</summary>
    private static double? HumAt(IReadOnlyList<TakeAnalysis> repeats, int k, double frequencyHz)
    {
        var (hum, hiss) = (0.0, 0.0);
        foreach (var noise in repeats.Select(repeat => repeat.Noise).Where(noise => noise is not null)) (hum, hiss) = (hum + noise!.Hum[k], hiss + noise.Hiss[k]);
        return hum > hiss ? repeats.SelectMany(repeat => repeat.Noise?.HumAtHz ?? []).MinBy(lineHz => Math.Abs(lineHz - frequencyHz)) : null;
    }
}
