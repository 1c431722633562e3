// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>What there is to say about the recorders' clocks: large errors that were taken out, and those that nobody knows.</summary>
internal static class ClockFindings
{
    private const double WorthSayingPpm = 20;    // own choice: two good clocks beside each other differ by less
    private const double OrdinaryPpm = 50;       // a usual difference of two ordinary clocks

    internal static IEnumerable<Finding> Of(Study study)
    {
        var used = study.Takes.Where(take => take.IsUsed).ToList();
        var corrected = used.Where(take => Math.Abs(take.ClockPpm) >= WorthSayingPpm).ToList();
        if (corrected.Count > 0)
        {
            var (low, high) = (corrected.Min(take => take.ClockPpm), corrected.Max(take => take.ClockPpm));
            var size = high - low < 0.1 ? FormattableString.Invariant($"by {high:+0.0;−0.0} ppm") : FormattableString.Invariant($"by {low:+0.0;−0.0} to {high:+0.0;−0.0} ppm");
            yield return new("clock-error", Severity.Note, corrected.Count == 1 ? corrected[0].Take.File : "survey", Math.Abs(low) > Math.Abs(high) ? low : high, "ppm",
                $"The recorder's clock differed from the player's {size} in {(corrected.Count == 1 ? "one take" : $"{corrected.Count} takes")}; this was removed before the analysis (+ means that the recorder ran fast).");
        }
        foreach (var take in used.Where(take => take.TimeZero == TimeZero.Marker && double.IsNaN(take.ClockPpm)))
            yield return new("clock-unknown", Severity.Caution, take.Take.File, take.PhaseCostDegrees, "degrees",
                FormattableString.Invariant($"{take.Take.File}: the clock error is not known: {take.ClockMethod}. An ordinary one of {OrdinaryPpm:0} ppm turns the phase by {take.PhaseCostDegrees:0}° at the top of the band; record with a marker before and after the sweep."));
    }

    /// <summary>ε · T · f in degrees, for an ordinary clock error ε, T from the marker to the sweep's end.</summary>
    internal static double CostDegrees(double seconds, double frequencyHz) => 360 * OrdinaryPpm * 1e-6 * seconds * frequencyHz;
}
