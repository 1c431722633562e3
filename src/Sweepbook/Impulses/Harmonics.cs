// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;

namespace Sweepbook.Impulses;

/// <summary>Harmonics 2 to 5 and their total over the fundamental, read from sweeps: level re the fundamental, floor of the separation, phase.</summary>
/// <remarks>
/// <para>Harmonic n at fundamental f is the mean power over a sixth of an octave round n · f of the pulse that the analytic inverse makes of it, over that of the linear
/// response round f, which comes by division. Grid of 12 points per octave. The total is √Σ|Hₙ|² / |H₁| over those orders that stand clear of their floor; where none
/// does it is the most that all bounds together allow. Where what the others may be would add more than 1 dB to it, the reason says so.</para>
/// <para>The floor is the sum of three powers: the noise of a silent part of the same recording sent through the same inverse and window; what a perfectly
/// linear system reads, which is computed from the stimulus; and the reverberation of the next higher harmonic, which is played before this one. A reading less than 10 dB above
/// the last two, or within what noise does by chance once in a thousand looks, is a bound: the amplitudes of reading and floor
/// together, because the two may have cancelled in part. By noise alone it holds in nine of ten looks where it is tightest, and more often elsewhere (tested).</para>
/// <para>Misleads where the room decays more slowly than the harmonics follow each other: what comes later than the window is lost, and the harmonic reads low; the
/// reverberation of a sixth harmonic is not known and may pass for the fifth. In a room a level re the fundamental holds the room's response at n · f over that at f: only near the
/// source it is the source's own. The recorder's own response at n · f over that at f is in it too, and the distortion of player, recorder and microphone. Where the sweep fades
/// in or out its level is lower, so nothing is given there; nor above 0.45 of the sample rate. A linear sweep gives its harmonics little room at low fundamentals: those are refused with a reason.</para>
/// <para>Source: A. Novak, P. Lotton, L. Simon, J. Audio Eng. Soc. 63 (2015) 786–798 (fact sheet 5.6 to 5.8); A. Farina, AES 108 (2000), preprint 5093; the floor is an own definition.</para>
/// </remarks>
public sealed class Harmonics
{
    /// <summary>Highest order read.</summary>
    public const int HighestOrder = HarmonicPlan.Highest;

    private const double ClearOfLeakDb = 10;           // a neighbour 10 dB below changes a level by 2.4 and −3.3 dB at the most
    private const double ClearOfFundamentalNoiseDb = 10;
    private const double ToldHiddenDb = 1;             // own choice: what hidden orders may add to a total before it is said
    private const double AfterMarkerSeconds = 0.5;     // silent before the sweep where a marker was played: StimulusDescription.WithMarker leaves 0.6 s
    private const double GuardSeconds = 0.01, LongestWindowSeconds = 1, LeftPeriods = 2.5, LeftPart = 0.9;   // as the studies cut their responses
    private readonly HarmonicReading[] _repeats;
    private readonly Func<double, double> _correctionDb;
    private readonly HarmonicPoint[][] _points;   // total first, then the orders from the second

    private Harmonics(HarmonicReading[] repeats, Func<double, double> correctionDb)
    {
        (_repeats, _correctionDb) = (repeats, correctionDb);
        var plan = repeats[0].Plan;
        var orders = Enumerable.Range(HarmonicPlan.Lowest, HighestOrder - HarmonicPlan.Lowest + 1).Select(order => Enumerable.Range(0, plan.CountOf(order)).Select(k => Point(order, k)).ToArray()).ToArray();
        _points = [[.. Enumerable.Range(0, plan.Grid.Count).Select(k => TotalOf([.. orders.Where(order => k < order.Length).Select(order => order[k])]))], .. orders];
    }

