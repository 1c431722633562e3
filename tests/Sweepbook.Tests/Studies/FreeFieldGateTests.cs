// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class FreeFieldGateTests
{
    private const string Room = "[room]\nlength_m = 12.0\nwidth_m = 10.0\nheight_m = 6.0\ntemperature_c = 20.0\n";
    private const string Source = "position_m = [5.0, 5.0, 2.0]", Seat = "position_m = [6.0, 5.0, 2.0]";
    private static readonly double FloorSeconds = (Math.Sqrt(1 + 16) - 1) / Air.SpeedOfSoundMetresPerSecond(20);   // 4 m to the mirror image below, 1 m along

    [Fact]
    public void With_room_and_positions_the_gate_ends_before_the_floor_and_the_response_is_free_of_it()
    {
        using var folder = new SmallSurvey(top: Room, source: Source, seat: Seat);
        folder.Add("a.wav", Reflected, keys: "field = \"free\"");
        folder.Add("b.wav", Reflected);
        var study = Study.Of(folder.Read());
        var (free, room) = (study.Responses[0], study.Responses[1]);
        var fromHz = 2 / free.Window.RightSeconds;
        Assert.InRange(free.Window.RightSeconds, FloorSeconds - 0.0005, FloorSeconds);   // 0.15 m of tolerance are 0.44 ms
        Assert.Equal((Doubt.Reflection, Doubt.None), (free.Response.ReasonAt(fromHz * 0.9).Doubt, free.Response.ReasonAt(fromHz * 1.1).Doubt));
        Assert.Matches(@"^only indicative below 2[0-9]{2}(\.[0-9])? Hz, where the gate of 8\.\d ms before the first reflection \(floor\) still shapes the curve$", free.LevelBand.LowReason.Sentence);
        Assert.Equal([Doubt.None], free.Response.Doubts(fromHz * 1.1, 16_000));
        Assert.True(RippleDb(free) < 0.2);
        Assert.True(RippleDb(room) > 4);   // ± 2.3 dB of a reflection 0.3 times as strong
        Assert.Equal([Doubt.None], room.Response.Doubts(12, 16_000));

        static double RippleDb(ResponseResult result)
        {
            var levels = result.Response.Points().Where(point => point.FrequencyHz is > 500 and < 2000).Select(point => point.LevelDb).ToList();
            return levels.Max() - levels.Min();
        }
    }

    [Fact]
    public void Without_positions_the_window_is_left_alone_and_a_remark_says_that_no_reflection_is_known()
    {
        using var folder = new SmallSurvey("calibration = \"omni.txt\"", source: Source, seat: Seat);
        folder.WriteCalibration("10 0\n20000 0\n");
        folder.Add("a.wav", Reflected, keys: "field = \"free\"");
        var result = Assert.Single(Study.Of(folder.Read()).Responses);
        Assert.True(result.Window.RightSeconds > 0.7);
        Assert.Equal((Doubt.None, "free of reflections by the survey's word: without room and positions the first one is not known"),
            (result.Response.ReasonAt(500).Doubt, result.Response.ReasonAt(500).Sentence));
    }

    private static (int, double)[] Reflected => [(140, 0.4), (140 + (int)Math.Round(FloorSeconds * SmallSurvey.Rate), 0.12)];
}
