// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class ImpulseWindowTests
{
    private const int Rate = 1000;

    [Fact]
    public void Cutting_keeps_the_time_axis()
    {
        var samples = new double[3000];
        samples[1500] = 1;
        var response = new ImpulseResponse(samples, Rate, 1000, TimeZero.Loopback, new("g"), "test");
        var cut = new ImpulseWindow(0.1, 0.4).Cut(response, 0.5);
        Assert.Equal(500, cut.Length);
        var place = Array.IndexOf(cut.ToArray(), 1.0);
        Assert.Equal(0.5, cut.SecondsAt(place), 12);
    }

    [Fact]
    public void The_window_is_one_at_the_arrival_and_falls_only_over_its_last_quarter()
    {
        var response = new ImpulseResponse(Enumerable.Repeat(1.0, 3000).ToArray(), Rate, 1000, TimeZero.Loopback, new("g"), "test");
        var cut = new ImpulseWindow(0.1, 0.4).Cut(response, 0.5).ToArray();
        Assert.All(cut[100..400], value => Assert.Equal(1, value));
        Assert.All(cut[1..100].Zip(cut[..99]), pair => Assert.True(pair.First > pair.Second));
        Assert.All(cut[401..500].Zip(cut[400..499]), pair => Assert.True(pair.First < pair.Second));
    }

    [Fact]
    public void Outside_the_record_lies_nothing()
    {
        var response = new ImpulseResponse([1, 1, 1, 1], Rate, 0, TimeZero.Loopback, new("g"), "test");
        var cut = new ImpulseWindow(0.01, 0.1).Cut(response, 0);
        Assert.Equal(110, cut.Length);
        Assert.Equal(4, cut.ToArray().Count(value => value != 0));
    }

    [Fact]
    public void A_window_of_T_resolves_one_over_T_and_is_trusted_from_twice_that()
    {
        var window = new ImpulseWindow(0.1, 0.5);
        Assert.Equal((2.0, 4.0), (window.ResolutionHz, window.TrustedFromHz));
    }

    [Theory]
    [InlineData(0.0, 1.0, "LeftSeconds")]
    [InlineData(0.1, double.NaN, "RightSeconds")]
    [InlineData(0.1, -1.0, "RightSeconds")]
    public void A_length_that_is_not_above_zero_is_refused(double left, double right, string name)
    {
        var response = new ImpulseResponse([1], Rate, 0, TimeZero.Loopback, new("g"), "test");
        Assert.Equal(name, Assert.Throws<ArgumentOutOfRangeException>(() => new ImpulseWindow(left, right).Cut(response, 0)).ParamName);
    }
}
