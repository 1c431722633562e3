// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class AirTests
{
    // c = 331.3 · √(1 + θ/273.15) worked out independently (fact sheet 14.1).
    [Theory, InlineData(0, 331.30, 0.005), InlineData(10, 337.31, 0.005), InlineData(20, 343.215, 0.0005), InlineData(25, 346.129, 0.0005), InlineData(30, 349.019, 0.0005)]
    public void The_speed_of_sound_agrees_to_the_printed_digits(double temperatureCelsius, double expected, double halfLastDigit) =>
        Assert.Equal(expected, Air.SpeedOfSoundMetresPerSecond(temperatureCelsius), halfLastDigit);

    [Fact]
    public void Twenty_degrees_are_assumed() => Assert.Equal(Air.SpeedOfSoundMetresPerSecond(20), Air.SpeedOfSoundMetresPerSecond());

    [Fact]
    public void The_straight_line_of_the_handbooks_stays_close()   // 331.3 + 0.606 θ gives 343.42 at 20 °C (fact sheet 14.1)
    {
        const double CurvatureMetresPerSecond = 0.3;   // the next term of the root, −331.3 · (θ/273.15)²/8, is −0.22 at 20 °C
        Assert.Equal(343.42, Air.SpeedOfSoundMetresPerSecond(20), CurvatureMetresPerSecond);
    }

    [Theory, InlineData(-273.15), InlineData(double.NaN), InlineData(double.PositiveInfinity)]
    public void A_temperature_that_is_none_is_refused(double temperatureCelsius) => Assert.Equal("temperatureCelsius",
        Assert.Throws<ArgumentOutOfRangeException>(() => Air.SpeedOfSoundMetresPerSecond(temperatureCelsius)).ParamName);

    [Fact]
    public void A_position_knows_the_straight_way_to_another() =>   // 2² + 3² + 6² = 7²
        Assert.Equal(7, new Position(1, 2, 0.5).DistanceMetresTo(new(3, 5, 6.5)));
}
