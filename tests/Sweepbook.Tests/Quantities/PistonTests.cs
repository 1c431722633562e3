// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Quantities;

public sealed class PistonTests
{
    private const double Rounded = 1e-3;   // worked out with four figures
    private const double Exact = 1e-12;

    [Theory]   // p = 20 µPa · 10^(L/20); x = √2 p r / (2π · 1.21 · f² · S), with a pocket calculator
    [InlineData(90, 20, 0.033, 1, 8.913)]     // 0.63246 Pa · 1.41421 / (7.6027 · 400 · 0.033) = 8.9127 mm
    [InlineData(100, 40, 0.050, 2, 9.301)]    // 2 Pa · 1.41421 · 2 / (7.6027 · 1600 · 0.05) = 9.3008 mm
    public void The_excursion_is_that_of_the_closed_form(double levelDb, double frequencyHz, double area, double distance, double mm) =>
        Assert.Equal(1, Piston.PeakExcursionMm(levelDb, frequencyHz, area, distance) / mm, Rounded);

    [Fact]
    public void It_is_the_far_pressure_of_a_near_field()
    {
        // close to a small piston in a wall the peak pressure is ρ (2πf)² x a; at r it is a / (2r) of that (fact sheet 7.1)
        const double RadiusMetres = 0.1, FrequencyHz = 40, DistanceMetres = 3, LevelDb = 84;
        var metres = Piston.PeakExcursionMm(LevelDb, FrequencyHz, Math.PI * RadiusMetres * RadiusMetres, DistanceMetres) / 1000;
        var near = 1.21 * Math.Pow(2 * Math.PI * FrequencyHz, 2) * metres * RadiusMetres;
        Assert.Equal(LevelDb, Decibels.FromAmplitude(near * RadiusMetres / (2 * DistanceMetres) / Math.Sqrt(2) / 20e-6), Exact * 100);
    }

    [Fact]
    public void It_grows_fourfold_per_octave_downwards_and_tenfold_for_20_decibels()
    {
        var mm = Piston.PeakExcursionMm(90, 40, 0.033);
        Assert.Equal(4, Piston.PeakExcursionMm(90, 20, 0.033) / mm, Exact);
        Assert.Equal(10, Piston.PeakExcursionMm(110, 40, 0.033) / mm, Exact * 10);
        Assert.Equal(0.5, Piston.PeakExcursionMm(90, 40, 0.066) / mm, Exact);
        Assert.Equal(2, Piston.PeakExcursionMm(90, 40, 0.033, 2) / mm, Exact);
    }

    [Theory]   // fact sheet 7.2, to three decimals
    [InlineData(0.02, -0.174)]
    [InlineData(0.05, -0.434)]
    [InlineData(0.11, -0.954)]
    [InlineData(0.25, -2.149)]
    [InlineData(0.5, -4.180)]
    [InlineData(1, -7.656)]
    public void Close_to_a_cone_the_level_falls_with_distance_as_piston_theory_says(double distanceOverRadius, double fallsDb)
    {
        const double HalfLastDigit = 0.0005, RadiusMetres = 0.08;
        var area = Math.PI * RadiusMetres * RadiusMetres;
        Assert.Equal(fallsDb, Piston.CloseLevelDb(90, area, distanceOverRadius * RadiusMetres) - Piston.CloseLevelDb(90, area), HalfLastDigit);
    }

    [Fact]
    public void At_the_cone_the_level_is_higher_by_twice_a_metre_over_its_radius()
    {
        const double HalfLastDigit = 0.0005;
        Assert.Equal(95 + 26.021, Piston.CloseLevelDb(95, Math.PI * 0.1 * 0.1), HalfLastDigit);   // fact sheet 7.1: a = 0.1 m, r = 1 m
        const double StillNear = 0.03;   // at 1 m a piston of 0.1 m is not quite a point: (a / 2r)², 0.02 dB
        Assert.Equal(95, Piston.CloseLevelDb(95, Math.PI * 0.1 * 0.1, 1), StillNear);
    }

    [Fact]
    public void Close_levels_of_nothing_are_refused()
    {
        Assert.Equal("distanceMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.CloseLevelDb(90, 0.03, -0.001)).ParamName);
        Assert.Equal("areaSquareMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.CloseLevelDb(90, 0)).ParamName);
        Assert.Equal("levelDb", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.CloseLevelDb(double.NaN, 0.03)).ParamName);
    }

    [Fact]
    public void Wrong_arguments_are_named()
    {
        Assert.Equal("levelDb", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.PeakExcursionMm(double.NaN, 20, 0.03)).ParamName);
        Assert.Equal("frequencyHz", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.PeakExcursionMm(90, 0, 0.03)).ParamName);
        Assert.Equal("areaSquareMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.PeakExcursionMm(90, 20, 0)).ParamName);
        Assert.Equal("distanceMetres", Assert.Throws<ArgumentOutOfRangeException>(() => Piston.PeakExcursionMm(90, 20, 0.03, -1)).ParamName);
    }
}
