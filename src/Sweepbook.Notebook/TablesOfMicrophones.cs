// SPDX-License-Identifier: MIT
using Deedle;
using Sweepbook.Studies;

namespace Sweepbook.Notebook;

public static partial class Tables
{
    /// <summary>One row per microphone that took anything, the most useful for the job first: those that serve the wanted range, then by the width of the band in which they can be believed.</summary>
    /// <param name="study">The study.</param>
    /// <returns>Numbered rows; the verdict has a column where a range is wanted, deviations have theirs where a reference was taken, noise and headroom where a sensitivity is known. NaN where a value is not known.</returns>
    /// <remarks>A wide range at ± 2 dB says nothing about a job that asks for ± 1 dB. Own order; it needs no source.</remarks>
    public static Frame<int, string> Microphones(Study study)
    {
        ArgumentNullException.ThrowIfNull(study);
        var rows = study.Microphones.Where(microphone => microphone.Responses.Count > 0)
            .OrderBy(microphone => microphone.Wanted is not { } verdict ? 0 : verdict.Serves ? 0 : verdict.IsShown ? 2 : 1)
            .ThenByDescending(microphone => microphone.Range.Band.IsEmpty ? 0 : microphone.Range.ToHz / microphone.Range.FromHz).ToArray();
        var compared = rows.Select(microphone => microphone.Comparisons.OrderByDescending(comparison => comparison.Band.ToHz / comparison.Band.FromHz).FirstOrDefault()).ToArray();
        return Of(rows.Length,
        [
            Column("microphone", rows.Select(microphone => microphone.Id)),
            Column("from (Hz)", rows.Select(microphone => Rounded(microphone.Range.FromHz, 1))),
            Column("to (Hz)", rows.Select(microphone => Rounded(microphone.Range.ToHz, 0))),
            .. rows.Any(microphone => microphone.Wanted is not null) ? new[] { Column("serves", rows.Select(microphone => microphone.Wanted?.Word ?? "")) } : [],
            .. compared.Any(comparison => comparison is not null)
                ? new[]
                {
                    Column("bottom octave (dB)", compared.Select(comparison => Rounded(comparison?.BottomOctave.DeviationDb ?? double.NaN, 1))),
                    Column("next to top (dB)", compared.Select(comparison => Rounded(comparison?.TopOctaves is [var lower, _] ? lower.DeviationDb : double.NaN, 1))),
                    Column("top octave (dB)", compared.Select(comparison => Rounded(comparison?.TopOctaves is [.., var top] ? top.DeviationDb : double.NaN, 1))),
                }
                : [],
            .. rows.Any(microphone => double.IsFinite(microphone.Level.EquivalentNoiseDba)) ? new[] { Column("noise, room included (dB(A))", rows.Select(microphone => Rounded(microphone.Level.EquivalentNoiseDba, 1))) } : [],
            .. rows.Any(microphone => microphone.Headroom.IsKnown) ? new[] { Column("headroom (dB)", rows.Select(microphone => Rounded(microphone.Headroom.HeadroomDb, 1))) } : [],
        ]);
    }
}
