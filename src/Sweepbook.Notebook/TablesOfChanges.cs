// SPDX-License-Identifier: MIT
using Deedle;
using Sweepbook.Seats;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Tables
{
    /// <summary>One row per figure of a comparison: before, after, and what of the difference is explained otherwise.</summary>
    /// <param name="comparison">The comparison.</param>
    /// <param name="quantity">Which figures; of spread all, of anything else those that changed significantly.</param>
    /// <returns>Numbered rows, the largest change first; levels and spread in decibels, decays in seconds, delays in milliseconds.</returns>
    public static Frame<int, string> Changes(StudyComparison comparison, ChangedQuantity quantity)
    {
        ArgumentNullException.ThrowIfNull(comparison);
        var rows = comparison.Changes.Where(row => row.Quantity == quantity && (row.IsSignificant || quantity == ChangedQuantity.Spread)).OrderByDescending(row => Math.Abs(row.Difference)).ToArray();
        var unit = quantity switch { ChangedQuantity.Delay => "ms", ChangedQuantity.Edt or ChangedQuantity.T20 or ChangedQuantity.SlowPeak => "s", _ => "dB" };
        var digits = unit == "dB" ? 1 : 2;
        var at = quantity switch   // tables of one page are told apart by their first columns
        {
            ChangedQuantity.Delay => "beside",
            ChangedQuantity.Spread => "over",
            ChangedQuantity.SlowPeak => "slow peak (Hz)",
            ChangedQuantity.Edt or ChangedQuantity.T20 => $"{quantity.ToString().ToUpperInvariant()} in octave (Hz)",
            _ => "third octave (Hz)",
        };
        return Of(rows.Length,
        [
            Column("source", rows.Select(row => row.Source)),
            .. quantity == ChangedQuantity.Spread ? [] : new[] { Column("seat", rows.Select(row => row.Seat)) },
            Column(at, rows.Select(row => row.Label)),
            Column($"before ({unit})", rows.Select(row => Rounded(row.Before, digits))),
            Column($"after ({unit})", rows.Select(row => Rounded(row.After, digits))),
            Column($"change ({unit})", rows.Select(row => Rounded(row.Difference, digits))),
            Column($"explained otherwise (± {unit})", rows.Select(row => Rounded(row.Limit, digits))),
            Column("real", rows.Select(row => row.IsSignificant)),
            Column("remark", rows.Select(row => row.Reason)),
        ]);
    }
}
