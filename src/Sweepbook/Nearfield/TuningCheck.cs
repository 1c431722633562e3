// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearRegression;
using Sweepbook.Spectra;

namespace Sweepbook.Nearfield;

/// <summary>Tuning and slope of a box, and whether cone and port fit each other. A plain fact.</summary>
/// <remarks>
/// The air in the box takes what cone and port give it, and drives the port: U_C / U_P = −(1 − (f/f_B)²) − j f / (f_B Q), where Q are its losses (fact sheet 7.9 without them).
/// The real part is a straight line in f²: where it crosses zero lies the tuning, and at 0 Hz it must be −1, because below the tuning all that the cone displaces leaves through
/// the port. What it reads instead tells a wrong area, distance or polarity. With a passive radiator the −1 becomes −(1 + α), α the stiffness of its suspension over that of
/// the air, so its ratio reads below 1. Misleads where each microphone hears the other radiator and that was not taken off: of the order of a tenth. Derived.
/// </remarks>
public readonly record struct TuningCheck
{
    private const double SlopeBelowRatio = 0.7;      // of the tuning: a maximally flat box has 95 % of its slope there
    private const double LongestSlopeOctaves = 1;
    private const double LeastSlopeOctaves = 1 / 3.0;
    private const int LeastPoints = 12;

    private TuningCheck(PortBalance balance, (double DbPerOctave, double FromHz, double ToHz) slope, string whyNot)
    {
        (TuningHz, PortRatio, WhyNot) = (balance.TuningHz, balance.PortRatio, whyNot);
        (SlopeDbPerOctave, SlopeFromHz, SlopeToHz) = slope;
    }

    /// <summary>The frequency in hertz at which the port is a quarter of a turn ahead of the cone; NaN where there is no port or it was not found.</summary>
    public double TuningHz { get; }

    /// <summary>By how much the port's share reads too high beside the cone's: 1 where both fit, negative where one of them is reversed; NaN where not found.</summary>
    public double PortRatio { get; }

    /// <summary>Slope of the sum below the tuning (a sealed box: below half of where it has lost 3 dB) in dB per octave; NaN where too little may be believed.</summary>
    public double SlopeDbPerOctave { get; }

    /// <summary>From where that slope was read, in hertz.</summary>
    public double SlopeFromHz { get; }

    /// <summary>To where, in hertz.</summary>
    public double SlopeToHz { get; }

    /// <summary>What could not be found and why; empty where all was.</summary>
    public string WhyNot { get; }

    /// <summary>True where cone and port have opposite signs to what they should, as with one of the takes reversed.</summary>
    public bool IsReversed => PortRatio < 0;

    internal static TuningCheck Of(Response sum, PartSums parts, PortBalance balance)
    {
        if (parts.HasDriven && double.IsNaN(balance.TuningHz)) return new(balance, (double.NaN, double.NaN, double.NaN), balance.WhyNot);
        var slope = Slope(sum, parts.HasDriven ? SlopeBelowRatio * balance.TuningHz : SealedTopHz(sum));
        return new(balance, slope, double.IsNaN(slope.DbPerOctave) ? $"less than a third of an octave below {(parts.HasDriven ? "the tuning" : "its roll-off")} may be believed, too little for a slope" : "");
    }

    /// <summary>Half of the frequency at which a sealed box has lost 3 dB of its highest level in the trusted band.</summary>
    private static double SealedTopHz(Response sum)
    {
        var points = sum.Points().Where(point => point.TrustedLevel).ToList();
        if (points.Count == 0) return double.NaN;
        var peak = points.Max(point => point.LevelDb);
        return points.First(point => point.LevelDb >= peak - 3).FrequencyHz / 2;
    }

    private static (double DbPerOctave, double FromHz, double ToHz) Slope(Response sum, double topHz)
    {
        var points = sum.Points().Where(point => point.TrustedLevel && !point.IsCensored && point.FrequencyHz <= topHz && point.FrequencyHz >= topHz * Math.Pow(2, -LongestSlopeOctaves)).ToList();
        if (points.Count < LeastPoints || Math.Log2(points[^1].FrequencyHz / points[0].FrequencyHz) < LeastSlopeOctaves) return (double.NaN, double.NaN, double.NaN);
        return (LineSlope(points), points[0].FrequencyHz, points[^1].FrequencyHz);
    }

    /// <summary>Least squares over octaves.</summary>
    internal static double LineSlope(IReadOnlyList<ResponsePoint> points) => LineSlope([.. points.Select(point => Math.Log2(point.FrequencyHz))], [.. points.Select(point => point.LevelDb)]);

    internal static double LineSlope(double[] x, double[] y) => SimpleRegression.Fit(x, y).B;
}
