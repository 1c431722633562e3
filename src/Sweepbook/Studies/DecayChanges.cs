// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Seats;

namespace Sweepbook.Studies;

/// <summary>Decay times in octaves before and after: at each seat, and their arithmetic mean over the seats that have both.</summary>
/// <remarks>
/// The ± is twice what both figures have by the chance of a noise-like decay (see <see cref="DecayValue.Uncertainty"/>): where microphone and furniture stay, the same decay comes out
/// again far more closely, so a change beyond it is one. A curved decay is compared all the same, and its remark stands beside it. Source: ISO 3382-2:2008 by way of the decays themselves.
/// </remarks>
internal static class DecayChanges
{
    private const double Coverage = 2;
    private static readonly (ChangedQuantity Quantity, DecayQuantity Figure)[] s_figures = [(ChangedQuantity.Edt, DecayQuantity.Edt), (ChangedQuantity.T20, DecayQuantity.T20)];

    internal static IEnumerable<SeatChange> Of(IReadOnlyList<ChangePair> pairs, ChangeContext context)
    {
        var found = pairs.Select(pair => (Pair: pair, Decays: context.DecaysOf(pair))).Where(entry => entry.Decays is not null).Select(entry => (entry.Pair, entry.Decays!.Value.Before, entry.Decays.Value.After)).ToList();
        foreach (var (pair, before, after) in found)
            foreach (var row in Rows(pair, pair.Before.Seat, before.Octaves, after.Octaves)) yield return row;
        foreach (var group in found.Where(entry => entry.Pair.Before.Seat.Length > 0).GroupBy(entry => (ChangePairs.SourceKey(entry.Pair.Before), entry.Pair.Before.Microphone, entry.Pair.Take.Stimulus, entry.Pair.Take.DriveDb)))
        {
            var places = group.DistinctBy(entry => entry.Pair.Before.Seat).ToList();
            if (places.Count < 2 || !HaveSameBands(places.Select(entry => entry.Before)) || !HaveSameBands(places.Select(entry => entry.After))) continue;
            foreach (var row in Rows(places[0].Pair, DecayResult.MeanSeat, BandDecays.ArithmeticMean([.. places.Select(entry => entry.Before.Octaves)]), BandDecays.ArithmeticMean([.. places.Select(entry => entry.After.Octaves)])))
                yield return row;
        }
    }

    private static bool HaveSameBands(IEnumerable<DecayResult> places) => places.Select(place => string.Join(' ', place.Octaves.Select(octave => octave.Band.Label))).Distinct().Count() == 1;

    private static IEnumerable<SeatChange> Rows(ChangePair pair, string seat, BandDecays before, BandDecays after)
    {
        foreach (var octave in before)
        {
            if (after.FirstOrDefault(other => other.Band == octave.Band) is not { } later) continue;
            foreach (var (quantity, figure) in s_figures)
            {
                var (mine, theirs) = (octave[figure], later[figure]);
                var row = pair.Row(quantity, "s") with { Seat = seat, Label = octave.Band.Label, FromHz = octave.Band.LowerHz, ToHz = octave.Band.UpperHz };
                yield return row with
                {
                    Before = mine.IsValid ? mine.Value : double.NaN,
                    After = theirs.IsValid ? theirs.Value : double.NaN,
                    Repeatability = Coverage * Math.Sqrt(mine.Uncertainty * mine.Uncertainty + theirs.Uncertainty * theirs.Uncertainty),
                    Basis = mine.IsValid && theirs.IsValid ? "chance of the decay" : "",
                    Reason = Remarks(mine, theirs),
                };
            }
        }
    }

    private static string Remarks(DecayValue before, DecayValue after) => string.Join("; ",
        new[] { string.IsNullOrEmpty(before.Reason) ? "" : $"before: {before.Reason}", string.IsNullOrEmpty(after.Reason) ? "" : $"after: {after.Reason}" }.Where(text => text.Length > 0));
}
