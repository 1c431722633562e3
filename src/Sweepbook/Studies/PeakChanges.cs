// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Decay;
using Sweepbook.Seats;

namespace Sweepbook.Studies;

/// <summary>Slow peaks of the bass that stayed, went or came, and how long each lasts both times.</summary>
/// <remarks>
/// A peak and one of the other side within 1/24 octave are the same. Where the other side has none, the decay of that very frequency is read from its map, so that a peak which falls just short of being one
/// there is not called gone: it has changed only where its decay has. Doubtful decays (window, noise, beats) are compared and never called significant. What a microphone put back explains of a
/// decay is not known and not in the ±: a decay belongs to the room, but which of two close resonances rules it does not. Source: own definition; see <see cref="DecayMap.SlowPeaks"/>.
/// </remarks>
internal static class PeakChanges
{
    internal const string BeforeOnly = "stands out before only", AfterOnly = "stands out after only";
    private const string BeforeDoubt = "before: ", AfterDoubt = "after: ";
    private const double SameOctaves = 1 / 24.0, Coverage = 2;
    private const double LeastChange = 0.1;   // own choice: of the longer decay; less is nothing to speak of

    internal static IEnumerable<SeatChange> Of(ChangePair pair)
    {
        var (left, lists) = (pair.After.SlowPeaks.ToList(), (Before: new Lazy<DecayMap?>(pair.Before.BassDecay), After: new Lazy<DecayMap?>(pair.After.BassDecay)));
        foreach (var peak in pair.Before.SlowPeaks)
        {
            var same = left.Where(other => Math.Abs(Math.Log2(other.FrequencyHz / peak.FrequencyHz)) <= SameOctaves).OrderBy(other => Math.Abs(other.FrequencyHz - peak.FrequencyHz)).Cast<SlowPeak?>().FirstOrDefault();
            if (same is { } found) left.Remove(found);
            yield return same is { } later ? Row(pair, peak.FrequencyHz, Of(peak), Of(later), "") : Row(pair, peak.FrequencyHz, Of(peak), Read(lists.After.Value, peak.FrequencyHz), BeforeOnly);
        }
        foreach (var peak in left)
            yield return Row(pair, peak.FrequencyHz, Read(lists.Before.Value, peak.FrequencyHz), Of(peak), AfterOnly);
    }

    /// <summary>True where it stands out on one side only, and its decay there is sure.</summary>
    internal static bool WentOrCame(SeatChange row) => row.Quantity == ChangedQuantity.SlowPeak
        && (row.Reason.StartsWith(BeforeOnly, StringComparison.Ordinal) ? !row.Reason.Contains(BeforeDoubt, StringComparison.Ordinal)
            : row.Reason.StartsWith(AfterOnly, StringComparison.Ordinal) && !row.Reason.Contains(AfterDoubt, StringComparison.Ordinal));

    private static (double Seconds, double Sd, string Doubt) Of(SlowPeak peak) => (peak.DecaySeconds, peak.DecaySdSeconds, peak.Doubt.Sentence ?? "");

    /// <summary>The decay of one frequency of a map that is no peak of its own.</summary>
    private static (double Seconds, double Sd, string Doubt) Read(DecayMap? map, double frequencyHz)
    {
        if (map is null || frequencyHz < map.FrequenciesHz[0] || frequencyHz > map.FrequenciesHz[^1]) return (double.NaN, double.NaN, "nothing may be believed there");
        var at = Enumerable.Range(0, map.FrequenciesHz.Count).MinBy(k => Math.Abs(map.FrequenciesHz[k] - frequencyHz));
        double[] levels = [.. Enumerable.Range(0, map.SliceSeconds.Count).Select(slice => map.LevelDb(slice, at))];
        return MapLine.Through(levels, [.. map.SliceSeconds], map.NoiseDb(at), map.WindowSecondsAt(at)) is { } line
            ? (line.DecaySeconds, line.SdSeconds, line.SdSeconds > LeastChange * line.DecaySeconds ? "its level falls in waves" : "")
            : (double.NaN, double.NaN, "too little of a decay to read");
    }

    private static SeatChange Row(ChangePair pair, double frequencyHz, (double Seconds, double Sd, string Doubt) before, (double Seconds, double Sd, string Doubt) after, string what)
    {
        var chance = Coverage * Math.Sqrt(before.Sd * before.Sd + after.Sd * after.Sd);
        var isDoubtful = before.Doubt.Length > 0 || after.Doubt.Length > 0;
        return pair.Row(ChangedQuantity.SlowPeak, "s") with
        {
            Label = frequencyHz.ToString("0.0", CultureInfo.InvariantCulture),
            FromHz = frequencyHz,
            ToHz = frequencyHz,
            Before = before.Seconds,
            After = after.Seconds,
            Repeatability = isDoubtful ? double.NaN : Math.Max(chance, LeastChange * Math.Max(before.Seconds, after.Seconds)),
            Basis = isDoubtful ? "" : "scatter round the decay",
            Reason = string.Join("; ", new[] { what, before.Doubt.Length > 0 ? BeforeDoubt + before.Doubt : "", after.Doubt.Length > 0 ? AfterDoubt + after.Doubt : "" }.Where(text => text.Length > 0)),
        };
    }
}
