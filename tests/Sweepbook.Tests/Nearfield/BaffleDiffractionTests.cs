// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Numerics;
using Sweepbook.Nearfield;
using Sweepbook.Tests.HouseRules;
using Xunit;

namespace Sweepbook.Tests.Nearfield;

public sealed class BaffleDiffractionTests
{
    private const double Sound = 343.2146;
    private const double TableRatio = 0.002;    // 720 directions and 60 points of the cone against Gauss nodes along the perimeter: 0.0006 found
    private const double BinRatio = 2e-4;       // paths in steps of 0.5 mm, shared between two
    private const double RuleFactor = 2;        // 115 / width is a rule of thumb (fact sheet 7.11)

    [Theory]
    [InlineData(0.15)]
    [InlineData(0.3)]
    public void A_round_front_far_away_is_its_closed_form(double radius)
    {
        var front = BaffleDiffraction.OfRoundFront(radius, 0, double.PositiveInfinity, Sound);
        foreach (var frequencyHz in new[] { 0.0, 30, 100, 300, 700, 1500 })
        {
            var k = 2 * Math.PI * frequencyHz / Sound;
            Assert.True((front.At(frequencyHz) - (1 - Complex.Exp(-Complex.ImaginaryOne * k * radius) / 2)).Magnitude < BinRatio * Math.Max(1, k * k * 1e-2), $"{frequencyHz} Hz");
        }
    }

    [Fact]
    public void A_rectangular_front_is_that_of_an_integral_along_its_perimeter()
    {
        var fronts = new Dictionary<string, BaffleDiffraction>(StringComparer.Ordinal);
        foreach (var line in File.ReadLines(Repository.Path("tests", "reference", "nearfield-takes", "expected-fronts.csv")).Skip(1))
        {
            var c = line.Split(',').Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray();
            var key = string.Join(',', c[..6]);
            if (!fronts.TryGetValue(key, out var front)) fronts[key] = front = new(c[0], c[1], c[2], c[3], c[4], c[5] == 0 ? double.PositiveInfinity : c[5], Sound);
            var error = (front.At(c[6]) - Complex.FromPolarCoordinates(Math.Pow(10, c[7] / 20), c[8] * Math.PI / 180)).Magnitude;
            Assert.True(error < TableRatio, $"{line}: {front.LevelDbAt(c[6]):0.000} dB");
        }
        Assert.Equal(6, fronts.Count);
    }

    [Theory]
    [InlineData(0.20)]
    [InlineData(0.30)]
    [InlineData(0.45)]
    [InlineData(0.60)]
    public void It_goes_from_full_to_half_space_with_half_way_near_the_rule_of_thumb(double width)
    {
        var front = new BaffleDiffraction(width, 1.4 * width, width / 2, 0.6 * width, width / 4, double.PositiveInfinity, Sound);
        Assert.Equal(-6.0206, front.LevelDbAt(0), 1e-4);
        var high = Enumerable.Range(0, 400).Select(n => front.LevelDbAt(4 * Sound / width * Math.Pow(2, n / 200.0))).Average();
        Assert.Equal(0, high, 0.3);
        var halfWayHz = Enumerable.Range(1, 4000).Select(n => (double)n).First(frequencyHz => front.LevelDbAt(frequencyHz) >= -3);
        Assert.InRange(halfWayHz, 115 / width / RuleFactor, 115 / width * RuleFactor);
    }

    [Fact]
    public void Close_to_a_small_source_there_are_no_edges() =>
        Assert.Equal(0, new BaffleDiffraction(0.4, 0.5, 0.2, 0.25, 0, 0.004, Sound).LevelDbAt(50), 0.2);   // r / R: 4 mm of 200, half of it 0.09 dB

    [Fact]
    public void What_does_not_lie_on_the_front_is_refused()
    {
        static string? Refused(double width, double height, double left, double bottom, double radius, double distance = 1, double sound = Sound) =>
            Assert.ThrowsAny<ArgumentException>(() => new BaffleDiffraction(width, height, left, bottom, radius, distance, sound)).ParamName;
        Assert.Equal("widthMetres", Refused(0, 0.5, 0.2, 0.25, 0.08));
        Assert.Equal("heightMetres", Refused(0.4, double.NaN, 0.2, 0.25, 0.08));
        Assert.Equal("fromLeftMetres", Refused(0.4, 0.5, 0.4, 0.25, 0.08));
        Assert.Equal("fromBottomMetres", Refused(0.4, 0.5, 0.2, 0.6, 0.08));
        Assert.Equal("radiusMetres", Refused(0.4, 0.5, 0.1, 0.25, 0.11));
        Assert.Equal("distanceMetres", Refused(0.4, 0.5, 0.2, 0.25, 0.08, 0));
        Assert.Equal("speedOfSoundMetresPerSecond", Refused(0.4, 0.5, 0.2, 0.25, 0.08, 1, -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => BaffleDiffraction.OfRoundFront(0.1, 0.2, 1, Sound));
        Assert.Throws<ArgumentOutOfRangeException>(() => BaffleDiffraction.OfRoundFront(0.1, 0, 1, Sound).At(-1));
    }
}