    /// <summary>The harmonics of one recording of a stimulus.</summary>
    /// <param name="stimulus">What was played.</param>
    /// <param name="recording">The microphone's samples, full scale ±1, from the moment the stimulus began; at least as long as up to the sweep's end.</param>
    /// <returns>Levels relative to the fundamental. Without silence before the sweep the noise is not known and every level is a bound.</returns>
    /// <exception cref="ArgumentException">The recording is empty, silent, or shorter than the sweep.</exception>
    /// <remarks>Several repeats, and the microphone's calibration, come in by <see cref="Mean"/> and <see cref="Corrected"/>. See the class for what misleads and the source.</remarks>
    public static Harmonics Of(Stimulus stimulus, ReadOnlySpan<double> recording)
    {
        ArgumentNullException.ThrowIfNull(stimulus);
        if (recording.Length < stimulus.SweepEnd)
            throw new ArgumentException($"Has {recording.Length} samples, but the sweep ends at {stimulus.SweepEnd}; must be in [{stimulus.SweepEnd}, ∞).", nameof(recording));
        var plan = Deconvolution.By(stimulus, recording.Length);
        var whole = plan.Of(recording);
        var arrival = Arrival.AtFirstPeak(whole);
        if (arrival.Polarity == 0) throw new ArgumentException("Is silent; it must hold the stimulus.", nameof(recording));
        var rate = (double)stimulus.SampleRateHz;
        var silent = Math.Clamp(stimulus.SweepStart + (int)((Math.Min(0, arrival.Seconds) - GuardSeconds) * rate), 0, recording.Length);
        var left = Math.Min(LeftPeriods / plan.ExcitedFromHz, LeftPart * stimulus.Description.Law.LeadSecondsOf(2));
        var tail = (recording.Length - stimulus.SweepEnd) / rate - arrival.Seconds;
        var window = new ImpulseWindow(left, Math.Clamp(tail, 0.05, LongestWindowSeconds));
        return From([HarmonicReading.Of(plan, recording, recording[(stimulus.HasMarker ? Math.Max(0, silent - (int)(AfterMarkerSeconds * rate)) : 0)..silent], 0, whole, arrival.Seconds, window)]);
    }

    /// <summary>Repeats brought together: powers of harmonics, of the fundamental and of noise are averaged before they are compared; phases as unit vectors.</summary>
    /// <param name="repeats">Harmonics of one stimulus, one or more, uncorrected or all corrected alike; the first one's correction counts.</param>
    /// <returns>One result. Powers and not complex values are averaged: repeats need no common time zero, and a drift between them takes nothing away.</returns>
    /// <exception cref="ArgumentException">There is no repeat, or they are not of one stimulus.</exception>
    /// <remarks>Noise is not lowered by it, only its chance: a bound stays one. See the class for what misleads and the source.</remarks>
    public static Harmonics Mean(IReadOnlyList<Harmonics> repeats)
    {
        ArgumentNullException.ThrowIfNull(repeats);
        if (repeats.Count == 0) throw new ArgumentException("Got 0 repeats; must be 1 or more.", nameof(repeats));
        var all = repeats.SelectMany(repeat => repeat._repeats).ToArray();
        if (all.Any(repeat => repeat.Plan.Stimulus.Description != all[0].Plan.Stimulus.Description))
            throw new ArgumentException("The repeats are not of one stimulus.", nameof(repeats));
        return new(all, repeats[0]._correctionDb);
    }

    internal static Harmonics From(IReadOnlyList<HarmonicReading> repeats) => new([.. repeats], _ => 0);

    /// <summary>The same with the microphone's response taken off: at order · f from a harmonic, at f from the fundamental.</summary>
    /// <param name="correctionDbAt">What is added at a frequency in hertz, in decibels; the opposite of what the microphone adds.</param>
    /// <returns>A new result; an earlier correction is replaced.</returns>
    /// <remarks>A correction is only as good as the calibration at order · f. It needs no source.</remarks>
    public Harmonics Corrected(Func<double, double> correctionDbAt)
    {
        ArgumentNullException.ThrowIfNull(correctionDbAt);
        return new(_repeats, correctionDbAt);
    }

    /// <summary>Number of repeats behind it.</summary>
    public int Repeats => _repeats.Length;

    /// <summary>How long before the linear response the second harmonic comes out, in seconds; infinite for a linear sweep.</summary>
    public double SecondHarmonicLeadSeconds => _repeats[0].Plan.Law.LeadSecondsOf(2);

    internal double StartHz => _repeats[0].Plan.Law.StartHz;

    internal double SweepSeconds => _repeats[0].Plan.Law.Seconds;

    /// <summary>All harmonics together, over rising fundamentals.</summary>
    public IReadOnlyList<HarmonicPoint> Total => [.. _points[0]];

    /// <summary>One harmonic over rising fundamentals, as far as it lies below 0.45 of the sample rate.</summary>
    /// <param name="order">2 to 5.</param>
    /// <exception cref="ArgumentOutOfRangeException">The order is none of these.</exception>
    public IReadOnlyList<HarmonicPoint> OfOrder(int order) => order is >= HarmonicPlan.Lowest and <= HighestOrder
        ? [.. _points[order - 1]]
        : throw new ArgumentOutOfRangeException(nameof(order), order, $"Must be in [{HarmonicPlan.Lowest}, {HighestOrder}].");

