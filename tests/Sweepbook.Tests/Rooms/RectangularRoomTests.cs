// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Xunit;

namespace Sweepbook.Tests.Rooms;

public sealed class RectangularRoomTests
{
    private const double FootMetres = 0.3048;
    private const double HandbookSpeed = 1130 * FootMetres;   // the handbooks' 1130 ft/s
    private const double HalfLastPrintedDigitHz = 0.005;      // the tables print two decimals
    private const double RoundedSourceHz = 0.0051;            // the same where the sheet's own rounding meets ours

    private static RectangularRoom Feet(double length, double width, double height) =>
        RectangularRoom.WithSpeedOfSound(length * FootMetres, width * FootMetres, height * FootMetres, HandbookSpeed);

    private static double FrequencyOf(RectangularRoom room, string order) => room.ModesBelow(200).Single(mode => mode.Order == order).FrequencyHz;

    [Theory]   // Handbook for Sound Engineers, chapter 6, table 6-4: 16 × 12 × 8 ft (fact sheet 8.2)
    [InlineData("1,0,0", 35.31)]
    [InlineData("2,0,0", 70.63)]
    [InlineData("3,0,0", 105.94)]
    [InlineData("0,1,0", 47.08)]
    [InlineData("0,2,0", 94.17)]
    [InlineData("0,3,0", 141.25)]
    [InlineData("0,0,1", 70.63)]
    [InlineData("0,0,2", 141.25)]
    public void Axial_modes_agree_with_the_handbook_room(string order, double printedHz) =>
        Assert.InRange(FrequencyOf(Feet(16, 12, 8), order) - printedHz, -RoundedSourceHz, RoundedSourceHz);

    [Theory]   // the same page: 23 × 17 × 9 ft (fact sheet 8.3)
    [InlineData("1,0,0", 24.57)]
    [InlineData("0,1,0", 33.24)]
    [InlineData("2,0,0", 49.13)]
    [InlineData("0,0,1", 62.78)]
    [InlineData("0,2,0", 66.47)]
    [InlineData("3,0,0", 73.70)]
    [InlineData("4,0,0", 98.26)]
    [InlineData("0,3,0", 99.71)]
    public void Axial_modes_agree_with_the_second_handbook_room(string order, double printedHz) =>
        Assert.InRange(FrequencyOf(Feet(23, 17, 9), order) - printedHz, -RoundedSourceHz, RoundedSourceHz);

    [Fact]   // Master Handbook of Acoustics, p. 216: 23 ft 4 in × 16 × 10 ft at 344 m/s (fact sheet 8.4)
    public void The_lowest_modes_agree_with_the_master_handbook()
    {
        var room = RectangularRoom.WithSpeedOfSound((23 + 4 / 12.0) * FootMetres, 16 * FootMetres, 10 * FootMetres, 344);
        var printed = new (string Order, double Hz)[] { ("1,0,0", 24.18), ("0,1,0", 35.27), ("1,1,0", 42.76), ("2,0,0", 48.37), ("0,0,1", 56.43) };
        foreach (var (order, hz) in printed) Assert.InRange(FrequencyOf(room, order) - hz, -RoundedSourceHz, RoundedSourceHz);
    }

    [Fact]   // fact sheet 8.5
    public void An_eight_metre_room_has_its_first_mode_at_21_hz() =>
        Assert.InRange(RectangularRoom.WithSpeedOfSound(8, 5, 3, 343).ModesBelow(30)[0].FrequencyHz - 21.44, -HalfLastPrintedDigitHz, HalfLastPrintedDigitHz);

    [Theory]   // fact sheet 8.7 and 8.8: brute-force counts and the smooth formula
    [InlineData(5, 4, 2.5, 100, 12, 12.54)]
    [InlineData(5, 4, 2.5, 150, 33, 32.80)]
    [InlineData(5, 4, 2.5, 200, 65, 67.57)]
    [InlineData(5, 4, 2.5, 300, 195, 196.23)]
    [InlineData(7, 5.18, 2.74, 100, 22, 21.79)]
    [InlineData(7, 5.18, 2.74, 150, 60, 58.99)]
    [InlineData(7, 5.18, 2.74, 200, 123, 124.04)]
    [InlineData(7, 5.18, 2.74, 300, 365, 368.65)]
    public void Mode_counts_agree_with_the_fact_sheet(double length, double width, double height, double belowHz, int count, double expected)
    {
        var room = RectangularRoom.WithSpeedOfSound(length, width, height, 343);
        Assert.Equal(count, room.ModesBelow(belowHz).Count);
        Assert.InRange(room.ExpectedCountBelow(belowHz) - expected, -HalfLastPrintedDigitHz, HalfLastPrintedDigitHz);
    }

    [Theory]   // fact sheet 8.6
    [InlineData(0.4, 100, 126.49)]
    [InlineData(0.5, 50, 200.00)]
    [InlineData(0.3, 40, 173.21)]
    public void The_schroeder_frequency_agrees_with_the_fact_sheet(double t60, double volume, double hz) =>
        Assert.InRange(new RectangularRoom(volume / 10, 5, 2).SchroederFrequencyHz(t60) - hz, -HalfLastPrintedDigitHz, HalfLastPrintedDigitHz);

    [Fact]   // fact sheet 9.2: four wall midpoints, floor plane, orders 0 to 3
    public void Four_wall_midpoints_drive_only_the_even_mode_of_both_directions()
    {
        var room = new RectangularRoom(6, 4, 2.5);
        Position[] midpoints = [new(0, 2, 0), new(6, 2, 0), new(3, 0, 0), new(3, 4, 0)];
        foreach (var mode in room.ModesBelow(250).Where(mode => mode.AlongHeight == 0 && mode.AlongLength <= 3 && mode.AlongWidth <= 3))
        {
            var expected = (mode.AlongLength, mode.AlongWidth) == (2, 2) ? -4 : 0;
            Assert.Equal(expected, midpoints.Sum(point => room.ShapeAt(mode, point)), 12);
        }
    }

    [Fact]
    public void Kinds_count_the_pairs_of_walls()
    {
        Assert.Equal(ModeKind.Axial, new PredictedMode(0, 2, 0, 1).Kind);
        Assert.Equal(ModeKind.Tangential, new PredictedMode(1, 2, 0, 1).Kind);
        Assert.Equal(ModeKind.Oblique, new PredictedMode(1, 2, 3, 1).Kind);
    }

    [Fact]
    public void Impossible_rooms_and_points_outside_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>("widthMetres", () => new RectangularRoom(5, 0, 2.5));
        Assert.Throws<ArgumentOutOfRangeException>("heightMetres", () => new RectangularRoom(5, 4, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>("temperatureCelsius", () => new RectangularRoom(5, 4, 2.5, -300));
        Assert.Throws<ArgumentOutOfRangeException>("point", () => new RectangularRoom(5, 4, 2.5).ShapeAt(new(1, 0, 0, 34), new(6, 1, 1)));
        Assert.Throws<ArgumentOutOfRangeException>("frequencyHz", () => new RectangularRoom(5, 4, 2.5).ModesBelow(double.NaN));
    }
}
