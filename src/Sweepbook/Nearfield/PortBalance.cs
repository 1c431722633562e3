// SPDX-License-Identifier: MIT
namespace Sweepbook.Nearfield;

/// <summary>The straight line of cone over port against f², which tells the tuning and whether both fit each other; the law is beside <see cref="TuningCheck"/>.</summary>
internal readonly record struct PortBalance(double TuningHz, double PortRatio, string WhyNot)
{
    private const double FitOctaves = 0.6;           // each way: f² from 0.44 to 2.3 times that of the tuning
    private const int LeastPoints = 12;
    private const double LeastSnrPower = 100;        // 20 dB, as for phase elsewhere

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
        var (s, x, xx, y, xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        foreach (var k in around)
        {
            var port = parts.Driven(k);
            var ratio = parts.Motor(k) / port;
            var portPower = port.Magnitude * port.Magnitude;
            var noise = (parts.NoisePower(k, true) + ratio.Magnitude * ratio.Magnitude * parts.NoisePower(k, false)) / (2 * portPower);
            var weight = 1 / (noise + 1e-4 * (1 + ratio.Magnitude * ratio.Magnitude));   // a hundredth of either, so that one quiet point does not decide alone
            var square = Math.Pow(grid[k] / grid[quietest], 2);
            (s, x, xx, y, xy) = (s + weight, x + weight * square, xx + weight * square * square, y + weight * ratio.Real, xy + weight * square * ratio.Real);
        }
        var determinant = s * xx - x * x;
        var (slope, atZero) = ((s * xy - x * y) / determinant, (xx * y - x * xy) / determinant);
        var tuned = -atZero / slope;
        if (around.Count < LeastPoints || !(tuned > 0) || Math.Abs(Math.Log2(tuned) / 2) > FitOctaves)
            return new(double.NaN, double.NaN, "cone and port never stand a quarter of a turn apart in the trusted band, so no tuning can be found");
        return new(grid[quietest] * Math.Sqrt(tuned), -1 / atZero, "");
    }
}
