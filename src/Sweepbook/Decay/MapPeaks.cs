// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Decay;

/// <summary>Finds the slow peaks of a map.</summary>
/// <remarks>
/// Every frequency gets a straight line through its levels, and a mean level over all slices, which a slow one holds up longer than a quick one. Peaks of
/// that mean are taken from the loudest down. One that lies under the skirt which a stronger one spreads through the window is no peak of its own; one
/// that falls faster than the median of half an octave round it, all skirts left out, is not slow.
/// </remarks>
internal static class MapPeaks
{
    private const double FloorBelowTopDb = 60;
    private const double AboveSkirtDb = 3;          // own choice: between a skirt and a resonance of its own that stands on it
    private const double AroundOctaves = 0.5;
    private const double LeastAroundRatio = 0.25;   // of the frequencies there: a few that noise lifts above the skirt are no surroundings
    private const double Deviations = 2;            // of the decay: quicker than its surroundings beyond that is not slow
    private const double NearTheWindow = 2;         // the window's own decay, so many times over, still shapes the result
    private const double ShortRangeDb = 20;
    private const double UnsteadyRatio = 0.2;       // own choice: of the decay, one standard deviation

    public static IReadOnlyList<SlowPeak> Of(DecayMap map)
    {
        var (bins, slices) = (map.FrequenciesHz.Count, map.SliceSeconds.Count);
        var (levels, lines, means, heard) = (new double[bins][], new MapLine?[bins], new double[bins], new double[bins]);
        var seconds = map.SliceSeconds.ToArray();
        var top = double.NegativeInfinity;
        for (var k = 0; k < bins; k++)
        {
            levels[k] = new double[slices];
            for (var i = 0; i < slices; i++) top = Math.Max(top, levels[k][i] = map.LevelDb(i, k));
        }
        for (var k = 0; k < bins; k++)
        {
            var noise = map.NoiseDb(k);
            if (double.IsNaN(noise)) return [];   // nothing to compare with
            lines[k] = MapLine.Through(levels[k], seconds, noise, map.WindowSecondsAt(k));
            heard[k] = Math.Max(noise + MapLine.AboveNoiseDb, top - FloorBelowTopDb);
            foreach (var level in levels[k]) means[k] += Math.Max(level, Math.Max(noise, top - FloorBelowTopDb)) / slices;
        }
        var kept = new List<int>();
        foreach (var k in Candidates(map, means).OrderByDescending(k => levels[k].Max()).ThenBy(k => k))
            if (!kept.Exists(stronger => IsSkirt(map, levels, heard, lines, k, stronger))) kept.Add(k);
        // what is left when all peaks and their skirts are taken away
        var rest = new bool[bins];
        for (var k = 0; k < bins; k++) rest[k] = lines[k] is not null && !kept.Exists(peak => peak == k || IsSkirt(map, levels, heard, lines, k, peak));
        return [.. kept.Where(k => lines[k] is not null)
            .Select(k => Peak(map, levels[k].Max(), means, lines[k]!.Value, Around(map, lines, rest, k), k))
            .Where(peak => !(peak.DecaySeconds + Deviations * peak.DecaySdSeconds < peak.AroundSeconds))
            .OrderByDescending(peak => peak.SureDecaySeconds).ThenByDescending(peak => peak.DecaySeconds).ThenBy(peak => peak.FrequencyHz)];
    }

    /// <summary>Grid places whose mean is the highest within one resolution to either side.</summary>
    private static IEnumerable<int> Candidates(DecayMap map, double[] means)
    {
        for (var k = 1; k + 1 < means.Length; k++)
        {
            var near = map.ResolutionAt(k).FrequencyHz;
            var isHighest = true;
            for (var j = k - 1; j >= 0 && (j == k - 1 || map.FrequenciesHz[k] - map.FrequenciesHz[j] <= near); j--) isHighest &= means[j] < means[k];
            for (var j = k + 1; j < means.Length && (j == k + 1 || map.FrequenciesHz[j] - map.FrequenciesHz[k] <= near); j++) isHighest &= means[j] <= means[k];
            if (isHighest) yield return k;
        }
    }

    /// <summary>True where a frequency stays below what a stronger one spreads to it, in three quarters of the slices in which it is heard; that one rings for ever if it has no decay.</summary>
    private static bool IsSkirt(DecayMap map, double[][] levels, double[] heardDb, MapLine?[] lines, int k, int stronger)
    {
        var above = new List<double>(levels[k].Length);
        for (var i = 0; i < levels[k].Length; i++)
            if (levels[k][i] >= heardDb[k]) above.Add(levels[k][i] - levels[stronger][i]);
        if (above.Count == 0) return true;
        above.Sort();
        var skirt = map.WindowAt(k).SkirtRatio(map.FrequenciesHz[k], map.FrequenciesHz[stronger], lines[stronger]?.DecaySeconds ?? double.PositiveInfinity, map.WindowAt(stronger));
        return above[3 * (above.Count - 1) / 4] <= Decibels.FromPower(skirt) + AboveSkirtDb;
    }

    /// <summary>The median decay of the rest round a peak; NaN where there is little of it.</summary>
    private static double Around(DecayMap map, MapLine?[] lines, bool[] rest, int peak)
    {
        var (factor, frequencies) = (Math.Pow(2, AroundOctaves), map.FrequenciesHz);
        var (decays, near) = (new List<double>(), 0);
        for (var k = 0; k < lines.Length; k++)
        {
            if (frequencies[k] > frequencies[peak] * factor || frequencies[k] * factor < frequencies[peak]) continue;
            near++;
            if (rest[k] && Math.Abs(frequencies[k] - frequencies[peak]) > map.ResolutionAt(peak).FrequencyHz) decays.Add(lines[k]!.Value.DecaySeconds);
        }
        decays.Sort();
        return decays.Count < LeastAroundRatio * near ? double.NaN : decays[decays.Count / 2];
    }

    private static SlowPeak Peak(DecayMap map, double levelDb, double[] means, MapLine line, double aroundSeconds, int k)
    {
        var (before, at, after) = (means[k - 1], means[k], means[k + 1]);
        var offset = Math.Clamp((before - after) / (2 * (before - 2 * at + after)), -0.5, 0.5);
        var neighbour = map.FrequenciesHz[offset < 0 ? k - 1 : k + 1];
        var shortest = map.ResolutionAt(k).ShortestDecaySeconds;
        var doubt = line.DecaySeconds < NearTheWindow * shortest
            ? new Reason(Doubt.Window, FormattableString.Invariant($"the window and the slices themselves take {shortest:0.000} s to fall by 60 dB, so the true decay may be shorter"))
            : line.RangeDb < ShortRangeDb
                ? new Reason(Doubt.Noise, FormattableString.Invariant($"only {line.RangeDb:0} dB of decay above the noise or within the slices"))
                : line.SdSeconds > UnsteadyRatio * line.DecaySeconds
                    ? new Reason(Doubt.Window, FormattableString.Invariant($"its level falls in waves, as two resonances do that are closer than the {map.ResolutionAt(k).FrequencyHz:0.0} Hz which the window resolves"))
                    : Reason.None;
        return new(map.FrequenciesHz[k] + Math.Abs(offset) * (neighbour - map.FrequenciesHz[k]), levelDb, line.DecaySeconds, line.SdSeconds, line.RangeDb, aroundSeconds, doubt);
    }
}
