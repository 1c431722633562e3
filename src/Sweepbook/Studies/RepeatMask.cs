// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Where repeats of one take disagree by more than three times what their noise explains.</summary>
/// <remarks>
/// Judged over a third of an octave, after the alignment that their mean uses. For levels the magnitudes must disagree, or cancel in the mean; for phase
/// and sums the complex values. With little noise the expectation is minute and any breath of air exceeds it: a disagreement below half a decibel,
/// or the 3.4° of the same size, is therefore let pass. Source: own definition (design, "What may be believed": faults).
/// </remarks>
internal static class RepeatMask
{
    private const double TimesExpectation = 3;
    private const double HarmlessDb = 0.5;   // own choice

    internal static (TrustMask Level, TrustMask Phase) Of(IReadOnlyList<TakeAnalysis> repeats, LogGrid grid)
    {
        var (level, phase) = (new Reason[grid.Count], new Reason[grid.Count]);
        if (repeats.Count > 1 && repeats.All(repeat => repeat.Noise is not null))
        {
            var spread = RepeatSpread.Of([.. repeats.Select(repeat => repeat.Windowed!)], grid);
            var harmless = Math.Pow(Decibels.ToAmplitudeRatio(HarmlessDb) - 1, 2);
            for (var k = 0; k < level.Length; k++)
            {
                var noise = repeats.Sum(repeat => repeat.Noise!.ThirdOctave[k] * repeat.NoiseMarginRatio[k]) / repeats.Count;
                var (allowed, cancels) = (TimesExpectation * TimesExpectation * noise, spread.Loss[k] > Decibels.ToPowerRatio(HarmlessDb));
                var disagree = new Reason(Doubt.Repeats, FormattableString.Invariant($"the {repeats.Count} repeats disagree by more than {TimesExpectation:0} times what their noise explains"));
                if (spread.Complex[k] > allowed && (spread.Complex[k] > harmless * spread.Mean[k] || cancels)) phase[k] = disagree;
                if ((spread.Radial[k] > allowed / 2 && spread.Radial[k] > harmless * spread.Mean[k]) || (spread.Complex[k] > allowed && cancels)) level[k] = disagree;
            }
        }
        return (new(grid.FrequenciesHz, level), new(grid.FrequenciesHz, phase));
    }
}
