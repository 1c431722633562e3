// SPDX-License-Identifier: MIT
namespace Sweepbook.Quantities;

/// <summary>How long a level may be listened to: 85 dB(A) for eight hours a day, half the time for each 3 dB more.</summary>
/// <remarks>
/// A limit for working lives, at which some ears are harmed all the same; local rules may be stricter. Misleads in the bass, which the A-weighting all but
/// leaves out: a tone of 110 dB at 20 Hz is 59.5 dB(A) and hard on ears, drivers and neighbours nevertheless. Levels are those at the ear, not at the sofa when
/// you stand beside the loudspeaker. Source: NIOSH, recommended exposure limit for noise (fact sheet 13.1 to 13.3).
/// </remarks>
public static class Exposure
{
    /// <summary>The level that is allowed for a whole working day, in dB(A).</summary>
    public const double DayLevelDb = 85;

    /// <summary>Above this level, in dB(A), no time is allowed.</summary>
    public const double CeilingDb = 115;

    private const double DayMinutes = 480;
    private const double HalvingDb = 3;

    /// <summary>480 / 2^((L − 85) / 3): the time in one day.</summary>
    /// <param name="aWeightedLevelDb">Steady level at the ear in dB(A).</param>
    /// <returns>Minutes; more than a day has below about 80 dB(A), none above <see cref="CeilingDb"/>.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The level is NaN.</exception>
    /// <remarks>The ceiling is that of the criteria's draft of 1996, and on the safe side of the later text. See the type for when it misleads.</remarks>
    public static double AllowedMinutes(double aWeightedLevelDb) => Given(aWeightedLevelDb, nameof(aWeightedLevelDb)) > CeilingDb
        ? 0
        : DayMinutes / Math.Pow(2, (aWeightedLevelDb - DayLevelDb) / HalvingDb);

    /// <summary>The share of a day's allowance that a level takes up: time over allowed time. Shares of one day add up.</summary>
    /// <param name="aWeightedLevelDb">Steady level at the ear in dB(A).</param>
    /// <param name="seconds">For how long, in seconds, zero or more.</param>
    /// <returns>Percent; ∞ above the ceiling.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The level is NaN, or the time negative or not finite.</exception>
    /// <remarks>See the type for when it misleads, and for the source (fact sheet 13.2: 30 min of 94 and 2 h of 88 dB(A) are 100 %).</remarks>
    public static double DosePercent(double aWeightedLevelDb, double seconds) => seconds >= 0 && double.IsFinite(seconds)
        ? seconds == 0 ? 0 : 100 * seconds / (60 * AllowedMinutes(aWeightedLevelDb))
        : throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "Must be in [0, ∞) s.");

    private static double Given(double levelDb, string name) =>
        double.IsNaN(levelDb) ? throw new ArgumentOutOfRangeException(name, levelDb, "Must be a level in dB(A).") : levelDb;
}
