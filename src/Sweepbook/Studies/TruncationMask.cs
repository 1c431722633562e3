// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Where the window cut off more than a hundredth of the energy of a room's response.</summary>
internal static class TruncationMask
{
    private const double MostLostDb = -20;   // design, "What may be believed": window; costs up to 0.04 dB of the third octave, more of a single resonance

    /// <param name="repeats">The takes.</param>
    /// <param name="thirdOctavePower">Power of what the window kept, in each third of an octave.</param>
    /// <param name="grid">Frequencies.</param>
    /// <param name="isChosen">True where somebody asked for this window: then it is a remark and no doubt.</param>
    internal static TrustMask Of(IReadOnlyList<TakeAnalysis> repeats, double[] thirdOctavePower, LogGrid grid, bool isChosen = false)
    {
        var reasons = new Reason[grid.Count];
        var wantedRatio = Decibels.ToPowerRatio(MostLostDb);
        if (repeats[0].Result.Take.Field == SoundField.Room)
            for (var k = 0; k < reasons.Length; k++)
                if (repeats.Max(repeat => repeat.LostPower[k]) > wantedRatio * thirdOctavePower[k])
                    reasons[k] = isChosen ? Reason.Remark("only the part of the sound inside the chosen window: more than 1 % of the energy comes later") : new(Doubt.Window, FormattableString.Invariant(
                        $"the decay is longer than the time window of {repeats[0].Window.RightSeconds:0.##} s: more than 1 % of its energy is cut off"));
        return new(grid.FrequenciesHz, reasons);
    }
}
