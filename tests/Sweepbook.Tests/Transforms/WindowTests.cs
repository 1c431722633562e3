// SPDX-License-Identifier: MIT
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Transforms;

public sealed class WindowTests
{
    // F. J. Harris, "On the Use of Windows for Harmonic Analysis with the DFT", Proc. IEEE 66 (1978), Table I.
    private const double HalfLastPrintedDigit = 0.005;   // the table prints two decimals

    private const double Rounding = 1e-15;               // weights up to 1, a handful of operations each

    public static TheoryData<string, Func<int, double[]>, double> HarrisTableI => new()
    {
        { "Rectangle", n => Window.Tukey(n, 0), 1.00 },
        { "Tukey 0.25", n => Window.Tukey(n, 0.25), 1.10 },
        { "Tukey 0.50", n => Window.Tukey(n, 0.50), 1.22 },
        { "Tukey 0.75", n => Window.Tukey(n, 0.75), 1.36 },
        { "Hann", Window.Hann, 1.50 },
        { "Hann, periodic", Window.HannPeriodic, 1.50 },
        { "Hamming", Window.Hamming, 1.36 },
        { "Hamming, periodic", Window.HammingPeriodic, 1.36 },
        { "Blackman", Window.Blackman, 1.73 },
        { "Blackman, periodic", Window.BlackmanPeriodic, 1.73 },
    };

    [Theory, MemberData(nameof(HarrisTableI))]
    public void Noise_bandwidth_agrees_with_Harris(string name, Func<int, double[]> window, double bins) =>
        Assert.True(Math.Abs(Window.NoiseBandwidthBins(window(4096)) - bins) <= HalfLastPrintedDigit, name);

    public static TheoryData<string, Func<int, double[]>, Func<int, double[]>> Pairs => new()
    {
        { "Hann", Window.Hann, Window.HannPeriodic },
        { "Hamming", Window.Hamming, Window.HammingPeriodic },
        { "Blackman", Window.Blackman, Window.BlackmanPeriodic },
    };

    [Theory, MemberData(nameof(Pairs))]
    public void The_periodic_window_is_the_symmetric_one_of_one_more_without_its_last_point(string name, Func<int, double[]> symmetric, Func<int, double[]> periodic)
    {
        foreach (var length in (int[])[2, 5, 8, 31, 240])
            Assert.True(periodic(length).AsSpan().SequenceEqual(symmetric(length + 1).AsSpan(0, length)), $"{name} {length}");
    }

    [Theory, MemberData(nameof(Pairs))]
    public void The_symmetric_window_is_its_own_mirror_image(string name, Func<int, double[]> symmetric, Func<int, double[]> periodic)
    {
        foreach (var length in (int[])[1, 2, 5, 8, 31, 240])
            Assert.True(symmetric(length).AsSpan().SequenceEqual(symmetric(length).Reverse().ToArray()), $"{name} {length}");
        Assert.Equal([1.0], periodic(1));
    }

    [Theory, MemberData(nameof(ClosedForms))]
    public void The_weights_are_those_of_the_formula(string name, Func<int, double[]> window, Func<int, int, double> formula)
    {
        foreach (var length in (int[])[2, 7, 64])
            for (var k = 0; k < length; k++)
                Assert.True(Math.Abs(window(length)[k] - formula(k, length)) <= Rounding, $"{name} {k} of {length}");
    }

    public static TheoryData<string, Func<int, double[]>, Func<int, int, double>> ClosedForms => new()
    {
        { "Hann", Window.Hann, (k, n) => 0.5 - 0.5 * Math.Cos(2 * Math.PI * k / (n - 1)) },
        { "Hamming", Window.Hamming, (k, n) => 0.54 - 0.46 * Math.Cos(2 * Math.PI * k / (n - 1)) },
        { "Blackman", Window.Blackman, (k, n) => 0.42 - 0.5 * Math.Cos(2 * Math.PI * k / (n - 1)) + 0.08 * Math.Cos(4 * Math.PI * k / (n - 1)) },
        { "rising", Window.RisingHalfHann, (k, n) => 0.5 - 0.5 * Math.Cos(Math.PI * (k + 0.5) / n) },
        { "falling", Window.FallingHalfHann, (k, n) => 0.5 + 0.5 * Math.Cos(Math.PI * (k + 0.5) / n) },
    };

    [Theory, InlineData(1), InlineData(2), InlineData(7), InlineData(960)]
    public void Rising_and_falling_halves_add_to_one_and_mirror_each_other(int length)
    {
        double[] rising = Window.RisingHalfHann(length), falling = Window.FallingHalfHann(length);
        Assert.Equal(rising.Reverse(), falling);
        for (var k = 0; k < length; k++) Assert.Equal(1, rising[k] + falling[k], Rounding);
        for (var k = 1; k < length; k++) Assert.True(rising[k] > rising[k - 1]);
        Assert.InRange(rising[0], 0, 0.5);
    }

    [Fact]
    public void A_half_window_may_be_empty() => Assert.Empty(Window.RisingHalfHann(0));

    [Fact]
    public void Two_periodic_Hann_windows_half_a_length_apart_add_to_one()
    {
        var window = Window.HannPeriodic(64);
        for (var k = 0; k < 32; k++) Assert.Equal(1, window[k] + window[k + 32], Rounding);
    }

    [Fact]
    public void A_Tukey_window_goes_from_rectangle_to_Hann()
    {
        Assert.All(Window.Tukey(17, 0), weight => Assert.Equal(1, weight));
        var (full, hann) = (Window.Tukey(17, 1), Window.Hann(17));
        for (var k = 0; k < 17; k++) Assert.Equal(hann[k], full[k], Rounding);
        Assert.Equal([0, 0.5, 1, 1, 1, 1, 1, 0.5, 0], Window.Tukey(9, 0.5).Select(weight => Math.Round(weight, 15)));
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Assert.Equal("length", Assert.Throws<ArgumentOutOfRangeException>(() => Window.Hann(0)).ParamName);
        Assert.Equal("length", Assert.Throws<ArgumentOutOfRangeException>(() => Window.RisingHalfHann(-1)).ParamName);
        Assert.Equal("taperRatio", Assert.Throws<ArgumentOutOfRangeException>(() => Window.Tukey(8, 1.01)).ParamName);
        Assert.Equal("taperRatio", Assert.Throws<ArgumentOutOfRangeException>(() => Window.Tukey(8, double.NaN)).ParamName);
        Assert.Equal("window", Assert.Throws<ArgumentException>(() => Window.NoiseBandwidthBins([])).ParamName);
        Assert.Equal("window", Assert.Throws<ArgumentException>(() => Window.NoiseBandwidthBins([1, -1])).ParamName);
    }
}
