// SPDX-License-Identifier: MIT
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Trust;

public sealed class LimitsTests
{
    private static readonly double[] FrequenciesHz = [10, 20, 40, 80];
    private static readonly Reason Why = new(Doubt.Window, "too short");

    [Fact]
    public void A_limit_itself_is_still_believed()
    {
        Assert.Equal([false, true, true, true], Believed(Limits.From(FrequenciesHz, 20, Why)));
        Assert.Equal([true, true, true, false], Believed(Limits.UpTo(FrequenciesHz, 40, Why)));
    }

    [Fact]
    public void A_limit_that_is_not_known_doubts_nothing()
    {
        Assert.DoesNotContain(false, Believed(Limits.From(FrequenciesHz, double.NaN, Why)));
        Assert.DoesNotContain(false, Believed(Limits.UpTo(FrequenciesHz, double.NaN, Why)));
        Assert.DoesNotContain(false, Believed(Limits.AtLeast(FrequenciesHz, [double.NaN, double.NaN, double.NaN, double.NaN], 15, Doubt.Noise, "noise")));
    }

    [Fact]
    public void A_value_below_what_is_wanted_carries_the_reason()
    {
        var mask = Limits.AtLeast(FrequenciesHz, [14.9, 15, 16, 3], 15, Doubt.Noise, "noise comes within 15 dB");
        Assert.Equal([false, true, true, false], Believed(mask));
        Assert.Equal(new Reason(Doubt.Noise, "noise comes within 15 dB"), mask.ReasonAt(3));
    }

    [Fact]
    public void Values_for_other_frequencies_are_refused() =>
        Assert.Equal("valuesDb", Assert.Throws<ArgumentException>(() => Limits.AtLeast(FrequenciesHz, [1, 2], 15, Doubt.Noise, "noise")).ParamName);

    private static bool[] Believed(TrustMask mask) => [.. Enumerable.Range(0, mask.Count).Select(k => mask[k])];
}
