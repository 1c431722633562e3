// SPDX-License-Identifier: MIT
using MathNet.Numerics.LinearRegression;

namespace Sweepbook.Nearfield;

/// <summary>The straight line of cone over port against f², which tells the tuning and whether both fit each other; the law is beside <see cref="TuningCheck"/>.</summary>
internal readonly record struct PortBalance(double TuningHz, double PortRatio, string WhyNot)
{
    private const double FitOctaves = 0.6;           // each way: f² from 0.44 to 2.3 times that of the tuning
    private const int LeastPoints = 12;
    private const double LeastSnrPower = 100;        // 20 dB, as for phase elsewhere
    private const string NoQuarterTurn = "cone and port never stand a quarter of a turn apart in the trusted band, so no tuning can be found";

    /// <summary>By how much the port's share is wrong, as a part of it, if the law holds; 0 where nothing was found.</summary>
    internal double ErrorRatio => double.IsNaN(PortRatio) ? 0 : Math.Abs(1 - 1 / PortRatio);

    internal static PortBalance Of(PartSums parts, double highestHz)
    {
        if (!parts.HasDriven) return new(double.NaN, double.NaN, "");
        var grid = parts.Grid;
        var usable = Enumerable.Range(0, grid.Count).Where(k => grid[k] <= highestHz && parts.HasPhase(k)
            && parts.Driven(k).Magnitude is > 0 and var port && port * port >= LeastSnrPower * parts.NoisePower(k, false)).ToList();
        if (usable.Count < LeastPoints) return new(double.NaN, double.NaN, "the port is too quiet, or its phase is doubted, so no tuning can be found");
        var quietest = usable.MinBy(k => (parts.Motor(k) / parts.Driven(k)).Magnitude);
        var around = usable.Where(k => Math.Abs(Math.Log2(grid[k] / grid[quietest])) <= FitOctaves).ToList();
        if (around.Count < LeastPoints) return new(double.NaN, double.NaN, NoQuarterTurn);
        var (squares, ratios, weights) = (new double[around.Count][], new double[around.Count], new double[around.Count]);
        for (var n = 0; n < around.Count; n++)
        {
            var k = around[n];
            var port = parts.Driven(k);
            var ratio = parts.Motor(k) / port;
            var portPower = port.Magnitude * port.Magnitude;
            var noise = (parts.NoisePower(k, true) + ratio.Magnitude * ratio.Magnitude * parts.NoisePower(k, false)) / (2 * portPower);
            weights[n] = 1 / (noise + 1e-4 * (1 + ratio.Magnitude * ratio.Magnitude));   // a hundredth of either, so that one quiet point does not decide alone
            (squares[n], ratios[n]) = ([Math.Pow(grid[k] / grid[quietest], 2)], ratio.Real);
        }
        var line = WeightedRegression.Weighted(squares, ratios, weights, intercept: true);
        var (atZero, slope) = (line[0], line[1]);
        var tuned = -atZero / slope;
        if (!(tuned > 0) || Math.Abs(Math.Log2(tuned) / 2) > FitOctaves) return new(double.NaN, double.NaN, NoQuarterTurn);
        return new(grid[quietest] * Math.Sqrt(tuned), -1 / atZero, "");
    }
}
