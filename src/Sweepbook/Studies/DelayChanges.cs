// SPDX-License-Identifier: MIT
using Sweepbook.Seats;

namespace Sweepbook.Studies;

/// <summary>Relative delays of the sources at each seat before and after, and whether their polarity agrees still.</summary>
/// <remarks>
/// What a microphone put back explains: two placings, each within ± 5 cm in every direction, lie 4.1 cm apart along any one (one standard deviation), and the difference of two ways in independent
/// directions changes by √2 as much. Misleads where both sources stand in one direction: then it explains less. Source: own derivation; the delays see <see cref="Impulses.RelativeDelay"/>.
/// </remarks>
internal static class DelayChanges
{
    private const double Coverage = 2;
    private static readonly double s_alongOneWayMetres = Math.Sqrt(2) * UncertaintyOfPosition.OffsetMetres / Math.Sqrt(3);

    internal static IEnumerable<SeatChange> Of(IReadOnlyList<ChangePair> pairs, ChangeContext context)
    {
        foreach (var delay in context.Before.Study.RelativeDelays.Where(delay => delay.Setting == context.Before.Setting))
        {
            if (pairs.FirstOrDefault(pair => pair.Before.Source == delay.Source && pair.Before.Seat == delay.Seat && pair.Before.Microphone == delay.Microphone) is not { } pair) continue;
            var row = pair.Row(ChangedQuantity.Delay, "ms") with { Label = delay.ComparedWith };
            var later = context.After.Study.RelativeDelays.Where(other => other.Setting == context.After.Setting && other.Source == delay.Source && other.Seat == delay.Seat && other.Microphone == delay.Microphone).ToList();
            if (later.Count == 0) continue;
            yield return later.FindIndex(other => other.ComparedWith == delay.ComparedWith) is var at and >= 0 ? Compared(row, delay, later[at], context)
                : row with { Reason = $"compared with {delay.ComparedWith} before and {later[0].ComparedWith} after" };
        }
    }

    private static SeatChange Compared(SeatChange row, SourceDelay before, SourceDelay after, ChangeContext context)
    {
        if (before.Delay is not { } mine || after.Delay is not { } theirs)
            return row with { Before = before.Delay?.Seconds * 1000 ?? double.NaN, After = after.Delay?.Seconds * 1000 ?? double.NaN, Reason = before.WhyNot is { } why ? $"before: {why}" : $"after: {after.WhyNot}" };
        var turned = mine.IsPolarityClear && theirs.IsPolarityClear && mine.Polarity != theirs.Polarity;
        return row with
        {
            FromHz = Math.Max(mine.FromHz, theirs.FromHz),
            ToHz = Math.Min(mine.ToHz, theirs.ToHz),
            Before = mine.Seconds * 1000,
            After = theirs.Seconds * 1000,
            Repeatability = Coverage * 1000 * Math.Sqrt(mine.UncertaintySeconds * mine.UncertaintySeconds + theirs.UncertaintySeconds * theirs.UncertaintySeconds),
            Basis = "noise only",
            SettingUp = context.IsPutBack && before.Seat.Length > 0 ? Coverage * 1000 * Math.Sqrt(2) * s_alongOneWayMetres / context.Before.Study.SpeedOfSoundMetresPerSecond : 0,
            Reason = turned ? $"polarity {mine.PolarityInWords} before, {theirs.PolarityInWords} after" : "",
        };
    }
}
