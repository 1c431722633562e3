// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Where a recording with markers is silent, by hand: marker 0.5 to 0.9 s and 5 to 5.4 s, sweep 1.9 to 3.9 s, 6 s in all, at 1000 × 10 samples a second.</summary>
public sealed class MarkerTimesTests
{
    private const int Rate = 10_000, Shortest = 1_000;

    private static readonly Stimulus Marked = Stimulus.From(new()
    {
        SampleRateHz = Rate,
        StartHz = 10,
        EndHz = 400,
        SweepSeconds = 2,
        LeadInSeconds = 1.9,
        TailSeconds = 2.1,
        Marker = new(0.5, 0.4, 1_500, 4_000, 5),
    });

    private static readonly Stimulus Plain = Stimulus.From(Marked.Description with { Marker = null, MarkerOutput = null, DeviceOutputs = new Dictionary<string, int>() });

    [Fact]
    public void Without_a_marker_everything_before_the_sweep_is_silent() =>
        Assert.Equal((0, 18_900), new MarkerTimes(Plain, 0.02).Silence(60_000, Shortest));   // less 10 ms

    [Theory]
    [InlineData(0.0, 13_500, 18_500)]      // 0.9 + 0.05 + 0.4 s to 1.9 − 0.05 s: longer than the 0.45 s before the marker
    [InlineData(0.3, 0, 7_500)]            // the recorder began 0.3 s before the player, and the stretch before the marker is the longer one
    [InlineData(-0.3, 10_500, 15_500)]
    public void The_longest_stretch_clear_of_the_marker_is_the_silent_one(double soundSeconds, int first, int end) =>
        Assert.Equal((first, end - first), new MarkerTimes(Marked, soundSeconds).Silence(60_000, Shortest));

    [Fact]
    public void Where_there_is_no_silence_before_the_sweep_the_one_behind_the_repeat_serves()
    {
        var tight = Stimulus.From(Marked.Description with { LeadInSeconds = 0.9, Marker = new(0.2, 0.4, 1_500, 4_000, 3.5) });
        Assert.Equal((43_500, 6_500), new MarkerTimes(tight, 0).Silence(50_000, 2_000));   // 3.5 + 0.4 + 0.45 s to the end
        Assert.Equal((0, 0), new MarkerTimes(tight, 0).Silence(43_600, 2_000));
        Assert.Equal((0, 1_500), new MarkerTimes(tight, 0).Silence(50_000, Shortest));     // 0.15 s before the marker will do where nothing longer is asked for
    }

    [Fact]
    public void The_tail_ends_where_the_repeat_may_begin()
    {
        Assert.Equal(49_700, new MarkerTimes(Marked, 0.02).EndOfTail(60_000));
        Assert.Equal(45_000, new MarkerTimes(Marked, 0.02).EndOfTail(45_000));
        Assert.Equal(60_000, new MarkerTimes(Plain, 0.02).EndOfTail(60_000));
    }

    [Fact]
    public void Muting_leaves_sweep_tail_and_silence_as_they_are()
    {
        var reading = new TakeReading([.. Enumerable.Repeat(1.0, 60_000)], null, Rate);
        var times = new MarkerTimes(Marked, 0);
        var muted = times.Muted(reading).Microphone;
        for (var n = 0; n < muted.Length; n++)
            if (n < 4_500 || (n >= 13_500 && n < 49_500)) Assert.Equal(1, muted[n]);   // from 0.45 s, and from 4.95 s to the end
            else if (n is >= 4_550 and < 13_450 or >= 49_550) Assert.Equal(0, muted[n]);
            else Assert.InRange(muted[n], 0, 1);
        Assert.Same(reading, new MarkerTimes(Plain, 0).Muted(reading));
        Assert.All(reading.Microphone, sample => Assert.Equal(1, sample));
    }
}
