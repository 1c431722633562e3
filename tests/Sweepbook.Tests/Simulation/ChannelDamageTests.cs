// SPDX-License-Identifier: MIT
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class ChannelDamageTests
{
    private static readonly SimulatedTake Good = Plans.Make(Plans.Small, "main_near");
    private static int Half => Good.Microphone.Length / 2;

    [Fact]
    public void A_buffer_stands_twice_and_what_follows_is_in_its_place()
    {
        var bad = Spoilt("repeated-buffer", 10);
        Assert.Equal(bad.Microphone[(Half - 480)..Half], bad.Microphone[Half..(Half + 480)]);
        Assert.Equal(Good.Loopback[(Half + 480)..], bad.Loopback[(Half + 480)..]);
    }

    [Fact]
    public void Zeros_stand_in_both_channels_and_nowhere_else()
    {
        var bad = Spoilt("zeros", 1);
        Assert.All(bad.Microphone[Half..(Half + 48)], sample => Assert.Equal(0, sample));
        Assert.Equal(Good.Loopback[..Half], bad.Loopback[..Half]);
    }

    [Theory]
    [InlineData(1.0)]
    [InlineData(4.0)]
    public void A_soft_limit_takes_as_much_from_the_highest_crest_as_was_planned(double amount)
    {
        var bad = Spoilt("soft-clipped", amount);
        var crest = Enumerable.Range(0, Good.Microphone.Length).MaxBy(n => Math.Abs(Good.Microphone[n]));
        Assert.Equal(amount, 20 * Math.Log10(Math.Abs(Good.Microphone[crest] / bad.Microphone[crest])), 6);
    }

    [Fact]
    public void Exchanged_and_identical_channels_are_that()
    {
        var exchanged = Spoilt("exchanged-channels");
        Assert.Equal(Good.Loopback, exchanged.Microphone);
        Assert.Equal(Good.Microphone, exchanged.Loopback);
        Assert.Equal(Good.Microphone, Spoilt("identical-channels").Loopback);
    }

    [Fact]
    public void A_leak_adds_the_microphone_to_the_loopback()
    {
        var bad = Spoilt("leaking-loopback", -20);
        var gains = Enumerable.Range(Half, 1000).Where(n => Math.Abs(Good.Microphone[n]) > 1e-4).Select(n => (bad.Loopback[n] - Good.Loopback[n]) / Good.Microphone[n]).ToList();
        Assert.InRange(gains.Max() - gains.Min(), 0, 1e-9);
        Assert.Equal(Good.Microphone, bad.Microphone);
    }

    [Fact]
    public void A_bump_is_the_same_in_every_run_and_dies_away()
    {
        var (one, two) = (Spoilt("bump", -6), Spoilt("bump", -6));
        Assert.Equal(one.Microphone, two.Microphone);
        var blow = one.Microphone.Select((sample, n) => sample - Good.Microphone[n]).ToArray();
        var first = Good.Microphone.Length / 3 * 2;
        Assert.All(blow[..first], sample => Assert.Equal(0, sample));
        Assert.True(Power(blow[first..(first + 2400)]) > 100 * Power(blow[(first + 9600)..(first + 12_000)]));
    }

    [Fact]
    public void Noise_suppression_weakens_the_silence_and_level_riding_the_end()
    {
        Assert.Equal(30, 10 * Math.Log10(Power(Good.Microphone[..10_000]) / Power(Spoilt("noise-suppression", 30).Microphone[..10_000])), 6);
        var bad = Spoilt("level-riding", 12);
        Assert.Equal(6, 20 * Math.Log10(Good.Loopback[Half] / bad.Loopback[Half]), 1);
    }

    [Fact]
    public void Damage_of_one_take_leaves_the_others_as_they_were()
    {
        var other = Plans.Make(Plans.Small + Text("bump", -6), "main_far");
        Assert.Equal(Plans.Make(Plans.Small, "main_far").Microphone, other.Microphone);
    }

    private static SimulatedTake Spoilt(string kind, double? amount = null) => Plans.Make(Plans.Small + Text(kind, amount), "main_near");

    private static string Text(string kind, double? amount) =>
        FormattableString.Invariant($"\n[[damage]]\ntake = \"main_near\"\nkind = \"{kind}\"\n{(amount is { } value ? FormattableString.Invariant($"amount = {value:0.0}\n") : "")}");

    private static double Power(double[] samples) => samples.Sum(sample => sample * sample) / samples.Length;
}
