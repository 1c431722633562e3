// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Where the window cut off more than a hundredth of the energy of a room's response.</summary>
internal static class TruncationMask
{
    private const double MostLostDb = -20;   // design, "What may be believed": window; costs up to 0.04 dB of the third octave, more of a single resonance

    internal static TrustMask Of(IReadOnlyList<TakeAnalysis> repeats, double[] thirdOctavePower, LogGrid grid)
    {
        var reasons = new Reason[grid.Count];
        var wantedRatio = Decibels.ToPowerRatio(MostLostDb);
        if (repeats[0].Result.Take.Field == SoundField.Room)
            for (var k = 0; k < reasons.Length; k++)
                if (repeats.Max(repeat => repeat.LostPower[k]) > wantedRatio * thirdOctavePower[k])
                    reasons[k] = new(Doubt.Window, FormattableString.Invariant(
                        $"the decay is longer than the time window of {repeats[0].Window.RightSeconds:0.##} s: more than 1 % of its energy is cut off"));
        return new(grid.FrequenciesHz, reasons);
    }
}
