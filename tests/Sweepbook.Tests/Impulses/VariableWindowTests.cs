// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class VariableWindowTests
{
    private const int Rate = 48_000;
    private const double Rounding = 1e-11;   // of a sum of 48 000 products
    private static readonly LogGrid s_grid = LogGrid.Between(96, 20, 20_000);

    [Fact]
    public void Every_value_is_the_plain_sum_under_its_own_window()
    {
        var samples = Signals.Noise(30_000, 5);
        var impulse = new ImpulseResponse(samples, Rate, 4000.5, TimeZero.Loopback, new("g"), "test");
        var (arrival, lengths) = (0.02, WindowLengths.Periods(7));
        var seen = VariableWindow.Of(impulse, arrival, lengths, s_grid);
        foreach (var k in new[] { 0, 200, 500, s_grid.Count - 1 })
        {
            var at = (int)Math.Round(4000.5 + arrival * Rate);
            var (left, right) = ((int)Math.Round(2.5 / s_grid[k] * Rate), (int)Math.Round(7 / s_grid[k] * Rate));
            var (sum, fall) = (Complex.Zero, Math.Max(1, right / 4));
            for (var n = -left; n < right; n++)
            {
                if (at + n < 0 || at + n >= samples.Length) continue;
                var weight = n < 0 ? Math.Pow(Math.Sin(Math.PI / 2 * (n + left + 0.5) / left), 2)
                    : n < right - fall ? 1 : Math.Pow(Math.Cos(Math.PI / 2 * (n - right + fall + 0.5) / fall), 2);
                sum += weight * samples[at + n] * Complex.FromPolarCoordinates(1, -2 * Math.PI * s_grid[k] * (at + n - 4000.5) / Rate);
            }
            Assert.True((sum - seen.Values[k]).Magnitude < Rounding * samples.Length, $"{s_grid[k]} Hz: {seen.Values[k]}, not {sum}");
            Assert.Equal(seen.Values[k].Magnitude * seen.Values[k].Magnitude, seen.CellPower[k], 1e-6);   // seven periods blur more than a cell
        }
    }

    [Fact]
    public void Equal_lengths_everywhere_are_the_one_window()
    {
        var impulse = new ImpulseResponse(Signals.Noise(60_000, 6), Rate, 10_000, TimeZero.Loopback, new("g"), "test");
        var seen = VariableWindow.Of(impulse, 0, WindowLengths.OfTable([(100, 250)], "own choice"), s_grid);
        foreach (var k in new[] { 0, 300, 900 })
        {
            var cut = new ImpulseWindow(2.5 / s_grid[k], 0.25).Cut(impulse, 0);
            Assert.True((GridSpectrum.Of(cut, s_grid).Values[k] - seen.Values[k]).Magnitude < 1e-6);
        }
    }

    [Fact]
    public void A_reflection_is_seen_where_the_window_is_long_enough_and_gone_where_it_is_not()
    {
        var samples = new double[20_000];
        (samples[5000], samples[5480]) = (1, 0.5);   // 10 ms later
        var seen = VariableWindow.Of(new(samples, Rate, 5000, TimeZero.Loopback, new("g"), "test"), 0, WindowLengths.Periods(10), s_grid);
        for (var k = 0; k < s_grid.Count; k++)
        {
            // 1 + w·0.5·e^(−jω·10 ms): w = 1 before the last quarter of 10 periods (below 750 Hz), 0 beyond their end (above 1000 Hz)
            if (s_grid[k] < 749) Assert.Equal((1 + 0.5 * Complex.FromPolarCoordinates(1, -2 * Math.PI * s_grid[k] * 0.01)).Magnitude, seen.Values[k].Magnitude, 1e-9);
            if (s_grid[k] > 1001) Assert.Equal(1, seen.Values[k].Magnitude, 1e-9);
        }
    }
}
