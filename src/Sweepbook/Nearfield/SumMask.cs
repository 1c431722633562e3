// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Nearfield;

/// <summary>Where the sum of cone and port may be believed: where each part may, but noise counts against the sum and not against the part that is quiet there.</summary>
/// <remarks>At its tuning a cone hardly moves and its take is noise; the port is loud, and the sum is right all the same. The 20 dB are those of phase and sums elsewhere (design, "What may be believed").</remarks>
internal static class SumMask
{
    private const double WantedDb = 20;

    internal static Response Of(Radiator[] radiators, Response[] scaled, Response sum)
    {
        var (level, phase) = (new Reason[sum.Count], new Reason[sum.Count]);
        var wanted = Decibels.ToPowerRatio(WantedDb);
        for (var k = 0; k < sum.Count; k++)
        {
            var point = sum[k];
            var isQuiet = !(point.PowerRatio >= wanted * point.NoisePowerRatio);   // so that unknown noise is doubted too
            for (var i = 0; i < scaled.Length; i++)
            {
                var reason = scaled[i].PhaseTrust.ReasonAt(k);
                if (reason.Doubt is Doubt.None or Doubt.Noise || phase[k].Doubt is not Doubt.None && phase[k].Doubt <= reason.Doubt) continue;
                phase[k] = new(reason.Doubt, scaled.Length > 1 ? $"{radiators[i].Name}: {reason.Sentence}" : reason.Sentence);
            }
            if (phase[k].Doubt == Doubt.None && isQuiet) phase[k] = new(Doubt.Noise, FormattableString.Invariant($"the noise of all parts together lies within {WantedDb:0} dB of their sum"));
            level[k] = phase[k];
        }
        var frequencies = sum.Grid.FrequenciesHz;
        return sum.Masked(new(frequencies, level), new(frequencies, phase));
    }
}
