// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Xunit;

namespace Sweepbook.Tests.Files;

public class RecordingTests
{
    [Fact]
    public void Channels_are_copied_in_and_out()
    {
        double[] mine = [1, 2, 3];
        var recording = new Recording(1000, [mine]);
        mine[0] = 9;
        recording.Channel(1)[1] = 9;
        Assert.Equal([1, 2, 3], recording.Channel(1));
        Assert.Equal(0.003, recording.DurationSeconds);
    }

    [Fact]
    public void Channels_are_counted_from_one()
    {
        var recording = new Recording(48000, [[1], [2]]);
        Assert.Equal([2], recording.Channel(2));
        var thrown = Assert.Throws<ArgumentOutOfRangeException>(() => recording.Channel(0));
        Assert.StartsWith("Must be in [1, 2].", thrown.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => recording.Channel(3));
    }

    public static TheoryData<int, double[][], string> Wrong => new()
    {
        { 0, [[1]], "Must be in [1, 10000000] Hz." },
        { 48000, [], "Got 0 channels; must be in [1, 32]." },
        { 48000, [.. Enumerable.Range(0, 33).Select(_ => new double[1])], "Got 33 channels; must be in [1, 32]." },
        { 48000, [[1], [1, 2]], "Channel 2 has 2 samples and channel 1 has 1; the numbers must be equal." },
        { 48000, [[]], "Channel 1 holds no samples; at least one is needed." },
        { 48000, [[1], [double.NaN]], "Channel 2, sample 0 is NaN; must be finite." },
    };

    [Theory, MemberData(nameof(Wrong))]
    public void Wrong_arguments_are_named(int rateHz, double[][] channels, string message) =>
        Assert.StartsWith(message, Assert.ThrowsAny<ArgumentException>(() => new Recording(rateHz, channels)).Message, StringComparison.Ordinal);
}
