// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Seats;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class SeatMeansTests
{
    [Fact]
    public void The_three_means_are_drawn_and_the_deepest_hole_of_the_complex_one_is_named()
    {
        var figure = Figures.SeatMeans(SyntheticSeats.Straddling());
        Assert.Equal(["power mean", "level mean", "complex mean"], FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray().Select(trace => trace.GetProperty("name").GetString()));
        Assert.Contains($"At {PlotText.WithUnit(SyntheticSeats.HoleHz)} the complex mean lies 19 dB below the power mean", figure.TextAlternative);   // 20 lg (0.25 / 2.25)
        Assert.Contains("which nobody hears", figure.TextAlternative);
        Assert.Equal("seats.csv", figure.FromFile);
    }

    [Fact]
    public void Without_a_common_time_zero_there_are_two_means_and_a_sentence()
    {
        var figure = Figures.SeatMeans(SyntheticSeats.Straddling(TimeGroup.None));
        Assert.Equal(2, FigureTests.JsonOf(figure).GetProperty("data").GetArrayLength());
        Assert.Contains("have no complex mean, because the takes have no known time zero", figure.TextAlternative);
    }

    [Fact]
    public void Slow_peaks_and_predicted_modes_are_tables()
    {
        var peaks = Tables.SlowPeaks([new(40.44, 3.28, 0.6052, 0.0287, 28, 0.64, default), new(29.3, -3.6, 0.64, 0.12, 26, 0.63, new(Doubt.Noise, "only 12 dB of decay"))]);
        Assert.Equal([40.4, 29.3], peaks.GetColumn<double>("frequency (Hz)").Values);
        Assert.Equal([0.61, 0.64], peaks.GetColumn<double>("60 dB in (s)").Values);
        Assert.Equal(["", "only 12 dB of decay"], peaks.GetColumn<string>("remark").Values);

        var room = new RectangularRoom(5.85, 4.30, 2.50, 20.5);
        var modes = Tables.PredictedModes(PlacedModes.Of(room, [new("corner", PlaceKind.Source, new(0, 0, 0)), new("middle", PlaceKind.Seat, new(2.925, 2.15, 1.25))], 120), 50, "corner", "middle");
        Assert.Equal(["1,0,0", "0,1,0", "1,1,0"], modes.GetColumn<string>("order").Values);
        Assert.Equal([1.0, 1, 1], modes.GetColumn<double>("at corner").Values);
        Assert.Equal([0.0, 0, 0], modes.GetColumn<double>("at middle").Values);
    }
}

/// <summary>Two seats from 20 Hz to 1 kHz that are alike, but for one frequency near 40 Hz, where they are in opposite phase; and a third of little weight.</summary>
internal static class SyntheticSeats
{
    private static readonly LogGrid Grid = LogGrid.Between(24, 20, 1000);

    public static double HoleHz { get; } = Grid.ToArray().MinBy(f => Math.Abs(f - 40));

    public static SeatSet Straddling(TimeGroup? group = null)
    {
        return SeatSet.Of([new("left", Heard(1)), new("right", Heard(-1)), new("armchair", Heard(1), 0.25)]);

        Response Heard(int sign) => Of([.. Grid.ToArray().Select(f => new Complex(f == HoleHz ? sign : 1, 0))], group ?? new("loopback"));
    }

    /// <summary>Seats with one level each, alike at all frequencies; the last two count half.</summary>
    public static SeatSet OfLevels(params double[] levelsDb) => SeatSet.Of([.. levelsDb.Select((level, n) =>
        new SeatResponse($"seat-{n}", Of([.. Grid.ToArray().Select(_ => new Complex(Decibels.ToAmplitudeRatio(level), 0))], new("loopback")), n < levelsDb.Length - 2 ? 1 : 0.5))]);

    private static Response Of(Complex[] values, TimeGroup group)
    {
        var mask = new TrustMask(Grid.ToArray(), new Reason[values.Length]);
        return new(Grid, values, [.. values.Select(value => value.Real * value.Real)], new double[values.Length], new bool[values.Length], mask, mask, group, LevelReference.Loopback);
    }
}
