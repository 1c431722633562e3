// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class DirectConvolutionTests
{
    private const double Rounding = 1e-13;   // sums of up to 130 products of numbers near 1

    [Theory]
    [InlineData(1, 1, 0)]
    [InlineData(5, 3, 1)]
    [InlineData(40, 9, 0)]
    [InlineData(131, 77, 76)]
    [InlineData(200, 130, 64)]
    [InlineData(7, 50, 20)]
    public void It_agrees_with_the_double_loop(int signalLength, int tapCount, int origin)
    {
        var random = new RandomNumbers(1);
        var (signal, taps) = (Numbers(random, signalLength), Numbers(random, tapCount));
        for (var n = 0; n < signalLength / 4; n++) signal[n] = 0;   // silence ahead, which the fast version skips
        var fast = DirectConvolution.Centred(signal, taps, origin);
        Assert.Equal(signalLength, fast.Length);
        for (var n = 0; n < signalLength; n++)
        {
            var sum = 0.0;
            for (var k = 0; k < tapCount; k++)
                if (n + origin - k is var at && at >= 0 && at < signalLength) sum += taps[k] * signal[at];
            Assert.InRange(fast[n] - sum, -Rounding, Rounding);
        }
    }

    [Fact]
    public void Silence_stays_silence() => Assert.All(DirectConvolution.Centred(new double[100], [1, 2, 3], 1), value => Assert.Equal(0, value));

    [Fact]
    public void An_origin_outside_the_taps_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>("originSamples", () => DirectConvolution.Centred(new double[4], new double[3], 3));

    [Fact]   // closed form: a tap m samples after time zero turns the phase by −2πfm/rate
    public void The_response_of_one_late_tap_is_a_pure_delay()
    {
        var response = DirectConvolution.ResponseAt([0, 0, 0, 0, 2], 1, 48000, 1000);
        Assert.InRange((response - Complex.FromPolarCoordinates(2, -2 * Math.PI * 3 / 48)).Magnitude, 0, Rounding);
    }

    private static double[] Numbers(RandomNumbers random, int count) => [.. Enumerable.Range(0, count).Select(_ => random.NextGaussian())];
}