    /// <summary>The highest total that is measured and no bound, between two fundamentals; null where there is none.</summary>
    /// <param name="fromHz">Lowest fundamental, in hertz.</param>
    /// <param name="toHz">Highest fundamental, in hertz.</param>
    public HarmonicPoint? HighestTotal(double fromHz, double toHz)
    {
        var inside = _points[0].Where(point => point.IsTrusted && point.FundamentalHz >= fromHz && point.FundamentalHz <= toHz).ToArray();
        return inside.Length == 0 ? null : inside.MaxBy(point => point.LevelDb);
    }

    private HarmonicPoint Point(int order, int k)
    {
        var fundamentalHz = _repeats[0].Plan.Grid[k];
        var (power, noise, leak, margin, of, ofNoise) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        var direction = Complex.Zero;
        foreach (var repeat in _repeats)
        {
            var own = repeat.Orders[order - HarmonicPlan.Lowest];
            (power, noise, leak, margin) = (power + own.Power[k], noise + own.Noise[k], leak + own.Leak[k], Math.Max(margin, own.NoiseMarginRatio[k]));
            (of, ofNoise, direction) = (of + repeat.Power[k], ofNoise + repeat.Noise[k], direction + own.Direction[k]);
        }
        if (_repeats[0].Orders[order - HarmonicPlan.Lowest].WhyNot[k] is { } why) return new(fundamentalHz, order, double.NaN, double.NaN, false, double.NaN, why);
        if (!(of > 0)) return new(fundamentalHz, order, double.NaN, double.NaN, false, double.NaN, "fundamental: it was not recorded");
        if (of < Decibels.ToPowerRatio(ClearOfFundamentalNoiseDb) * ofNoise)
            return new(fundamentalHz, order, double.NaN, double.NaN, false, double.NaN, FormattableString.Invariant($"fundamental: it is within {ClearOfFundamentalNoiseDb:0} dB of the noise"));
        var correctionDb = _correctionDb(order * fundamentalHz) - _correctionDb(fundamentalHz);
        var floorDb = double.IsNaN(noise) ? double.NaN : Decibels.FromPower((noise + leak) / of) + correctionDb;
        var isClear = power > margin * noise + Decibels.ToPowerRatio(ClearOfLeakDb) * leak;   // false where the noise is not known
        var hidden = Math.Sqrt(power) + Math.Sqrt((double.IsNaN(noise) ? 0 : noise) + leak);   // what noise or a neighbour may have cancelled is in it
        var level = isClear ? power - noise : hidden * hidden;
        return new(fundamentalHz, order, Decibels.FromPower(level / of) + correctionDb, floorDb, !isClear,
            isClear ? Degrees(direction) : double.NaN, isClear ? "" : double.IsNaN(noise) ? "noise: it is not known, there was no silence before the sweep" : noise > leak ? "floor: at most this, by the noise" : "floor: at most this, by the neighbouring harmonics");
    }

    private static double Degrees(Complex direction) => direction.Phase * 180 / Math.PI is var degrees && degrees <= -180 ? 180 : degrees;

    private static HarmonicPoint TotalOf(HarmonicPoint[] orders)
    {
        var (given, clear) = (orders.Where(point => double.IsFinite(point.LevelDb)).ToArray(), orders.Where(point => point.IsTrusted).ToArray());
        if (given.Length < orders.Length) return orders.First(point => !double.IsFinite(point.LevelDb)) with { Order = 0 };   // without a low harmonic the rest is no total
        var missing = Enumerable.Range(HarmonicPlan.Lowest, HighestOrder - HarmonicPlan.Lowest + 1).Except(given.Select(point => point.Order)).ToArray();
        var level = (clear.Length > 0 ? clear : given).Sum(point => Decibels.ToPowerRatio(point.LevelDb));
        var floor = given.Sum(point => Decibels.ToPowerRatio(point.FloorDb));
        var hidden = given.Except(clear).ToArray();
        var more = Decibels.FromPower(1 + hidden.Sum(point => Decibels.ToPowerRatio(point.LevelDb)) / level);
        var reason = clear.Length == 0 ? given[0].Reason
            : missing.Length > 0 ? $"part: without harmonic {string.Join(", ", missing)}, which cannot be given here"
            : more > ToldHiddenDb ? FormattableString.Invariant($"part: without harmonic {string.Join(", ", hidden.Select(point => point.Order))}, not clear of the floor, with which it may be up to {more:0.0} dB more") : "";
        return new(orders[0].FundamentalHz, 0, Decibels.FromPower(level), double.IsNaN(floor) ? floor : Decibels.FromPower(floor), clear.Length == 0, double.NaN, reason);
    }
}
