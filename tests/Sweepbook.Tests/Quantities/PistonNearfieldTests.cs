// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class PistonNearfieldTests
{
    private const double FactDb = 0.001;          // the sheet's own tolerance
    private const double Exact = 1e-12;
    private const double Sound = 343;             // fact sheet 7.5 is worked out with it
    private const double QuadratureRatio = 2e-4;  // midpoints of 400 by 400: halving them changes the last digit here

    [Theory]   // fact sheet 7.2, and 7.3, where the loss is given and the distance found
    [InlineData(0.02, -0.174)]
    [InlineData(0.05, -0.434)]
    [InlineData(0.11, -0.954)]
    [InlineData(0.25, -2.150)]
    [InlineData(0.5, -4.180)]
    [InlineData(1, -7.656)]
    [InlineData(0.11538376, -1)]
    [InlineData(0.608, -5)]
    [InlineData(1.423, -10)]
    [InlineData(2.7228, -15)]
    [InlineData(4.95, -20)]
    [InlineData(8.8633, -25)]
    [InlineData(15.7956, -30)]
    public void Distance_costs_what_the_sheet_says(double overRadius, double lossDb) =>
        Assert.Equal(lossDb, Decibels.FromAmplitude(Piston.DistanceRatio(overRadius * 0.08, 0.08)), FactDb);

    [Theory]   // fact sheet 7.4
    [InlineData(0.25, -0.0226)]
    [InlineData(0.5, -0.0907)]
    [InlineData(1, -0.365)]
    [InlineData(1.5, -0.8301)]
    [InlineData(1.6, -0.9471)]
    [InlineData(2, -1.4992)]
    [InlineData(3, -3.5436)]
    [InlineData(Piston.OneDecibelKaRatio, -1)]
    public void At_the_face_high_frequencies_read_too_low_by_what_the_sheet_says(double ka, double db) =>
        Assert.Equal(db, Decibels.FromAmplitude(Piston.OnAxisRatio(Piston.FrequencyHzOf(ka, 0.08, Sound), 0, 0.08, Sound).Magnitude), FactDb);

    [Theory]
    [InlineData(0, 300)]
    [InlineData(0.013, 700)]
    [InlineData(0.2, 40)]
    public void On_the_axis_it_is_the_sum_over_the_face(double distance, double frequencyHz)
    {
        const double Radius = 0.09;
        var k = 2 * Math.PI * frequencyHz / Sound;
        var sum = Complex.Zero;
        for (var n = 0; n < 4000; n++)   // rings of the Rayleigh integral; e^{−jkR} dS / (2πR) over a
        {
            var r = Radius * (n + 0.5) / 4000;
            var way = Math.Sqrt(r * r + distance * distance);
            sum += Complex.FromPolarCoordinates(1 / way, -k * way) * r * (Radius / 4000);
        }
        var found = Piston.OnAxisRatio(frequencyHz, distance, Radius, Sound);
        Assert.True((found - sum / Radius).Magnitude < QuadratureRatio, $"{found}, {sum / Radius}");
        Assert.Equal(Piston.DistanceRatio(distance, Radius), Piston.OnAxisRatio(0, distance, Radius, Sound).Real, Exact);
    }

    [Theory]   // fact sheet 7.1; full space is 6.0206 dB less
    [InlineData(0.1, 1, -26.021)]
    [InlineData(0.0827, 1, -27.670)]
    [InlineData(0.1274, 1, -23.917)]
    [InlineData(0.1274, 2, -29.938)]
    public void Far_over_near_is_that_of_the_sheet(double radius, double distance, double db) => Assert.Equal(db, Decibels.FromAmplitude(Piston.FarRatio(radius, distance)), FactDb);

    [Theory]   // fact sheet 7.5: effective areas in cm²
    [InlineData(55, 1304.7)]
    [InlineData(215, 659.9)]
    [InlineData(510, 428.5)]
    [InlineData(855, 330.9)]
    public void Ka_is_one_where_the_sheet_says(double areaCm2, double frequencyHz) =>
        Assert.Equal(frequencyHz, Piston.FrequencyHzOf(1, Math.Sqrt(areaCm2 / 1e4 / Math.PI), Sound), 0.1);

    [Fact]
    public void Wrong_arguments_are_named()
    {
        Assert.Equal("distanceMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.DistanceRatio(-0.001, 0.1)).ParamName);
        Assert.Equal("radiusMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.DistanceRatio(0.001, 0)).ParamName);
        Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.OnAxisRatio(double.NaN, 0, 0.1, Sound)).ParamName);
        Assert.Equal("speedOfSoundMetresPerSecond", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.OnAxisRatio(20, 0, 0.1, 0)).ParamName);
        Assert.Equal("distanceMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.FarRatio(0.1, 0)).ParamName);
        Assert.Equal("kaRatio", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.FrequencyHzOf(0, 0.1, Sound)).ParamName);
    }
}
