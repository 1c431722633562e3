// SPDX-License-Identifier: MIT
using Sweepbook.Filters;
using Xunit;

namespace Sweepbook.Tests.Filters;

public sealed class FilterBankTests
{
    private static readonly double[] X = FilterCascadeTests.Noise(5003);

    [Fact]
    public void Its_signals_are_those_of_its_filters()
    {
        var bank = FilterBank.ThirdOctaves(25, 10000, 48000);
        Assert.Equal(27, bank.Filters.Count);
        foreach (var (each, use) in ((FilterBank, FilterUse)[])[(bank, FilterUse.ZeroPhase), (bank.AtOwnRates(), FilterUse.ZeroPhase), (bank.AtOwnRates(), FilterUse.TimeReversed)])
        {
            var signals = use == FilterUse.ZeroPhase ? each.Of(X) : each.TimeReversed(X);
            Assert.Equal(27, signals.Count);
            for (var k = 0; k < signals.Count; k++) Assert.Equal(each.Filters[k].Of(X, use), signals[k].ToArray());
        }
        Assert.Equal(bank.Filters[5].Causal(X), bank.Causal(X)[5].ToArray());
    }

    [Fact]
    public void A_signal_at_its_own_rate_is_every_nth_sample_of_the_whole()
    {
        foreach (var filter in FilterBank.Octaves(63, 1000, 48000).Filters)
        {
            var own = filter.AtOwnRate();
            var step = (int)(48000 / own.OutputRateHz);
            Assert.True(step >= 4);
            double[] whole = filter.ZeroPhase(X), thin = own.ZeroPhase(X);
            Assert.Equal((X.Length + step - 1) / step, thin.Length);
            double error = 0, size = 0;
            for (var n = 0; n < thin.Length; n++) (error, size) = (error + Math.Pow(thin[n] - whole[n * step], 2), size + Math.Pow(thin[n], 2));
            const double OtherWarping = 5e-3;   // the edges agree; from a fifth to a tenth of the rate upwards the skirts are squeezed otherwise
            Assert.InRange(error / size, 0, OtherWarping);
        }
    }

    [Fact]
    public void Power_of_all_bands_is_that_of_the_signal()
    {
        // Zero-phase bands are as wide as ideal ones, so for white noise the powers add up; only the part between 22 Hz and 11.2 kHz is there.
        var power = FilterBank.ThirdOctaves(25, 10000, 48000).Of(FilterCascadeTests.Noise(96000)).Sum(signal => signal.ToArray().Sum(value => value * value));
        var expected = 96000 / 3.0 * (11220.18 - 22.39) / 24000;
        const double OneBandOfNoise = 0.03;   // 1/√(B·T) of the widest bands, and the ends
        Assert.InRange(power / expected, 1 - OneBandOfNoise, 1 + OneBandOfNoise);
    }
}
