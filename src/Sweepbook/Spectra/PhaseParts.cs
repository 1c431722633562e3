// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Spectra;

/// <summary>The phase of a response over frequency, taken apart: what its level implies (minimum phase), and what it has beyond that (excess phase: delay, all-pass, reflections stronger than the direct sound).</summary>
/// <remarks>
/// Phases are in degrees and not wrapped; a delay falls. Only the minimum phase can be undone by an equaliser that is stable and causal. Misleads near the ends of the band: minimum phase depends on
/// the level at all frequencies, also those that nobody measured, where the level is taken to go on as it does in the outermost octave.
/// Source: A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, sections 5.6 and 12.2.
/// </remarks>
public sealed class PhaseParts
{
    private readonly double[] _minimumRadians, _excessRadians, _delaySeconds, _minimumDelaySeconds;

    /// <summary>The parts, one value per grid point; the arrays are taken over.</summary>
    internal PhaseParts(LogGrid grid, double[] minimumRadians, double[] excessRadians, double[] delaySeconds, double[] minimumDelaySeconds)
    {
        (Grid, _minimumRadians, _excessRadians, _delaySeconds, _minimumDelaySeconds) = (grid, minimumRadians, excessRadians, delaySeconds, minimumDelaySeconds);
        var sorted = ExcessDelaysMs();
        Array.Sort(sorted);
        CommonDelaySeconds = (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2000;
    }

    /// <summary>The frequencies.</summary>
    public LogGrid Grid { get; }

    /// <summary>The delay that is common to most frequencies: the median of the excess group delay, in seconds after the time zero.</summary>
    /// <remarks>Of a full-band source seen through a short window, its arrival; with a room's reflections in it, later; of a subwoofer no distance, because its pulse is as long as the way. Own choice: a median is not moved by the spikes that dips make.</remarks>
    public double CommonDelaySeconds { get; }

    /// <summary>All of the phase in degrees, from the time zero; a copy the caller owns.</summary>
    public double[] PhasesDegrees() => [.. _minimumRadians.Zip(_excessRadians, (minimum, excess) => Degrees(minimum + excess))];

    /// <summary>Minimum phase in degrees; a copy the caller owns.</summary>
    public double[] MinimumPhasesDegrees() => [.. _minimumRadians.Select(Degrees)];

    /// <summary>Excess phase in degrees, from the time zero; a copy the caller owns.</summary>
    public double[] ExcessPhasesDegrees() => [.. _excessRadians.Select(Degrees)];

    /// <summary>Excess phase in degrees without <see cref="CommonDelaySeconds"/>; a copy the caller owns.</summary>
    public double[] ExcessPhasesWithoutDelayDegrees() =>
        [.. _excessRadians.Select((excess, k) => Degrees(excess + 2 * Math.PI * Grid[k] * CommonDelaySeconds))];

    /// <summary>Group delay −dφ/dω in milliseconds after the time zero; a copy the caller owns.</summary>
    /// <remarks>
    /// Exact at each frequency: Re(Σ n·h[n]·e^(−jωn) / Σ h[n]·e^(−jωn)), no differences of phases. Misleads in dips, where it runs away to either side: the energy does
    /// not arrive then. Negative values there are no sign of an error. Source: derived, the derivative of the transform.
    /// </remarks>
    public double[] GroupDelaysMs() => [.. _delaySeconds.Select(Milliseconds)];

    /// <summary>Group delay of the minimum phase in milliseconds; a copy the caller owns.</summary>
    public double[] MinimumDelaysMs() => [.. _minimumDelaySeconds.Select(Milliseconds)];

    /// <summary>Excess group delay in milliseconds after the time zero: flat where the response is minimum phase and merely late; a copy the caller owns.</summary>
    public double[] ExcessDelaysMs() => [.. _delaySeconds.Zip(_minimumDelaySeconds, (all, minimum) => Milliseconds(all - minimum))];

    private static double Degrees(double radians) => radians * (180 / Math.PI);

    private static double Milliseconds(double seconds) => seconds * 1000;
}
