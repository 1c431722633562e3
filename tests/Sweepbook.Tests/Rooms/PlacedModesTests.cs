// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Xunit;

namespace Sweepbook.Tests.Rooms;

public sealed class PlacedModesTests
{
    private static readonly RectangularRoom Room = RectangularRoom.WithSpeedOfSound(6, 4, 2.5, 343);
    private static readonly RoomPlace Corner = new("sub", PlaceKind.Source, new(0, 0, 0)), Middle = new("sofa", PlaceKind.Seat, new(3, 1, 1.25)), Outside = new("hall", PlaceKind.Seat, new(7, 1, 1));

    [Fact]
    public void A_corner_meets_every_mode_in_full_and_the_middle_sits_in_the_nodes_of_the_odd_ones()
    {
        var modes = PlacedModes.Of(Room, [Corner, Middle], 100);
        Assert.All(modes.At("sub"), meeting => Assert.Equal((1, 0, false), (meeting.ShapeRatio, meeting.LevelDb, meeting.IsInNode)));
        foreach (var meeting in modes.At("sofa"))
        {
            var (mode, isOdd) = (meeting.Mode, meeting.Mode.AlongLength % 2 == 1 || meeting.Mode.AlongHeight % 2 == 1 || meeting.Mode.AlongWidth == 2);   // 1 m is a quarter of the width
            Assert.Equal(isOdd, meeting.IsInNode);
            if (isOdd) Assert.Equal((0, double.NegativeInfinity), (meeting.ShapeRatio, meeting.LevelDb));   // exactly zero, not the rounding of a cosine
        }
        Assert.Contains(modes.InNodes, meeting => meeting is { Mode.Order: "1,0,0", Place.Name: "sofa" });
        Assert.All(modes.InNodes, meeting => Assert.Equal("sofa", meeting.Place.Name));
    }

    [Theory]   // 0.1 of the shape of the first axial mode: asin(0.1) / π of the length, 19.13 cm of 6 m, either side of the plane
    [InlineData(0.191, true)]
    [InlineData(0.192, false)]
    public void A_node_reaches_twenty_decibels_down(double fromPlaneMetres, bool isInNode)
    {
        foreach (var side in new[] { -1, 1 })
        {
            var meeting = PlacedModes.Of(Room, [new("seat", PlaceKind.Seat, new(3 + side * fromPlaneMetres, 0, 0))], 30).Meetings.Single();
            Assert.Equal(("1,0,0", isInNode), (meeting.Mode.Order, meeting.IsInNode));
            Assert.Equal(-20, meeting.LevelDb, 0.1);   // half a millimetre beside the limit
        }
    }

    [Fact]
    public void Meetings_go_by_mode_and_then_by_place()
    {
        var modes = PlacedModes.Of(Room, [Middle, Corner], 60);
        Assert.Equal(modes.Modes.SelectMany(mode => new[] { (mode.Order, "sofa"), (mode.Order, "sub") }), modes.Meetings.Select(meeting => (meeting.Mode.Order, meeting.Place.Name)));
        Assert.Equal(Room.ModesBelow(60), modes.Modes);
    }

    [Fact]
    public void A_place_outside_the_room_is_set_aside_and_the_others_stay()
    {
        var modes = PlacedModes.Of(Room, [Outside, Corner], 60);
        Assert.Equal(("hall", "sub"), (modes.PlacesOutside.Single().Name, modes.Places.Single().Name));
        Assert.Equal(modes.Modes.Count, modes.Meetings.Count);
        Assert.Contains("there are: sub", Assert.Throws<ArgumentException>("place", () => modes.At("hall")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_places_there_are_modes_and_no_meetings()
    {
        var modes = PlacedModes.Of(Room, [], 60);
        Assert.NotEmpty(modes.Modes);
        Assert.Empty(modes.Meetings);
        Assert.Throws<ArgumentOutOfRangeException>("frequencyHz", () => PlacedModes.Of(Room, [], double.NaN));
    }
}
