// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Trust;

namespace Sweepbook.Studies;

/// <summary>Where a response depends on how loud it was played: by its own distortion, or because another drive gives another shape.</summary>
/// <remarks>
/// Distortion is what <see cref="SweepDistortion"/> sees, a careful estimate. Shapes are compared between takes that differ in <c>drive_db</c> only: third-octave
/// levels without their noise, less their median difference, where both stand 20 dB above the noise; the drive itself may be in the loopback or not, so that
/// the median is what tells it. Source: own definition (design, "What may be believed": non-linearity).
/// </remarks>
internal static class LevelDependence
{
    private const double MostDistortionRatio = 0.1;
    private const double MostChangeDb = 1;
    private const double ComparedSnrDb = 20;   // noise then moves a third-octave level by less than the change looked for

    /// <summary>Doubts fundamentals whose harmonics 2 to 5 exceed a tenth of them.</summary>
    internal static TrustMask Distortion(IReadOnlyList<TakeAnalysis> repeats, LogGrid grid)
    {
        var reasons = new Reason[grid.Count];
        for (var k = 0; k < reasons.Length; k++)
            if (repeats.Max(repeat => repeat.HarmonicPowerRatio[k]) > MostDistortionRatio * MostDistortionRatio)
                reasons[k] = new(Doubt.LevelDependent, FormattableString.Invariant($"level-dependent: distortion exceeds {100 * MostDistortionRatio:0} % (harmonics 2 to 5)"));
        return new(grid.FrequenciesHz, reasons);
    }

    /// <summary>The same responses, each with a mask where another drive of the same take gives another shape.</summary>
    internal static ResponseAnalysis.Gathered[] Compared(ResponseAnalysis.Gathered[] all)
    {
        var judged = all.ToArray();
        foreach (var drives in Enumerable.Range(0, all.Length).Where(n => all[n].Repeats[0].Result.Take.DriveDb is not null).GroupBy(n => KeyWithoutDrive(all[n])))
            foreach (var (one, other) in Pairs([.. drives]))
            {
                var reasons = Changed(all[one], all[other]);
                foreach (var n in new[] { one, other })
                    judged[n] = judged[n] with { LevelDependent = judged[n].LevelDependent is { } before ? before.And(reasons) : reasons };
            }
        return judged;
    }

    internal static IEnumerable<(int One, int Other)> Pairs(int[] members) =>
        from first in Enumerable.Range(0, members.Length) from second in Enumerable.Range(first + 1, members.Length - first - 1) select (members[first], members[second]);

    internal static string KeyWithoutDrive(ResponseAnalysis.Gathered gathered)
    {
        var take = gathered.Repeats[0].Result.Take;
        return FormattableString.Invariant($"{take.SourceName}|{take.Setting}|{take.Seat}|{take.Microphone}|{take.MicrophoneChannel}|{take.Stimulus}|{take.TimeZero}|{take.Field}|{take.DistanceMm}|{take.AngleDeg}|{take.InputGainDb}|{take.IsImpulse}|{gathered.Grid.Count}");
    }

    private static TrustMask Changed(ResponseAnalysis.Gathered one, ResponseAnalysis.Gathered other)
    {
        var grid = one.Grid;
        var (first, second) = (LevelsDb(one), LevelsDb(other));
        var changeDb = first.Select((levelDb, k) => levelDb - second[k]).ToArray();
        var sorted = changeDb.Where(double.IsFinite).Order().ToArray();
        var reasons = new Reason[grid.Count];
        if (sorted.Length == 0) return new(grid.FrequenciesHz, reasons);
        var medianDb = sorted[sorted.Length / 2];
        var (driveDb, otherDriveDb) = (one.Repeats[0].Result.Take.DriveDb, other.Repeats[0].Result.Take.DriveDb);
        for (var k = 0; k < reasons.Length; k++)
            if (Math.Abs(changeDb[k] - medianDb) > MostChangeDb)
                reasons[k] = new(Doubt.LevelDependent, FormattableString.Invariant(
                    $"level-dependent: drives of {Math.Min(driveDb!.Value, otherDriveDb!.Value):0.#} and {Math.Max(driveDb.Value, otherDriveDb.Value):0.#} dB differ in shape by more than {MostChangeDb:0} dB"));
        return new(grid.FrequenciesHz, reasons);
    }

    /// <summary>Third-octave levels without their noise; NaN where they may not be compared.</summary>
    internal static double[] LevelsDb(ResponseAnalysis.Gathered gathered)
    {
        var (grid, count) = (gathered.Grid, gathered.Repeats.Count);
        var levelsDb = new double[grid.Count];
        var limits = gathered.Repeats[0].Limits.Mask(grid.FrequenciesHz);
        for (var k = 0; k < levelsDb.Length; k++)
        {
            var noise = gathered.Repeats.Sum(repeat => repeat.Noise?.ThirdOctave[k] * repeat.NoiseMarginRatio[k] ?? double.NaN) / ((double)count * count);
            var power = gathered.Spectrum.ThirdOctavePower[k];
            levelsDb[k] = limits[k] && power - noise > Decibels.ToPowerRatio(ComparedSnrDb) * noise ? Decibels.FromPower(power - noise) : double.NaN;
        }
        return levelsDb;
    }
}
