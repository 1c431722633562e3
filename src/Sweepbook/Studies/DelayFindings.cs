// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Subwoofers that speak at different times or the other way round, and loudspeakers whose first swing says nothing about their polarity.</summary>
internal static class DelayFindings
{
    internal static IEnumerable<Finding> Of(Study study) => [.. Subwoofers(study), .. Ambiguous(study)];

    /// <summary>One sentence per pair and setting: the seat that counts most of those that have a delay, the range over all that have, and how many have none.</summary>
    private static IEnumerable<Finding> Subwoofers(Study study)
    {
        foreach (var pair in study.RelativeDelays.Where(entry => DelayStudy.IsSubwoofer(study.Survey, entry.Source) && DelayStudy.IsSubwoofer(study.Survey, entry.ComparedWith))
            .GroupBy(entry => (entry.Source, entry.ComparedWith, entry.Setting, entry.Microphone)))
        {
            var all = pair.OrderByDescending(entry => study.Survey.Seat(entry.Seat).Weight).ToList();   // a stable sort: the first of equal weight
            var seats = all.Where(entry => entry.Delay is not null).ToList();
            yield return seats.Count == 0 ? None(study, all) : Found(study, all.Count, seats);
        }
    }

    private static Finding None(Study study, List<SourceDelay> all) => new("relative-delay", Severity.Note, all[0].Source, double.NaN, "ms",
        $"No delay of {all[0].Source} after {all[0].ComparedWith} can be believed at {(all.Count == 1 ? all[0].Seat : $"any of the {all.Count} seats")}{Setting(study, all[0])}. {(all.Count == 1 ? "" : $"At {all[0].Seat}: ")}{all[0].WhyNot}");

    private static Finding Found(Study study, int count, List<SourceDelay> seats)
    {
        var main = seats[0];
        var delay = main.Delay!.Value;
        var ms = seats.Select(entry => entry.Delay!.Value.Seconds * 1000).ToList();
        var over = seats.Count == 1 ? "" : FormattableString.Invariant($"; over the {seats.Count} seats that have a delay it lies between {ms.Min():0.0#} and {ms.Max():0.0#} ms");
        var without = (count - seats.Count) switch
        {
            0 => "",
            1 => " At 1 seat no delay can be believed; delays.csv says why.",
            var n => $" At {n} seats no delay can be believed; delays.csv says why.",
        };
        var polarity = delay.IsPolarityClear ? $"{delay.PolarityInWords} polarity" : "polarity ambiguous";
        var from = delay.EarlySeconds > 0 ? "the first swings" : "the phase between them";
        var digits = delay.UncertaintySeconds >= 1e-4 ? "0.0" : "0.00";
        return new("relative-delay", delay is { IsPolarityClear: true, Polarity: < 0 } ? Severity.Caution : Severity.Note, $"{main.Source} at {main.Seat}", delay.Seconds * 1000, "ms", FormattableString.Invariant(
            $"{main.Source} arrives {Milliseconds(Math.Abs(delay.Seconds))} ms {(delay.Seconds < 0 ? "earlier" : "later")} than {main.ComparedWith} at {main.Seat}{Setting(study, main)} (± {Milliseconds(delay.UncertaintySeconds)} ms, from {from} from {new TrustedBand(delay.FromHz, delay.ToHz, default, default).Words}), {polarity}{over}.{without}"));

        string Milliseconds(double seconds) => (seconds * 1000).ToString(digits, CultureInfo.InvariantCulture);
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
