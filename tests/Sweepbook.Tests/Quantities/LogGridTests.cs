// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class LogGridTests
{
    [Fact]
    public void One_kilohertz_is_on_every_grid()
    {
        foreach (var pointsPerOctave in (int[])[1, 3, 12, 24, 48, 96]) Assert.Contains(1000.0, LogGrid.Between(pointsPerOctave, 20, 20000).ToArray());
    }

    [Fact]
    public void An_octave_holds_as_many_steps_as_asked_for()
    {
        var grid = LogGrid.Between(96, 500, 2000);
        Assert.Equal((193, 96, 500.0, 2000.0), (grid.Count, grid.PointsPerOctave, grid[0], grid[192]));
        const double TwoPowers = 8e-16;   // a rounded power on either side
        for (var k = 0; k < 97; k++) Assert.Equal(2, grid[k + 96] / grid[k], TwoPowers);
    }

    [Fact]
    public void Grids_with_other_limits_share_their_points()
    {
        var (wide, narrow) = (LogGrid.Between(96, 5, 22000).ToArray(), LogGrid.Between(96, 19.7, 333.3).ToArray());
        Assert.Equal(wide.Where(f => f is >= 19.7 and <= 333.3), narrow);
    }

    [Theory, InlineData(1), InlineData(7), InlineData(96)]
    public void A_limit_that_is_a_grid_point_belongs_to_the_grid(int pointsPerOctave)
    {
        var wide = LogGrid.Between(pointsPerOctave, 1, 24000);
        for (var k = 0; k + 1 < wide.Count; k++)
        {
            var pair = LogGrid.Between(pointsPerOctave, wide[k], wide[k + 1]);
            Assert.Equal([wide[k], wide[k + 1]], pair.ToArray());
        }
    }

    [Fact]
    public void Limits_between_two_points_give_an_empty_grid() => Assert.Equal(0, LogGrid.Between(1, 600, 900).Count);

    [Fact]
    public void The_caller_owns_the_copy()
    {
        var grid = LogGrid.Between(3, 100, 1000);
        grid.ToArray()[0] = -1;
        Assert.True(grid[0] > 0);
    }

    [Theory]
    [InlineData(0, 20, 200, "pointsPerOctave"), InlineData(96, 0, 200, "fromHz"), InlineData(96, double.NaN, 200, "fromHz")]
    [InlineData(96, 200, 20, "toHz"), InlineData(96, 20, double.PositiveInfinity, "toHz"), InlineData(96, 20, double.NaN, "toHz")]
    public void Wrong_limits_are_refused(int pointsPerOctave, double fromHz, double toHz, string name) =>
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => LogGrid.Between(pointsPerOctave, fromHz, toHz)).ParamName);
}
