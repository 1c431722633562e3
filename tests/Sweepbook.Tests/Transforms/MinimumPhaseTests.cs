// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Transforms;

public sealed class MinimumPhaseTests
{
    /// <summary>Two transforms of up to 2^14 logarithms of size 5, in radians.</summary>
    private const double Rounding = 1e-12;

    /// <summary>A resonance and a dip: radius and angle (as a share of half the rate) of a pair of poles and of a pair of zeros inside the circle.</summary>
    public static TheoryData<double, double, double, double> Biquads => new()
    {
        { 0.5, 0.3, 0.2, 0.6 }, { 0.9, 0.1, 0.7, 0.4 }, { 0.98, 0.02, 0.95, 0.5 }, { 0.3, 0.8, 0.97, 0.05 },
    };

    [Theory, MemberData(nameof(Biquads))]
    public void A_biquad_of_minimum_phase_is_found_from_its_magnitude_within_the_stated_error(double pole, double poleAngle, double zero, double zeroAngle)
    {
        foreach (var length in (int[])[64, 240, 1024, 1 << 14])
        {
            var exact = Bins(length, z => Pair(z, zero, zeroAngle) / Pair(z, pole, poleAngle));
            var found = MinimumPhase.OfMagnitude([.. exact.Select(bin => bin.Magnitude)]);
            Assert.Equal(exact.Length, found.Length);
            var allowed = Bound(4, Math.Max(pole, zero), length) + Rounding;
            for (var k = 0; k < exact.Length; k++)
            {
                Assert.Equal(1, found[k].Magnitude / exact[k].Magnitude, Rounding);
                Assert.InRange(Math.Abs((found[k] / exact[k]).Phase), 0, allowed);
            }
        }
    }

    [Fact]
    public void The_stated_error_is_no_idle_precaution()   // the worst bin of a narrow resonance on a short grid comes within a factor of 30 of it
    {
        const int Length = 128;
        var exact = Bins(Length, z => 1 / Pair(z, 0.95, 0.3));
        var found = MinimumPhase.OfMagnitude([.. exact.Select(bin => bin.Magnitude)]);
        var worst = exact.Zip(found, (a, b) => Math.Abs((b / a).Phase)).Max();
        Assert.InRange(worst, Bound(2, 0.95, Length) / 30, Bound(2, 0.95, Length));
    }

    [Fact]
    public void A_zero_outside_the_circle_is_moved_inside()   // 1 − z⁻¹/r and (1/r)·(1 − r·z⁻¹) have the same magnitude
    {
        var outside = Bins(1024, z => 1 - z / 0.6);
        Complex[] inside = Bins(1024, z => (1 - 0.6 * z) / 0.6);
        var found = MinimumPhase.OfMagnitude([.. outside.Select(bin => bin.Magnitude)]);
        Assert.InRange(RelativeRms(inside, found), 0, Rounding);
    }

    [Fact]
    public void The_impulse_response_starts_at_zero_and_comes_early()
    {
        const int Length = 1024;
        var exact = Bins(Length, z => (1 - z / 0.6) / Pair(z, 0.8, 0.2));
        double[] early = FourierTransform.ToReal(MinimumPhase.OfMagnitude([.. exact.Select(bin => bin.Magnitude)]), Length), given = FourierTransform.ToReal(exact, Length);
        double soFar = 0, soFarGiven = 0;
        for (var n = 0; n < Length; n++)   // partial energies, Oppenheim and Schafer eq. 5.122
        {
            (soFar, soFarGiven) = (soFar + early[n] * early[n], soFarGiven + given[n] * given[n]);
            Assert.True(soFar >= soFarGiven - Rounding * 100, $"sample {n}");
        }
    }

    [Theory, InlineData(0), InlineData(1), InlineData(17.25), InlineData(-40)]
    public void The_excess_phase_is_that_of_an_all_pass_and_a_delay(double delaySamples)
    {
        const int Length = 2000;
        Complex AllPass(Complex z) => (z * z - 1.2 * z + 0.5) / (1 - 1.2 * z + 0.5 * z * z);
        Complex Delayed(int k, Complex z) => AllPass(z) * Complex.FromPolarCoordinates(1, -2 * Math.PI * k * delaySamples / Length);
        var minimum = Bins(Length, z => Pair(z, 0.7, 0.4) / Pair(z, 0.9, 0.1));
        var allPass = Bins(Length, AllPass);
        var excess = MinimumPhase.ExcessRadians([.. minimum.Select((bin, k) => bin * Delayed(k, Complex.FromPolarCoordinates(1, -2 * Math.PI * k / Length)))]);
        Assert.Equal(0, excess[0], Rounding);
        Assert.Equal(-2 * Math.PI - Math.PI * delaySamples, excess[^1], Rounding * 10);   // a second-order all-pass turns once round to half the rate
        for (var k = 0; k < excess.Length; k++)
        {
            var gap = excess[k] + 2 * Math.PI * k * delaySamples / Length - allPass[k].Phase;
            Assert.Equal(0, gap - 2 * Math.PI * Math.Round(gap / (2 * Math.PI)), Rounding * 10);
        }
    }

    [Fact]
    public void Wrong_arguments_are_refused()
    {
        Refused("magnitude", "bin 1 is 0;", () => MinimumPhase.OfMagnitude([1, 0, 1]));
        Refused("magnitude", "bin 2 is -1;", () => MinimumPhase.OfMagnitude([1, 1, -1]));
        Refused("magnitude", "bin 0 is NaN;", () => MinimumPhase.OfMagnitude([double.NaN, 1]));
        Refused("magnitude", "Got 0 bins", () => MinimumPhase.OfMagnitude([]));
        Refused("magnitude", "[2, 268435457]", () => MinimumPhase.OfMagnitude(LongSpan.Of((1 << 28) + 2)));
        Refused("magnitude", "Got 1 bins", () => MinimumPhase.OfMagnitude([1]));
        Refused("magnitude", "has 9 bins", () => MinimumPhase.OfMagnitude([.. Enumerable.Repeat(1.0, 8)]));   // a transform of 14
        Refused("bins", "Bin 1", () => MinimumPhase.ExcessRadians([1, 0, 1]));
        Refused("bins", "Got 1 bins", () => MinimumPhase.ExcessRadians([1]));
    }

    private static void Refused(string name, string words, Action attempt)
    {
        var thrown = Assert.Throws<ArgumentException>(attempt);
        Assert.Equal(name, thrown.ParamName);
        Assert.Contains(words, thrown.Message);
    }

    private static double Bound(int polesAndZeros, double radius, int length) => 4 * polesAndZeros * Math.Pow(radius, length / 2.0) / (length * (1 - radius));

    private static Complex[] Bins(int length, Func<Complex, Complex> response) =>
        [.. Enumerable.Range(0, length / 2 + 1).Select(k => response(Rotation(k, length)))];

    /// <summary>1 − 2r·cos(θ)·z⁻¹ + r²·z⁻², z⁻¹ given.</summary>
    private static Complex Pair(Complex z, double radius, double angle) => 1 - 2 * radius * Math.Cos(Math.PI * angle) * z + radius * radius * z * z;
}
