// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

/// <summary>Deterministic responses: pure delays, whose delay is known exactly, and an all-pass, which is no delay.</summary>
public sealed class RelativeDelayTests
{
    private const int Rate = 4_000;
    private static readonly TimeGroup Group = new("loopback");

    [Theory]
    [InlineData(0.0)]
    [InlineData(0.00342)]
    [InlineData(-0.0417)]
    [InlineData(0.1200005)]
    public void A_pure_delay_is_found_to_a_nanosecond_wherever_it_lies(double seconds)
    {
        const double Nanosecond = 1e-9;
        var found = RelativeDelay.Between(Pulse(0.5 + seconds), Pulse(0.5), 10, 200);
        Assert.Equal(seconds, found.Seconds, Nanosecond);
        Assert.Equal("same", found.PolarityInWords);
        Assert.True(found.IsPureDelay);
    }

    [Fact]
    public void A_reversed_source_is_told_from_a_late_one()
    {
        var found = RelativeDelay.Between(Pulse(0.504, -1), Pulse(0.5), 10, 200);
        Assert.Equal((0.004, -1, "opposite"), (Math.Round(found.Seconds, 9), found.Polarity, found.PolarityInWords));
    }

    [Fact]
    public void The_time_zeros_of_both_records_count()
    {
        var found = RelativeDelay.Between(Pulse(0.5, zeroSamples: 400), Pulse(0.5, zeroSamples: 100.25), 10, 200);
        Assert.Equal(-299.75 / Rate, found.Seconds, 1e-9);
    }

    /// <summary>A first-order all-pass at 60 Hz turns from 0° to −180°, a third-order stack of them thrice as far: no delay undoes that over four octaves.</summary>
    [Fact]
    public void Responses_of_different_shape_are_said_to_differ_by_more_than_a_delay()
    {
        var reference = Pulse(0.5);
        var turned = reference.ToArray();
        for (var pass = 0; pass < 3; pass++) turned = AllPass(turned, 60);
        var found = RelativeDelay.Between(new(turned, Rate, 0, TimeZero.Loopback, Group, "test"), reference, 10, 200);
        Assert.False(found.IsPureDelay);
        Assert.True(found.UncertaintySeconds > 1e-4);   // the thirds of an octave contradict each other by milliseconds
    }

    /// <summary>A quarter of a turn at every frequency fits both polarities alike, so neither may be claimed.</summary>
    [Fact]
    public void A_quarter_turn_is_of_ambiguous_polarity()
    {
        var turned = Pulse(0.5, phaseRadians: Math.PI / 2);
        var found = RelativeDelay.Between(turned, Pulse(0.5), 60, 120);
        Assert.Equal("ambiguous", found.PolarityInWords);
    }

    [Theory]
    [InlineData(null, "loopback", "No time zero is known")]
    [InlineData("loopback", null, "No time zero is known")]
    [InlineData("marker@a", "marker@b", "nothing to do with each other")]
    public void Responses_without_a_common_time_zero_are_refused(string? one, string? other, string words) =>
        Assert.Contains(words, Assert.Throws<ArgumentException>(() => RelativeDelay.Between(Pulse(0.5, group: one), Pulse(0.5, group: other), 10, 200)).Message, StringComparison.Ordinal);

    [Fact]
    public void Other_rates_narrow_bands_and_silence_are_refused_with_advice()
    {
        var (pulse, slower) = (Pulse(0.5), new ImpulseResponse(new double[100], 2_000, 0, TimeZero.Loopback, Group, "test"));
        Assert.Contains("one sample rate", Assert.Throws<ArgumentException>(() => RelativeDelay.Between(pulse, slower, 10, 200)).Message, StringComparison.Ordinal);
        Assert.Contains("half an octave", Assert.Throws<ArgumentException>(() => RelativeDelay.Between(pulse, pulse, 60, 70)).Message, StringComparison.Ordinal);
        Assert.Contains("both sources play", Assert.Throws<ArgumentException>(() => RelativeDelay.Between(pulse, new(new double[400], Rate, 0, TimeZero.Loopback, Group, "test"), 10, 200)).Message, StringComparison.Ordinal);
        Assert.Equal("fromHz", Assert.Throws<ArgumentOutOfRangeException>(() => RelativeDelay.Between(pulse, pulse, 200, 10)).ParamName);
        Assert.Equal("toHz", Assert.Throws<ArgumentOutOfRangeException>(() => RelativeDelay.Between(pulse, pulse, 10, 3_000)).ParamName);
    }

    /// <summary>Tones from 5 to 400 Hz under one Gaussian: sampled far above its band, so that any delay of it is exact.</summary>
    private static ImpulseResponse Pulse(double seconds, double gain = 1, double zeroSamples = 0, string? group = "loopback", double phaseRadians = 0)
    {
        const double SigmaSeconds = 0.003;   // of the spectrum: 53 Hz round each of the tones
        var samples = new double[Rate];
        foreach (var frequencyHz in new[] { 10.0, 60, 110, 160, 210 })
            for (var n = 0; n < samples.Length; n++)
            {
                var t = (double)n / Rate - seconds;
                samples[n] += gain * Math.Exp(-t * t / (2 * SigmaSeconds * SigmaSeconds)) * Math.Cos(2 * Math.PI * frequencyHz * t + phaseRadians);
            }
        return new(samples, Rate, zeroSamples, TimeZero.Loopback, new(group), "test");
    }

    /// <summary>First-order all-pass by the bilinear transform: y[n] = c·x[n] + x[n−1] − c·y[n−1].</summary>
    private static double[] AllPass(double[] samples, double cornerHz)
    {
        var tangent = Math.Tan(Math.PI * cornerHz / Rate);
        var c = (tangent - 1) / (tangent + 1);
        var passed = new double[samples.Length];
        for (var n = 1; n < samples.Length; n++) passed[n] = c * samples[n] + samples[n - 1] - c * passed[n - 1];
        return passed;
    }
}
