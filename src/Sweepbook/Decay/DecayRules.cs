// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>What a decay must offer before a figure of it is given, and how far the figures scatter.</summary>
internal static class DecayRules
{
    internal const double CurvedPercent = 10, CurvedPermille = 10;   // fact sheet 4.3
    internal const double EarlySeconds = 0.05, MusicEarlySeconds = 0.08;
    internal const double AboveNoiseDb = 10;                         // ISO 3382-1:2009, 4.2.1 (fact sheet 4.4)
    internal const double LateStretchDb = 20;
    private const double MostHiddenDb = 5;                           // own choice: half of the stretch of EDT
    private const double LeastCycles = 1;                            // own choice: bandwidth · time limit of a clarity
    private const double Averages = 10;                              // what one integrated impulse response is worth (fact sheet 4.9)
    private const double EdtScatter = 1.7, LateScatter = 1.05;       // own simulation of noise-like decays, B · T from 30 to 700
    private const double CurvatureScatter = 65;                      // %, times √(B · T): one standard deviation in own simulation of straight noise-like decays, B · T from 18 to 150
    private const double ShortNonlinearity = 3000, LongNonlinearity = 1700;   // ‰, times B · T: 19 of 20 of them stay below, T20 and T30
    private static readonly double NepersPer60Db = Math.Log(Decibels.ToPowerRatio(60));

    /// <summary>The shortest decay that survives a band of some width: B · T above 16 forwards, above 4 backwards in time (fact sheet 4.5).</summary>
    internal static double ShortestSeconds(double bandwidthHz, FilterUse use) => (use == FilterUse.TimeReversed ? 4 : 16) / bandwidthHz;

    /// <summary>How far the noise must lie below the start (fact sheet 4.4; EDT from memory there, the last three own choice).</summary>
    internal static double WantedDb(DecayQuantity quantity) => quantity switch
    {
        DecayQuantity.T30 or DecayQuantity.Late => 45,
        DecayQuantity.T20 => 35,
        _ => 20,
    };

    internal static string Unit(DecayQuantity quantity) => quantity switch
    {
        DecayQuantity.C50 or DecayQuantity.C80 => "dB",
        DecayQuantity.Ts => "ms",
        DecayQuantity.D50 => "",
        _ => "s",
    };

    /// <summary>Standard deviation of a decay time, in seconds: T20 and T30 by fact sheet 4.9, in places independent of each other.</summary>
    internal static double ScatterSeconds(DecayQuantity quantity, double t60Seconds, double bandwidthHz, double averages = Averages, int places = 1)
    {
        var perRoot = t60Seconds / Math.Sqrt(places * bandwidthHz * t60Seconds);
        return quantity switch
        {
            DecayQuantity.T20 => 0.88 * Math.Sqrt(1 + 1.90 / averages) * perRoot,
            DecayQuantity.T30 => 0.55 * Math.Sqrt(1 + 1.52 / averages) * perRoot,
            DecayQuantity.Edt => EdtScatter * perRoot,
            _ => LateScatter * perRoot,
        };
    }

    /// <summary>
    /// Standard deviation of C (dB), D or Ts (ms) of a Gaussian noise whose power falls as e^(−k t), for large B · T. Energies of two stretches are independent, and
    /// that of one has the relative variance ∫ e^(−2kt) dt / (B · (∫ e^(−kt) dt)²): k/2B · (1 + x)/(1 − x) for the early one, x = e^(−k te), and k/2B for the
    /// late one; their sum is k/(B · D). Centre time: ∫ (t − 1/k)² e^(−2kt) dt · k²/B = 1/(4 k B).
    /// </summary>
    internal static double ScatterOfClarity(DecayQuantity quantity, double definition, double t60Seconds, double bandwidthHz)
    {
        var k = NepersPer60Db / t60Seconds;
        var relative = Math.Sqrt(k / (bandwidthHz * definition));
        return quantity switch
        {
            DecayQuantity.C50 or DecayQuantity.C80 => 10 / Math.Log(10) * relative,
            DecayQuantity.D50 => definition * (1 - definition) * relative,
            _ => 1000 / (2 * Math.Sqrt(k * bandwidthHz)),
        };
    }

    internal static string? TooNarrow(double t60Seconds, double bandwidthHz)
    {
        var shortest = ShortestSeconds(bandwidthHz, FilterUse.TimeReversed);
        return t60Seconds > shortest ? null : FormattableString.Invariant(
            $"narrow: a band of {bandwidthHz:0.#} Hz shows decays longer than {shortest:0.00} s, and this one reads {t60Seconds:0.00} s");
    }

    /// <summary>The reversed filter puts the first moments of a decay before the start: 60 dB · delay / T60 of them.</summary>
    internal static string? TooNarrowForEarly(double hiddenDb, double bandwidthHz) => hiddenDb <= MostHiddenDb ? null : FormattableString.Invariant(
        $"narrow: the filter of a band of {bandwidthHz:0.#} Hz hides the first {hiddenDb:0} dB of this decay");

    internal static string? TooNarrowFor(double limitSeconds, double bandwidthHz) => bandwidthHz * limitSeconds >= LeastCycles ? null : FormattableString.Invariant(
        $"narrow: a band of {bandwidthHz:0.#} Hz cannot tell what comes before {limitSeconds * 1000:0} ms from what comes after");

    internal static string? TooLittle(double rangeDb, double wantedDb, NoiseTail tail) => rangeDb >= wantedDb ? null : rangeDb < 0
        ? FormattableString.Invariant($"range 0 dB, {wantedDb:0.#} dB wanted: the noise covers the whole decay")
        : FormattableString.Invariant($"range {rangeDb:0.0} dB, {wantedDb:0.#} dB wanted: {Cause(rangeDb, tail)}");

    private static string Cause(double rangeDb, NoiseTail tail) => tail.NoisePower > 0 ? "the noise is too close"
        : rangeDb < WantedDb(DecayQuantity.Edt) ? "the noise is too close, or the record ends too early"
        : "the record ends before the sound has decayed so far";

    /// <summary>Whether T20 or T30 is no straight decay: beyond the limits of fact sheet 4.3, and beyond what chance does to a straight one.</summary>
    /// <param name="quantity">T20 or T30; the standard knows no limit for the others.</param>
    /// <param name="curvaturePercent">By how much T30 is longer than T20.</param>
    /// <param name="nonlinearityPermille">1000 · (1 − r²).</param>
    /// <param name="independentRatio">Bandwidth · T60 · places: how many independent values of a noise-like decay lie in it; infinite where chance plays no part.</param>
    internal static string? Curved(DecayQuantity quantity, double curvaturePercent, double nonlinearityPermille, double independentRatio)
    {
        if (quantity is not (DecayQuantity.T20 or DecayQuantity.T30)) return null;
        if (Math.Abs(curvaturePercent) > Math.Max(CurvedPercent, 2 * CurvatureScatter / Math.Sqrt(independentRatio)))
            return FormattableString.Invariant($"curved: T30 is {Math.Abs(curvaturePercent):0} % {(curvaturePercent > 0 ? "longer" : "shorter")} than T20, so one number does not describe this decay");
        var limit = Math.Max(CurvedPermille, (quantity == DecayQuantity.T30 ? LongNonlinearity : ShortNonlinearity) / independentRatio);
        return nonlinearityPermille > limit
            ? FormattableString.Invariant($"curved: the decay is {nonlinearityPermille:0.#} ‰ away from a straight line ({limit:0.#} ‰ is doubtful{(limit > CurvedPermille ? " in so narrow a band" : "")})")
            : null;
    }
}
