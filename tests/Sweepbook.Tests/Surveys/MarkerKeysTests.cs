// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Tests.Surveys;

/// <summary>The keys of markers and clocks: read where they mean something, refused with advice where they do not.</summary>
public sealed class MarkerKeysTests
{
    private const string Take = """

        [[take]]
        file = "takes/one.wav"
        sources = ["sub-left"]
        seat = "sofa"

        """;

    [Fact]
    public void Distance_and_clock_are_read()
    {
        var take = SurveyTexts.Read(SurveyTexts.Whole).Takes[1];
        Assert.Equal((2.45, -37.2), (take.MarkerDistanceMetres, take.ClockPpm));
        Assert.Null(SurveyTexts.Read(SurveyTexts.Whole).Takes[0].ClockPpm);
    }

    [Theory]
    [InlineData("marker_distance_m = 2.0", "a marker distance means something only with time_zero = \"marker\"")]
    [InlineData("time_zero = \"marker\"\nmarker_distance_m = -1.0", "`marker_distance_m` must lie in [0, 100] m")]
    [InlineData("reference_channel = 2\nclock_ppm = 3.0", "a take with a loopback shares one clock with what was played")]
    [InlineData("clock_ppm = 2500.0", "`clock_ppm` must lie in [-2000, 2000] ppm")]
    [InlineData("impulse = true\nclock_ppm = 3.0", "an impulse take has no clock error of its own")]
    public void Keys_that_mean_nothing_there_are_refused(string keys, string problem)
    {
        var message = SurveyTexts.FaultOf(SurveyTexts.Plain + Take + keys + "\n");
        Assert.True(message.Replace('−', '-').Contains(problem, StringComparison.Ordinal), message);
    }

    [Fact]
    public void One_time_group_has_one_kind_of_zero()
    {
        var message = SurveyTexts.FaultOf(SurveyTexts.Plain + Take + "time_zero = \"marker\"\ntime_group = \"evening\"\nmarker_distance_m = 2.0\n"
            + Take.Replace("one", "two", StringComparison.Ordinal).Replace("\"sofa\"", "\"sofa_2\"", StringComparison.Ordinal) + "time_zero = \"marker\"\ntime_group = \"evening\"\n");
        Assert.Contains("takes/two.wav states no marker_distance_m, but takes/one.wav of the same time group \"marker/evening\" does, so their time zeros differ", message);
        Assert.Contains("State the distance from the marker's loudspeaker to the microphone for every take of the group, or for none.", message);
    }

    [Fact]
    public void A_group_over_two_seats_needs_the_distances()
    {
        var one = SurveyTexts.Plain + Take + "time_zero = \"marker\"\ntime_group = \"evening\"\n";
        var two = Take.Replace("one", "two", StringComparison.Ordinal).Replace("\"sofa\"", "\"sofa_2\"", StringComparison.Ordinal) + "time_zero = \"marker\"\ntime_group = \"evening\"\n";
        Assert.Contains("the marker's way to sofa_2 is another one than to sofa", SurveyTexts.FaultOf(one + two), StringComparison.Ordinal);
        Assert.Contains("leave time_group out", SurveyTexts.FaultOf(one + two), StringComparison.Ordinal);
        Assert.Equal(2, SurveyTexts.Read(one + "marker_distance_m = 2.0\n" + two + "marker_distance_m = 3.1\n").Takes.Count);
    }
}
