// SPDX-License-Identifier: MIT
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Subwoofers that speak at different times or the other way round, and loudspeakers whose first swing says nothing about their polarity.</summary>
internal static class DelayFindings
{
    internal static IEnumerable<Finding> Of(Study study) => [.. Subwoofers(study), .. Ambiguous(study)];

    /// <summary>One sentence per pair and setting: the seat that counts most, and the range over the others.</summary>
    private static IEnumerable<Finding> Subwoofers(Study study)
    {
        foreach (var pair in study.RelativeDelays.Where(entry => entry.Delay is not null && DelayStudy.IsSubwoofer(study.Survey, entry.Source) && DelayStudy.IsSubwoofer(study.Survey, entry.ComparedWith))
            .GroupBy(entry => (entry.Source, entry.ComparedWith, entry.Setting, entry.Microphone)))
        {
            var seats = pair.ToList();
            var main = seats.OrderByDescending(entry => study.Survey.Seat(entry.Seat).Weight).First();   // a stable sort: the first of equal weight
            var delay = main.Delay!.Value;
            var ms = seats.Select(entry => entry.Delay!.Value.Seconds * 1000).ToList();
            var over = seats.Count == 1 ? "" : FormattableString.Invariant($"; over the {seats.Count} seats between {ms.Min():0.00} and {ms.Max():0.00} ms");
            var polarity = delay.IsPolarityClear ? $"{delay.PolarityInWords} polarity" : "polarity ambiguous";
            var rest = delay.IsPureDelay ? "" : FormattableString.Invariant(
                $" The two differ by more than a delay: {delay.FitDegrees:0}° of phase (rms) are left, so look at their sum before you set it.");
            yield return new("relative-delay", delay is { IsPolarityClear: true, Polarity: < 0 } ? Severity.Caution : Severity.Note, $"{main.Source} at {main.Seat}", delay.Seconds * 1000, "ms", FormattableString.Invariant(
                $"{main.Source} arrives {Math.Abs(delay.Seconds) * 1000:0.00} ms {(delay.Seconds < 0 ? "earlier" : "later")} than {main.ComparedWith} at {main.Seat}{Setting(study, main)} (± {delay.UncertaintySeconds * 1000:0.00} ms, from the phase between them from {new TrustedBand(delay.FromHz, delay.ToHz, default, default).Words}), {polarity}{over}.{rest}"));
        }
    }

    private static string Setting(Study study, SourceDelay entry) => study.Survey.Settings.Count > 1 ? $" in the setting {entry.Setting}" : "";

    private static IEnumerable<Finding> Ambiguous(Study study)
    {
        foreach (var source in study.Takes.Where(take => take.Arrival is { Polarity: not 0 }).GroupBy(take => take.Take.SourceName))
        {
            var unclear = source.Where(take => !take.Arrival!.Value.IsPolarityClear).ToList();
            if (unclear.Count == 0) continue;
            yield return new("polarity-ambiguous", Severity.Note, source.Key, unclear.Count, "takes", FormattableString.Invariant(
                $"The polarity of {source.Key} is ambiguous in {unclear.Count} of {source.Count()} takes, because its first swing is hardly larger than the one the other way; delays.csv compares it with another source."));
        }
    }
}
