// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Impulses;

/// <summary>What is said about markers.</summary>
internal static class MarkerWords
{
    private const double NothingBelowDb = 14;   // what noise alone reaches
    private const double MaskedByDb = 6;

    internal static string TooWeak(MarkerSighting seen) => seen.SnrDb < NothingBelowDb
        ? FormattableString.Invariant($"no marker was found: at least {Missing(seen)} dB are missing; check that its loudspeaker is on and that the marker's channel goes to it, or set time_zero = \"unknown\" and compare levels only")
        : FormattableString.Invariant($"the marker is {Missing(seen)} dB too weak: it stands {seen.SnrDb:0} dB above the noise and needs {MarkerSighting.WantedDb:0} dB; turn its loudspeaker up or bring it nearer, within what ears and loudspeaker stand, or make the room quieter");

    /// <summary>The same for the repeat, which the sweep's own tail may mask.</summary>
    internal static string RepeatTooWeak(MarkerSighting repeat, MarkerSighting first) => repeat.NoiseRms > first.NoiseRms * Decibels.ToAmplitudeRatio(MaskedByDb)
        ? FormattableString.Invariant($"the marker's repeat is masked by what still sounds there, as the sweep's tail does: {Missing(repeat)} dB are missing; let the repeat start later")
        : repeat.SnrDb < NothingBelowDb
        ? FormattableString.Invariant($"the marker's repeat was not found, though the first was: at least {Missing(repeat)} dB are missing; check that nothing was switched off before it played")
        : FormattableString.Invariant($"the marker's repeat is {Missing(repeat)} dB too weak, though the first was not; check that nothing was switched off before it played");

    internal static string Found(double snrDb, ClockReading clock)
    {
        var above = double.IsFinite(snrDb) ? FormattableString.Invariant($", {snrDb:0} dB above the noise") : "";
        return clock.IsKnown
            ? FormattableString.Invariant($"the marker was found{above}; the recorder's clock is {Math.Abs(clock.Ppm):0.0} ppm {(clock.Ppm < 0 ? "slow" : "fast")}, known to {Within(clock.UncertaintyPpm)}")
            : $"the marker was found{above}; the clock error is not known: {clock.Method}";
    }

    internal static string Within(double uncertaintyPpm) => uncertaintyPpm < 0.01 ? "0.01 ppm or better" : FormattableString.Invariant($"± {uncertaintyPpm:0.##} ppm");

    private static int Missing(MarkerSighting seen) => (int)Math.Ceiling(Math.Clamp(seen.MissingDb, 1, 60));
}
