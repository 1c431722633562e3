// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;

namespace Sweepbook.Impulses;

/// <summary>By how much the recorder's clock is fast beside the player's, and how well that is known.</summary>
/// <param name="Ppm">Clock error in parts per million; positive where the recorder took too many samples. NaN where not known.</param>
/// <param name="UncertaintyPpm">Standard deviation in parts per million; NaN where not known.</param>
/// <param name="Method">How it was found; where it is not known, why not.</param>
/// <remarks>
/// One number for the whole recording: a clock that drifts while it warms up is not described by it. The default value is a clock that nobody has read.
/// Source: own definition.
/// </remarks>
public readonly record struct ClockReading(double Ppm, double UncertaintyPpm, string Method)
{
    /// <summary>A reading less certain than this is called unknown: clocks of ordinary devices lie within it, and it would say nothing.</summary>
    internal const double MostUncertainPpm = 50;

    /// <summary>True where the number may be used.</summary>
    public bool IsKnown => Method is not null && double.IsFinite(Ppm) && UncertaintyPpm <= MostUncertainPpm;

    /// <summary>The clock error from the sweep alone: a drifting recorder hears the direct sound of later frequencies later, by error · time since the sweep's start.</summary>
    /// <param name="stimulus">What was played.</param>
    /// <param name="recording">One channel, full scale ±1, that holds the whole sweep as a loudspeaker or a cable delivered it; a cut-out of a longer recording will do.</param>
    /// <returns>The reading. It is not known, and <see cref="Method"/> says why, for a subwoofer (the room's own delay is larger than any drift) and where the direct sound does not stand out.</returns>
    /// <exception cref="ArgumentException">The recording is empty.</exception>
    /// <remarks>
    /// Errors from −1000 to +1000 ppm are found. A loudspeaker's own delay is not the same at all frequencies, and nothing tells it from a drift: that, not noise, sets the
    /// uncertainty, some ten parts per million for a sweep of 10 s and less for longer ones. Two markers (<see cref="MarkerTiming"/>) are a thousand times better.
    /// Source: derived; the spectrum of a signal stretched by 1 + e is that of the signal read at f · (1 + e), and the phase of a sweep has the slope −2π · (moment at which f plays).
    /// </remarks>
    public static ClockReading OnSweep(Stimulus stimulus, ReadOnlySpan<double> recording)
    {
        ArgumentNullException.ThrowIfNull(stimulus);
        if (recording.IsEmpty) throw new ArgumentException("Got 0 samples; must be 1 or more.", nameof(recording));
        return SweepDrift.Read(stimulus, recording);
    }

    internal static ClockReading Unknown(string why) => new(double.NaN, double.NaN, why);

    /// <summary>Two readings of one clock, each weighted by the inverse of its variance; the surer one alone where they contradict each other or one is not known.</summary>
    /// <remarks>Never less sure than the surer one. Source: derived, the combination of least variance of two independent readings without bias.</remarks>
    internal ClockReading With(ClockReading other)
    {
        if (!other.IsKnown) return this;
        if (!IsKnown) return other;
        var (own, its) = (UncertaintyPpm * UncertaintyPpm, other.UncertaintyPpm * other.UncertaintyPpm);
        if (own == 0 || its == 0 || Math.Abs(Ppm - other.Ppm) > Contradiction * Math.Sqrt(own + its)) return own <= its ? this : other;
        return new((Ppm * its + other.Ppm * own) / (own + its), Math.Sqrt(own * its / (own + its)), $"{Method}, and {other.Method}");
    }

    private const double Contradiction = 3;   // standard deviations
}
