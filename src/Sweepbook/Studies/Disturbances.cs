// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Studies;

/// <summary>A bump, a door or a voice while the sweep played: a burst in the bands that the sweep and its harmonics leave alone.</summary>
/// <remarks>
/// What happens in the sweep's own octave and above, up to 24 times its frequency, cannot be told from the loudspeaker's distortion here; see
/// <see cref="Breaks"/>. A steady noise that is as loud is the silent block's matter. Source: own definition.
/// </remarks>
internal static class Disturbances
{
    private const double BurstDb = 15;            // above the median of the same band just before: Gaussian noise of five degrees of freedom stays below 10
    private const double AboveSilenceDb = 12;     // and above the silent block, whose few frames scatter
    private const double HarmDb = -32;            // of the sweep's mean power: weaker ones cost less than 0.2 dB even where they fall on the sweep
    private const int AttackFrames = 1;           // a frame overlaps the one before it by half
    private const int BeforeFrames = 4;
    private const int FewestFrames = 4;

    /// <summary>A burst: when it was loudest, and its power over the sweep's mean power, in decibels.</summary>
    internal readonly record struct Burst(double Seconds, double LevelDb);

    internal static Burst? Loudest(TakeEvidence evidence)
    {
        var bands = evidence.Bands;
        if (bands.FirstSweepFrame < 0) return null;
        var sweep = evidence.SweepRatio * evidence.SweepRatio;
        if (!(sweep > 0)) return null;
        var silence = Enumerable.Range(0, bands.Bands).Select(band => bands.Median(band, 0, bands.SilentFrames, FewestFrames, BandPlace.Silent, BandPlace.Silent)).ToArray();
        var (best, bestPower) = (-1, 0.0);
        for (var k = bands.FirstSweepFrame; k <= bands.LastSweepFrame; k++)
        {
            var excess = 0.0;
            for (var band = 0; band < bands.Bands; band++)
            {
                var place = bands.Place[k][band];
                if (place is not (BandPlace.Passed or BandPlace.Ahead)) continue;
                var power = bands.PowerAt(k, band);
                if (power < sweep * Decibels.ToPowerRatio(HarmDb) / bands.Bands || !(power > Decibels.ToPowerRatio(AboveSilenceDb) * silence[band])) continue;
                var before = bands.Median(band, k - AttackFrames - BeforeFrames, k - AttackFrames, FewestFrames, place, BandPlace.Silent);
                if (power > Decibels.ToPowerRatio(BurstDb) * before) excess += power;
            }
            if (excess > bestPower) (best, bestPower) = (k, excess);
        }
        if (best < 0 || bestPower < sweep * Decibels.ToPowerRatio(HarmDb)) return null;
        return new(((double)best * bands.HopSamples + bands.FrameSamples / 2) / evidence.SampleRateHz, Decibels.FromPower(bestPower / sweep));
    }
}
