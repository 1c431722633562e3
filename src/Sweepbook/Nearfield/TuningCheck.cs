// SPDX-License-Identifier: MIT
using Sweepbook.Spectra;

namespace Sweepbook.Nearfield;

/// <summary>Tuning and slope of a box, and whether cone and port fit each other. A plain fact.</summary>
/// <param name="TuningHz">The frequency in hertz at which the port is a quarter of a turn ahead of the cone; NaN where there is no port or it was not found.</param>
/// <param name="PortRatio">By how much the port's share reads too high beside the cone's: 1 where both fit, negative where one of them is reversed; NaN where not found.</param>
/// <param name="SlopeDbPerOctave">Slope of the sum below the tuning (a sealed box: below half of where it has lost 3 dB) in dB per octave; NaN where too little may be believed.</param>
/// <param name="SlopeFromHz">From where, in hertz.</param>
/// <param name="SlopeToHz">To where, in hertz.</param>
/// <param name="WhyNot">What could not be found and why, in a sentence; empty where all was.</param>
/// <remarks>
/// The air in the box takes what cone and port give it, and drives the port: U_C / U_P = −(1 − (f/f_B)²) − j f / (f_B Q), where Q are its losses (fact sheet 7.9 without them).
/// The real part is a straight line in f²: where it crosses zero lies the tuning, and at 0 Hz it must be −1, because below the tuning all that the cone displaces leaves through
/// the port. What it reads instead tells a wrong area, distance or polarity. With a passive radiator the −1 becomes −(1 + α), α the stiffness of its suspension over that of
/// the air, so its ratio reads below 1. Misleads where each microphone hears the other radiator and that was not taken off: of the order of a tenth. Derived.
/// </remarks>
public readonly record struct TuningCheck(double TuningHz, double PortRatio, double SlopeDbPerOctave, double SlopeFromHz, double SlopeToHz, string WhyNot)
{
    private const double FitOctaves = 0.6;           // each way: f² from 0.44 to 2.3 times that of the tuning
    private const double SlopeBelowRatio = 0.7;      // of the tuning: a maximally flat box has 95 % of its slope there
    private const double LongestSlopeOctaves = 1;
    private const double LeastSlopeOctaves = 1 / 3.0;
    private const int LeastPoints = 12;

    /// <summary>True where cone and port have opposite signs to what they should, as with one of the takes reversed.</summary>
    public bool IsReversed => PortRatio < 0;

    internal static TuningCheck Of(NearfieldSum sum)
    {
        if (!sum.HasDriven)
        {
            var (slope, fromHz, toHz) = Slope(sum, SealedTopHz(sum));
            return new(double.NaN, double.NaN, slope, fromHz, toHz, double.IsNaN(slope) ? "less than a third of an octave below its roll-off may be believed, too little for a slope" : "");
        }
        var (tuningHz, ratio, why) = Tuning(sum);
        if (double.IsNaN(tuningHz)) return new(double.NaN, double.NaN, double.NaN, double.NaN, double.NaN, why);
        var below = Slope(sum, SlopeBelowRatio * tuningHz);
        return new(tuningHz, ratio, below.DbPerOctave, below.FromHz, below.ToHz, double.IsNaN(below.DbPerOctave) ? "less than a third of an octave below the tuning may be believed, too little for a slope" : "");
    }

    private static (double TuningHz, double PortRatio, string WhyNot) Tuning(NearfieldSum sum)
    {
        var grid = sum.Response.Grid;
        var usable = Enumerable.Range(0, grid.Count).Where(k => grid[k] <= sum.ConeLimit.FrequencyHz && sum.Driven(k) is { } driven && HasPhase(sum, k)
            && driven.Magnitude * driven.Magnitude > 100 * sum.NoisePower(k, false)).ToList();
        if (usable.Count < LeastPoints) return (double.NaN, double.NaN, "the port is too quiet, or its phase is doubted, so no tuning can be found");
        var quietest = usable.MinBy(k => (sum.Motor(k) / sum.Driven(k)!.Value).Magnitude);
        var around = usable.Where(k => Math.Abs(Math.Log2(grid[k] / grid[quietest])) <= FitOctaves).ToList();
        var (s, x, xx, y, xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        foreach (var k in around)
        {
            var port = sum.Driven(k)!.Value;
            var ratio = sum.Motor(k) / port;
            var portPower = port.Magnitude * port.Magnitude;
            var noise = (sum.NoisePower(k, true) + ratio.Magnitude * ratio.Magnitude * sum.NoisePower(k, false)) / (2 * portPower);
            var weight = 1 / (noise + 1e-4 * (1 + ratio.Magnitude * ratio.Magnitude));   // a hundredth of either, so that one quiet point does not decide alone
            var square = Math.Pow(grid[k] / grid[quietest], 2);
            (s, x, xx, y, xy) = (s + weight, x + weight * square, xx + weight * square * square, y + weight * ratio.Real, xy + weight * square * ratio.Real);
        }
        var determinant = s * xx - x * x;
        var (slope, atZero) = ((s * xy - x * y) / determinant, (xx * y - x * xy) / determinant);
        var tuned = -atZero / slope;
        if (around.Count < LeastPoints || !(tuned > 0) || Math.Abs(Math.Log2(tuned) / 2) > FitOctaves)
            return (double.NaN, double.NaN, "cone and port never stand a quarter of a turn apart in the trusted band, so no tuning can be found");
        return (grid[quietest] * Math.Sqrt(tuned), -1 / atZero, "");
    }

    private static bool HasPhase(NearfieldSum sum, int k) => sum.Parts.All(part => part.PhaseTrust.ReasonAt(k).Doubt is Trust.Doubt.None or Trust.Doubt.Noise);

    /// <summary>Half of the frequency at which a sealed box has lost 3 dB of its highest level in the trusted band.</summary>
    private static double SealedTopHz(NearfieldSum sum)
    {
        var points = sum.Response.Points().Where(point => point.TrustedLevel).ToList();
        if (points.Count == 0) return double.NaN;
        var peak = points.Max(point => point.LevelDb);
        return points.First(point => point.LevelDb >= peak - 3).FrequencyHz / 2;
    }

    private static (double DbPerOctave, double FromHz, double ToHz) Slope(NearfieldSum sum, double topHz)
    {
        var points = sum.Response.Points().Where(point => point.TrustedLevel && !point.IsCensored && point.FrequencyHz <= topHz && point.FrequencyHz >= topHz * Math.Pow(2, -LongestSlopeOctaves)).ToList();
        if (points.Count < LeastPoints || Math.Log2(points[^1].FrequencyHz / points[0].FrequencyHz) < LeastSlopeOctaves) return (double.NaN, double.NaN, double.NaN);
        return (LineSlope(points), points[0].FrequencyHz, points[^1].FrequencyHz);
    }

    /// <summary>Least squares over octaves.</summary>
    internal static double LineSlope(IReadOnlyList<ResponsePoint> points) => LineSlope([.. points.Select(point => Math.Log2(point.FrequencyHz))], [.. points.Select(point => point.LevelDb)]);

    internal static double LineSlope(double[] x, double[] y)
    {
        var (mx, my) = (x.Average(), y.Average());
        var (xx, xy) = (0.0, 0.0);
        for (var k = 0; k < x.Length; k++) (xx, xy) = (xx + (x[k] - mx) * (x[k] - mx), xy + (x[k] - mx) * (y[k] - my));
        return xy / xx;
    }
}
