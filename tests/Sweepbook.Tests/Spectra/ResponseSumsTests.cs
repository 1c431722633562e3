// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Spectra;

public sealed class ResponseSumsTests
{
    private static readonly TimeGroup Group = new("loopback");
    private static readonly LogGrid Grid = LogGrid.Between(96, 20, 200);
    private const double Rounding = 1e-9;

    [Fact]
    public void Two_equal_sources_give_6_dB_more_and_one_reversed_gives_nothing()
    {
        var one = Flat(1, Group);
        Assert.All(one.Plus(one).LevelsDb(), level => Assert.Equal(20 * Math.Log10(2), level, Rounding));
        Assert.All(one.Plus(one.Inverted()).Points(), point => Assert.Equal(Complex.Zero, point.Value));
    }

    /// <summary>|1 + e^{−jωt}| = 2 |cos(ωt/2)|: a comb whose first notch lies at 1/(2t).</summary>
    [Fact]
    public void A_copy_8_ms_later_makes_the_comb_of_the_closed_form()
    {
        const double DelayMs = 8;
        var sum = Flat(1, Group).Plus(Flat(1, Group).Delayed(DelayMs));
        foreach (var point in sum.Points())
            Assert.Equal(4 * Math.Pow(Math.Cos(Math.PI * point.FrequencyHz * DelayMs / 1000), 2), point.PowerRatio, Rounding);
    }

    [Fact]
    public void A_gain_of_6_dB_and_back_changes_nothing_and_noise_goes_with_it()
    {
        var one = Flat(0.5, Group, noisePower: 1e-6);
        var gained = one.Gained(6);
        Assert.Equal(one[3].LevelDb + 6, gained[3].LevelDb, Rounding);
        Assert.Equal(one[3].SnrDb, gained[3].SnrDb, Rounding);
        Assert.Equal(one[3].Value.Real, gained.Gained(-6)[3].Value.Real, Rounding);
    }

    [Fact]
    public void The_sum_is_trusted_where_both_phases_are_and_its_noise_is_that_of_both()
    {
        var (high, low) = (Flat(1, Group, 1e-6, phaseFromHz: 40), Flat(1, Group, 3e-6, phaseToHz: 120));
        var sum = high.Plus(low);
        foreach (var point in sum.Points())
        {
            Assert.Equal(point.FrequencyHz is >= 40 and <= 120, point.TrustedPhase);
            Assert.Equal(point.TrustedPhase, point.TrustedLevel);
            Assert.Equal(4e-6, point.NoisePowerRatio, 1e-15);
        }
    }

    [Fact]
    public void Where_the_sum_cancels_into_the_noise_its_level_is_an_upper_bound()
    {
        var (one, other) = (Flat(1, Group, noisePower: 1e-4), Flat(1, Group, noisePower: 1e-4).Inverted().Gained(-0.1));
        Assert.All(one.Plus(other).Points(), point => Assert.True(point.IsCensored));
        Assert.All(one.Plus(one).Points(), point => Assert.False(point.IsCensored));
    }

    /// <summary>15 dB over the noise once more than it: 1 + 10^1.5 = 32.6 of noise power; 32 are a bound, 33 are none.</summary>
    [Fact]
    public void A_sum_less_than_15_dB_above_the_noise_is_an_upper_bound()
    {
        const double Noise = 1e-4;   // half of it from each
        Response Sum(double power) => Flat(Math.Sqrt(power) / 2, Group, noisePower: Noise / 2).Plus(Flat(Math.Sqrt(power) / 2, Group, noisePower: Noise / 2));
        Assert.All(Sum(32 * Noise).Points(), point => Assert.True(point.IsCensored));
        Assert.All(Sum(33 * Noise).Points(), point => Assert.False(point.IsCensored));
    }

    [Fact]
    public void A_level_that_either_may_not_be_believed_spoils_the_sum_also_where_both_phases_may()
    {
        var doubtful = Flat(1, Group, levelFromHz: 40);
        foreach (var sum in new[] { doubtful.Plus(Flat(1, Group)), Flat(1, Group).Plus(doubtful) })
            Assert.All(sum.Points(), point => Assert.Equal((point.FrequencyHz >= 40, true), (point.TrustedLevel, point.TrustedPhase)));
    }

    [Fact]
    public void Shifted_and_added_responses_keep_their_exact_group_delay()
    {
        var one = GroupDelayTests.Measured(Group);
        var both = one.Plus(one.Delayed(5));
        var (own, later, sum) = (one.GroupDelaysSeconds(), one.Delayed(5).GroupDelaysSeconds(), both.GroupDelaysSeconds());
        for (var k = 0; k < own.Length; k++)
        {
            Assert.Equal(own[k] + 0.005, later[k], Rounding);
            var isNotch = both[k].Value.Magnitude < 0.01 * one[k].Value.Magnitude;
            if (!isNotch) Assert.Equal(own[k] + 0.0025, sum[k], Rounding);   // 1 + e^{−jωt} = 2 cos(ωt/2) e^{−jωt/2}: half the delay
        }
        Assert.Equal(own[10], one.Inverted().Gained(3).GroupDelaysSeconds()[10], Rounding);
    }

    [Theory]
    [InlineData(null, "loopback", "No time zero is known of the first response,")]
    [InlineData("loopback", null, "No time zero is known of the second response,")]
    [InlineData(null, null, "No time zero is known of the first response and the second response,")]
    [InlineData("loopback", "marker@sofa", "\"loopback\" and \"marker@sofa\"")]
    public void Different_or_unknown_time_groups_are_refused_with_what_to_do(string? first, string? second, string words)
    {
        var fault = Assert.Throws<ArgumentException>(() => Flat(1, new(first)).Plus(Flat(1, new(second))));
        Assert.Contains(words, fault.Message, StringComparison.Ordinal);
        Assert.Contains("ecord", fault.Message, StringComparison.Ordinal);
        Assert.Contains("levels only", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Different_grids_and_references_are_refused()
    {
        Assert.Contains("one stimulus", Assert.Throws<ArgumentException>(() => Flat(1, Group).Plus(GroupDelayTests.Measured(Group))).Message, StringComparison.Ordinal);
        Assert.Contains("relative to the", Assert.Throws<ArgumentException>(() => Flat(1, Group).Plus(Flat(1, Group, reference: LevelReference.Stimulus))).Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(1e5)]
    public void Delays_and_gains_without_sense_are_refused(double value)
    {
        Assert.Equal("delayMs", Assert.Throws<ArgumentOutOfRangeException>(() => Flat(1, Group).Delayed(value)).ParamName);
        Assert.Equal("gainDb", Assert.Throws<ArgumentOutOfRangeException>(() => Flat(1, Group).Gained(value)).ParamName);
    }

    internal static Response Flat(Complex value, TimeGroup group, double noisePower = 0, double phaseFromHz = 0, double phaseToHz = double.PositiveInfinity, double levelFromHz = 0, LevelReference reference = LevelReference.Loopback)
    {
        var frequencies = Grid.ToArray();
        var power = value.Magnitude * value.Magnitude;
        var phase = Limits.From(frequencies, phaseFromHz, new(Doubt.Noise, "noise")).And(Limits.UpTo(frequencies, phaseToHz, new(Doubt.Noise, "noise")));
        double[] Everywhere(double of) => [.. frequencies.Select(_ => of)];
        return new(Grid, [.. frequencies.Select(_ => value)], Everywhere(power), Everywhere(noisePower), new bool[Grid.Count], Limits.From(frequencies, levelFromHz, new(Doubt.Noise, "noise")), phase, group, reference);
    }
}
