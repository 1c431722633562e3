// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class DecibelsTests
{
    private const double Rounding = 1e-12;   // a rounded logarithm times 20, levels up to a few hundred decibels

    [Theory]   // definitions of ISO 80000-3:2006: ten times the pressure is 20 dB, ten times the power 10 dB
    [InlineData(1, 0), InlineData(10, 20), InlineData(1e-5, -100), InlineData(2, 6.020599913279624)]
    public void Amplitudes_count_twenty_per_decade_and_powers_ten(double ratio, double amplitudeDb)
    {
        Assert.Equal(amplitudeDb, Decibels.FromAmplitude(ratio), Rounding);
        Assert.Equal(amplitudeDb / 2, Decibels.FromPower(ratio), Rounding);
    }

    [Theory, InlineData(-300), InlineData(-3.0103), InlineData(0), InlineData(94)]
    public void There_and_back_gives_the_level(double levelDb)
    {
        Assert.Equal(levelDb, Decibels.FromAmplitude(Decibels.ToAmplitudeRatio(levelDb)), Rounding);
        Assert.Equal(levelDb, Decibels.FromPower(Decibels.ToPowerRatio(levelDb)), Rounding);
    }

    [Fact]
    public void Nothing_is_minus_infinity_and_comes_back_as_nothing()
    {
        Assert.Equal(double.NegativeInfinity, Decibels.FromAmplitude(0));
        Assert.Equal(double.NegativeInfinity, Decibels.FromPower(0));
        Assert.Equal((0, 0), (Decibels.ToAmplitudeRatio(double.NegativeInfinity), Decibels.ToPowerRatio(double.NegativeInfinity)));
    }

    [Theory, InlineData(-1e-9), InlineData(double.NaN)]
    public void A_ratio_that_is_none_is_refused(double ratio)
    {
        Assert.Equal("amplitudeRatio", Assert.Throws<ArgumentOutOfRangeException>(() => Decibels.FromAmplitude(ratio)).ParamName);
        Assert.Equal("powerRatio", Assert.Throws<ArgumentOutOfRangeException>(() => Decibels.FromPower(ratio)).ParamName);
    }
}
