// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Spectra;

public sealed class ResponseTests
{
    private static readonly LogGrid Grid = LogGrid.Between(96, 100, 200);

    [Fact]
    public void A_delay_falls_in_phase()
    {
        const double DelaySeconds = 0.001;
        var response = Of(Grid.ToArray().Select(f => Complex.Exp(new(0, -2 * Math.PI * f * DelaySeconds))));
        Assert.True(response[1].PhaseDegrees < response[0].PhaseDegrees);
        Assert.Equal(-360 * Grid[0] * DelaySeconds, response[0].PhaseDegrees, 9);
    }

    [Fact]
    public void Smoothing_keeps_a_flat_level_and_averages_power_not_decibels()
    {
        Assert.All(Of(Enumerable.Repeat((Complex)2, Grid.Count)).SmoothedLevelsDb(3), level => Assert.Equal(20 * Math.Log10(2), level, 12));
        var comb = Of(Enumerable.Range(0, Grid.Count).Select(k => (Complex)(k % 2 == 0 ? 1 : 0.1)));
        var middle = comb.SmoothedLevelsDb(1)[Grid.Count / 2];
        Assert.Equal(10 * Math.Log10((1 + 0.01) / 2), middle, 0.1);   // the mean of the powers; the mean of the levels would be −10 dB
    }

    [Fact]
    public void Noise_contained_in_a_reading_is_taken_off_its_signal_to_noise_ratio()
    {
        var point = new ResponsePoint(100, 1, 2, 1, default, default, false);
        Assert.Equal(0, point.SnrDb, 12);
        Assert.Equal(-20, new ResponsePoint(100, 1, 1, 1, default, default, false).SnrDb, 12);
        Assert.True(double.IsNaN(new ResponsePoint(100, 1, 1, double.NaN, default, default, false).SnrDb));
    }

    [Fact]
    public void Arrays_of_the_wrong_length_are_refused_by_name()
    {
        var mask = Limits.From(Grid.ToArray(), 0, default);
        var fault = Assert.Throws<ArgumentException>(() => new Response(Grid, new Complex[3], new double[Grid.Count], new double[Grid.Count], new bool[Grid.Count], mask, mask, default, LevelReference.Loopback));
        Assert.Equal("values", fault.ParamName);
    }

    private static Response Of(IEnumerable<Complex> values)
    {
        var all = values.ToArray();
        var mask = Limits.From(Grid.ToArray(), 0, default);
        return new(Grid, all, [.. all.Select(value => value.Magnitude * value.Magnitude)], new double[Grid.Count], new bool[Grid.Count], mask, mask, default, LevelReference.Loopback);
    }
}
