// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;

namespace Sweepbook.Studies;

/// <summary>How far the recorder's clock was off, for a take that is cut out of a recording made elsewhere.</summary>
/// <remarks>An error no larger than twice its own uncertainty is not written down: removing it would do as much harm as good. Source: see <see cref="ClockReading"/>.</remarks>
internal static class ImportedClock
{
    private const double WorthDeviations = 2;

    /// <summary>The error worth writing down, in parts per million, above zero for a fast clock; null where it is not known, or not told from none.</summary>
    internal static double? Ppm(Stimulus stimulus, ReadOnlySpan<double> samples, List<string> remarks)
    {
        var reading = ClockReading.OnSweep(stimulus, samples);
        if (!reading.IsKnown)
        {
            remarks.Add($"The recorder's clock: not known ({reading.Method}).");
            return null;
        }
        if (Math.Abs(reading.Ppm) <= WorthDeviations * reading.UncertaintyPpm)
        {
            remarks.Add(string.Create(CultureInfo.InvariantCulture, $"The recorder's clock: right within {WorthDeviations * reading.UncertaintyPpm:0} ppm."));
            return null;
        }
        remarks.Add(string.Create(CultureInfo.InvariantCulture,
            $"The recorder's clock: {Math.Abs(reading.Ppm):0} ppm {(reading.Ppm > 0 ? "fast" : "slow")}, ± {WorthDeviations * reading.UncertaintyPpm:0} ppm, told from the sweep; the analysis takes it out (clock_ppm)."));
        return Math.Round(reading.Ppm, 1);
    }
}
