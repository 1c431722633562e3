// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>How well the time zero of a take is known, and up to which frequency its phase may therefore be believed.</summary>
/// <remarks>
/// Loopback: dividing by the reference channel puts its noise into the time zero; the Cramér–Rao bound for the delay of a known spectrum in noise,
/// σ = 1 / √(2 Σ ω² · signal-to-noise) over the bins of the record, is what that costs. A skew between the two inputs is not in it: it is the same in every take
/// and cancels in sums. Stated: half a sample, because nobody states it better than to the sample.
/// Source: S. M. Kay, "Fundamentals of Statistical Signal Processing: Estimation Theory" (1993), example 3.13 (range estimation), from memory; tested on simulated noise.
/// </remarks>
internal static class TimeZeroMask
{
    private const double AllowedDegrees = 10;   // design, "What may be believed": time zero

    /// <param name="loopbackSnrDb">Signal-to-noise ratio of the reference channel per grid point and bin of the record.</param>
    /// <param name="grid">Frequencies.</param>
    /// <param name="recordSeconds">Length of the record: its bins lie 1 / length apart.</param>
    internal static double UncertaintySecondsOf(double[] loopbackSnrDb, LogGrid grid, double recordSeconds)
    {
        if (loopbackSnrDb.Length == 0) return double.NaN;
        var (information, cellRatio) = (0.0, Math.Pow(2, 0.5 / grid.PointsPerOctave) - Math.Pow(2, -0.5 / grid.PointsPerOctave));
        for (var k = 0; k < loopbackSnrDb.Length; k++)
        {
            var bins = grid[k] * cellRatio * recordSeconds;
            information += 2 * bins * Math.Pow(2 * Math.PI * grid[k], 2) * Math.Max(0, Decibels.ToPowerRatio(loopbackSnrDb[k]) - 1);   // the ratio's signal contains the noise once
        }
        return 1 / Math.Sqrt(information);
    }

    internal static double UncertaintySecondsOfStated(int sampleRateHz) => 0.5 / sampleRateHz;

    internal static TrustMask Of(TimeZero timeZero, double uncertaintySeconds, LogGrid grid)
    {
        if (timeZero == TimeZero.Unknown)
            return Limits.From(grid.FrequenciesHz, double.PositiveInfinity, new(Doubt.TimeZero, "the time zero of this take is not known"));
        var limitHz = AllowedDegrees / (360 * uncertaintySeconds);   // NaN where not known: a take without a silent block is doubted for its noise already
        return Limits.UpTo(grid.FrequenciesHz, limitHz, new(Doubt.TimeZero, FormattableString.Invariant(
            $"the time zero is known to {Microseconds(uncertaintySeconds)}, which is {AllowedDegrees:0}° at {TakeLimits.Hertz(limitHz)}")));
    }

    private static string Microseconds(double seconds) => FormattableString.Invariant($"± {seconds * 1e6:0.##} µs");
}
