// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Decay;

/// <summary>Reads the figures of one band off its curve.</summary>
/// <param name="Band">The band, or the default.</param>
/// <param name="BandwidthHz">Its width; infinite for all frequencies together.</param>
/// <param name="Curve">Its curve.</param>
/// <param name="FilterDelaySeconds">By how much the filter moved energy towards earlier times.</param>
/// <param name="CentreSeconds">Mean moment of the energy after the start, the filter's delay not yet taken back.</param>
/// <param name="Places">How many decays, independent by chance, the curve is the sum of.</param>
internal sealed record BandReading(FrequencyBand Band, double BandwidthHz, DecayCurve Curve, double FilterDelaySeconds, double CentreSeconds, int Places = 1)
{
    internal BandDecay Read()
    {
        if (!Curve.Tail.HasDecay) return new(Band, Curve, [.. Enum.GetValues<DecayQuantity>().Select(quantity => Given(quantity, double.NaN, double.NaN, double.NaN, "none: nothing decays here, so there is no signal above the noise"))], this);
        var t20 = Curve.FitBetween(-5, -25);
        var t30 = Curve.FitBetween(-5, -35);
        var curvature = t20.IsEmpty || t30.IsEmpty || IsShort(DecayQuantity.T30) ? double.NaN : 100 * (t30.T60Seconds / t20.T60Seconds - 1);
        var bottom = -Math.Min(RangeDb, LowestLateDb) + DecayRules.AboveNoiseDb;
        var late = bottom + DecayRules.LateStretchDb < 0 ? Curve.FitBetween(bottom + DecayRules.LateStretchDb, bottom) : default;
        var edt = Time(DecayQuantity.Edt, Curve.FitBetween(0, -10), double.NaN);
        var times = new[] { edt, Time(DecayQuantity.T20, t20, curvature), Time(DecayQuantity.T30, t30, curvature), Time(DecayQuantity.Late, late, double.NaN) };
        var t60 = times[1].IsValid ? times[1].Value : times[0].Value;
        return new(Band, Curve, [.. times, Clarity(DecayQuantity.C50, t60), Clarity(DecayQuantity.C80, t60), Clarity(DecayQuantity.D50, t60), Centre(t60)], this);
    }

    private const double LowestLateDb = 90;   // a record without noise has no last 20 dB

    /// <summary>How far the noise lies below an exponential decay that holds the whole energy of the band and falls as its late part does.</summary>
    internal double RangeDb { get; } = Curve.Tail.HasDecay
        ? Curve.Tail.FloorPower > 0 ? Decibels.FromPower(Curve.WholeEnergy * Curve.Tail.RatePerSample / Curve.Tail.FloorPower) : double.PositiveInfinity
        : double.NaN;

    /// <summary>False where not even the first 10 dB of the decay can be read: its late line may be the noise's.</summary>
    internal bool IsClearOfNoise => RangeDb >= DecayRules.WantedDb(DecayQuantity.Edt);

    private double HiddenDb => Decibels.FromPower(Math.Exp(Curve.Tail.RatePerSample * Curve.SampleRateHz * FilterDelaySeconds));

    private bool IsShort(DecayQuantity quantity) => !(RangeDb >= DecayRules.WantedDb(quantity));

    private DecayValue Time(DecayQuantity quantity, DecayFit fit, double curvaturePercent)
    {
        var why = DecayRules.TooLittle(RangeDb, DecayRules.WantedDb(quantity), Curve.Tail)
            ?? (quantity == DecayQuantity.Edt ? DecayRules.TooNarrowForEarly(HiddenDb, BandwidthHz) : null)
            ?? (fit.IsEmpty ? quantity == DecayQuantity.Edt ? "none: the direct sound holds all of the first 10 dB" : "none: the curve does not fall far enough for a line" : DecayRules.TooNarrow(fit.T60Seconds, BandwidthHz));
        var permille = fit.IsEmpty ? double.NaN : fit.NonlinearityPermille;
        return why is null
            ? Given(quantity, fit.T60Seconds, permille, curvaturePercent, DecayRules.Curved(quantity, curvaturePercent, permille, BandwidthHz * fit.T60Seconds * Places),
                double.IsFinite(BandwidthHz) ? DecayRules.ScatterSeconds(quantity, fit.T60Seconds, BandwidthHz, places: Places) : double.NaN)
            : Given(quantity, double.NaN, permille, curvaturePercent, why);
    }

    private DecayValue Clarity(DecayQuantity quantity, double t60Seconds)
    {
        var limit = quantity == DecayQuantity.C80 ? DecayRules.MusicEarlySeconds : DecayRules.EarlySeconds;
        var late = Math.Clamp(Curve.EnergyAfter(limit - FilterDelaySeconds) / Curve.WholeEnergy, 0, 1);
        var (definition, lateDb) = (1 - late, -Decibels.FromPower(late));
        var wanted = Math.Max(DecayRules.WantedDb(quantity), quantity == DecayQuantity.D50 || late == 0 ? 0 : lateDb + DecayRules.AboveNoiseDb);
        var why = DecayRules.TooLittle(RangeDb, wanted, Curve.Tail) ?? DecayRules.TooNarrowFor(limit, BandwidthHz) ?? Unsure(t60Seconds)
            ?? (definition > 0 && late > 0 ? null : "none: all energy lies on one side of the limit");
        var value = quantity == DecayQuantity.D50 ? definition : why is null ? Decibels.FromPower(definition / late) : double.NaN;
        return why is null ? Given(quantity, value, double.NaN, double.NaN, null, ScatterOf(quantity, definition, t60Seconds)) : Given(quantity, double.NaN, double.NaN, double.NaN, why);
    }

    private DecayValue Centre(double t60Seconds)
    {
        var seconds = CentreSeconds + FilterDelaySeconds;
        var why = DecayRules.TooLittle(RangeDb, DecayRules.WantedDb(DecayQuantity.Ts), Curve.Tail) ?? DecayRules.TooNarrowFor(DecayRules.EarlySeconds, BandwidthHz) ?? Unsure(t60Seconds)
            ?? (seconds > 0 ? null : "none: the energy lies before the start");
        return why is null
            ? Given(DecayQuantity.Ts, seconds * 1000, double.NaN, double.NaN, null, ScatterOf(DecayQuantity.Ts, 1, t60Seconds))
            : Given(DecayQuantity.Ts, double.NaN, double.NaN, double.NaN, why);
    }

    /// <summary>Where neither T20 nor EDT can be given, what looks like a decay may be chance: noise alone has shown clarities so.</summary>
    private static string? Unsure(double t60Seconds) => t60Seconds > 0 ? null : "none: neither T20 nor EDT can be given, so it is not sure that anything decays";

    private double ScatterOf(DecayQuantity quantity, double definition, double t60Seconds) =>
        double.IsFinite(BandwidthHz) && t60Seconds > 0 ? DecayRules.ScatterOfClarity(quantity, definition, t60Seconds, BandwidthHz) / Math.Sqrt(Places) : double.NaN;

    private DecayValue Given(DecayQuantity quantity, double value, double permille, double curvature, string? reason, double uncertainty = double.NaN) =>
        new(quantity, value, DecayRules.Unit(quantity), RangeDb, permille, curvature, reason ?? "") { Uncertainty = uncertainty };
}
