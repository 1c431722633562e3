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
    [InlineData(0.65, 90, 169.97)]
    public void The_schroeder_frequency_agrees_with_the_fact_sheet(double t60, double volume, double hz) =>
        Assert.InRange(new RectangularRoom(volume / 10, 5, 2).SchroederFrequencyHz(t60) - hz, -HalfLastPrintedDigitHz, HalfLastPrintedDigitHz);

    [Theory]   // fact sheet 8.8
    [InlineData(100, 0.517)]
    [InlineData(150, 0.997)]
    [InlineData(200, 1.631)]
    [InlineData(300, 3.364)]
    public void The_modal_density_agrees_with_the_fact_sheet_and_is_the_slope_of_the_count(double frequencyHz, double perHz)
    {
        const double HalfLastPrintedDigit = 0.0005, StepHz = 0.01;
        var room = RectangularRoom.WithSpeedOfSound(7, 5.18, 2.74, 343);
        Assert.InRange(room.ModalDensityPerHz(frequencyHz) - perHz, -HalfLastPrintedDigit, HalfLastPrintedDigit);
        Assert.Equal((room.ExpectedCountBelow(frequencyHz + StepHz) - room.ExpectedCountBelow(frequencyHz - StepHz)) / (2 * StepHz), room.ModalDensityPerHz(frequencyHz), 1e-7);   // a cubic: StepHz² times its leading factor
    }

    [Theory]   // fact sheet 8.9, which rounds the constant to 2.2
    [InlineData(0.2, 11.0)]
    [InlineData(0.3, 7.33)]
    [InlineData(0.5, 4.40)]
    [InlineData(1.0, 2.20)]
    public void The_bandwidth_of_a_mode_agrees_with_the_fact_sheet(double t60, double hz)
    {
        const double RoundedConstant = 0.001;   // 2.1988 against 2.2, and three printed figures
        Assert.Equal(1, RectangularRoom.ModalBandwidthHz(t60) / hz, RoundedConstant);
        // closed form: amplitude e^(−δt) falls by 60 dB in T60, and its spectrum is 3 dB down δ / 2π either side of the peak
        Assert.Equal(2 * Math.Log(1000) / t60 / (2 * Math.PI), RectangularRoom.ModalBandwidthHz(t60), 1e-12);
    }

    [Fact]   // fact sheet 8.6: Schroeder's constant 2000 stands for about three modes of the volume term in one bandwidth (2093 for just three at 343 m/s)
    public void At_the_schroeder_frequency_three_modes_share_one_bandwidth()
    {
        const double T60 = 0.6;
        var hall = RectangularRoom.WithSpeedOfSound(600, 500, 400, 343);   // so large that walls and edges add less than 1 %
        var overlap = hall.ModalDensityPerHz(hall.SchroederFrequencyHz(T60) * 2093 / 2000) * RectangularRoom.ModalBandwidthHz(T60);
        Assert.Equal(3, overlap / (1 + WallsAndEdges(hall, hall.SchroederFrequencyHz(T60) * 2093 / 2000)), 0.003);   // 2093 is rounded
    }

    private static double WallsAndEdges(RectangularRoom room, double frequencyHz)
    {
        var perMetre = frequencyHz / room.SpeedOfSoundMetresPerSecond;
        var area = 2 * (room.LengthMetres * room.WidthMetres + room.WidthMetres * room.HeightMetres + room.LengthMetres * room.HeightMetres);
        return (Math.PI * area * perMetre / 2 + (room.LengthMetres + room.WidthMetres + room.HeightMetres) / 2) / (4 * Math.PI * room.VolumeCubicMetres * perMetre * perMetre);
    }

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

    [Theory]   // fact sheet 9.2: corners and opposite midpoints, sums of the shapes on the floor
    [InlineData("corners", 2, 0, 4)]
    [InlineData("corners", 0, 2, 4)]
    [InlineData("corners", 2, 2, 4)]
    [InlineData("corners", 1, 0, 0)]
    [InlineData("corners", 3, 2, 0)]
    [InlineData("midpoints", 2, 0, 2)]
    [InlineData("midpoints", 0, 2, -2)]
    [InlineData("midpoints", 2, 2, -2)]
    [InlineData("midpoints", 1, 2, 0)]
    [InlineData("midpoints", 0, 1, 0)]
    public void Corners_and_opposite_midpoints_drive_the_modes_of_the_fact_sheet(string where, int alongLength, int alongWidth, double sum)
    {
        Position[] places = where == "corners" ? [new(0, 0, 0), new(6, 0, 0), new(0, 4, 0), new(6, 4, 0)] : [new(0, 2, 0), new(6, 2, 0)];
        Assert.Equal(sum, places.Sum(place => new RectangularRoom(6, 4, 2.5).ShapeAt(new(alongLength, alongWidth, 0, 0), place)), 12);
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
        Assert.Throws<ArgumentOutOfRangeException>("frequencyHz", () => new RectangularRoom(5, 4, 2.5).ModalDensityPerHz(-1));
        Assert.Throws<ArgumentOutOfRangeException>("t60Seconds", () => RectangularRoom.ModalBandwidthHz(0));
    }
}
