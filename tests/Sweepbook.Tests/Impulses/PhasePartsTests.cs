// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

/// <summary>Phases and delays of systems whose closed forms are known.</summary>
public sealed class PhasePartsTests
{
    private const int Rate = 48_000;
    private const double FromHz = 20, LowHz = 5, ToHz = 10_000;
    private const double Exact = 1e-6;        // degrees; of a flat level, whose minimum phase is zero
    private const double Continued = 1.0;     // degrees; the continuation to 0 Hz and half the sample rate is a guess that this costs an octave inside the band (measured below 0.6)

    private static ImpulseResponse Filtered(int length, int late, Func<double[], int, double> recursion, double zero = 0)
    {
        var samples = new double[length];
        for (var n = late; n < length; n++) samples[n] = recursion(samples, n);
        return new(samples, Rate, zero, TimeZero.Loopback, new("g"), "test");
    }

    [Theory]
    [InlineData(0, 0)]
    [InlineData(480, 0)]
    [InlineData(480, 100.25)]
    public void A_pure_delay_is_all_excess(int late, double zero)
    {
        var samples = new double[1000];
        samples[late] = -0.5;   // a reversed polarity stays where it belongs, in the excess phase
        var parts = new ImpulseResponse(samples, Rate, zero, TimeZero.Loopback, new("g"), "test").PhaseParts(FromHz, ToHz);
        var (delay, excess, minimum) = ((late - zero) / Rate, parts.ExcessPhasesDegrees(), parts.MinimumPhasesDegrees());
        for (var k = 0; k < parts.Grid.Count; k++)
        {
            Assert.Equal(0, minimum[k], Exact);
            Assert.Equal(180, Math.Abs(excess[k] + 360 * parts.Grid[k] * delay), Exact);
        }
        Assert.All(parts.GroupDelaysMs(), value => Assert.Equal(1000 * delay, value, Exact));
        Assert.All(parts.ExcessDelaysMs(), value => Assert.Equal(1000 * delay, value, Exact));
        Assert.All(parts.ExcessPhasesWithoutDelayDegrees(), value => Assert.Equal(180, Math.Abs(value), Exact));
        Assert.Equal(delay, parts.CommonDelaySeconds, Exact);
    }

    // all-pass H = (a + z⁻¹)/(1 + a·z⁻¹): φ(ω) = −ω + 2·arctan(a·sin ω/(1 + a·cos ω)), τ = (1 − a²)/(1 + a² + 2a·cos ω) samples (A. V. Oppenheim, R. W. Schafer 2010, section 5.5)
    [Theory]
    [InlineData(-0.9)]
    [InlineData(-0.97)]
    public void An_all_pass_is_all_excess(double a)
    {
        var parts = Filtered(8000, 0, (h, n) => (n == 0 ? a : n == 1 ? 1 : 0) - (n > 0 ? a * h[n - 1] : 0)).PhaseParts(FromHz, ToHz);
        var (excess, minimum, delays) = (parts.ExcessPhasesDegrees(), parts.MinimumPhasesDegrees(), parts.ExcessDelaysMs());
        for (var k = 0; k < parts.Grid.Count; k++)
        {
            var omega = 2 * Math.PI * parts.Grid[k] / Rate;
            var phase = (-omega + 2 * Math.Atan2(a * Math.Sin(omega), 1 + a * Math.Cos(omega))) * 180 / Math.PI;
            phase = phase > 0 ? phase - 360 : phase;
            Assert.Equal(0, minimum[k], 1e-4);   // what 8000 samples cut off
            Assert.Equal(0, Math.IEEERemainder(excess[k] - phase, 360), 1e-3);
            if (k > 0) Assert.True(Math.Abs(excess[k] - excess[k - 1]) < 90);   // no turn lost
            Assert.Equal(1000.0 / Rate * (1 - a * a) / (1 + a * a + 2 * a * Math.Cos(omega)), delays[k], 1e-3);
        }
    }

    public static TheoryData<string, Func<double[], int, double>, Func<Complex, Complex>> MinimumPhaseFilters()
    {
        var a = Math.Exp(-2 * Math.PI * 300 / Rate);
        double radius = Math.Exp(-2 * Math.PI * 5 / Rate), turn = 2 * Math.Cos(2 * Math.PI * 60 / Rate) * Math.Exp(-2 * Math.PI * 5 / Rate);
        return new()
        {
            { "first-order low-pass, 300 Hz", (h, n) => (n == 0 ? 1 - a : 0) + (n > 0 ? a * h[n - 1] : 0), z => (1 - a) / (1 - a / z) },
            // a resonance at 60 Hz, T60 = 6.91 / (2π·5) = 0.22 s, on a direct sound: zeros well inside the circle
            {
                "direct sound and a resonance at 60 Hz",
                (h, n) => (n == 0 ? 1 : n == 1 ? -0.9985 * turn : n == 2 ? 0.9975 * radius * radius : 0) + (n > 0 ? turn * h[n - 1] : 0) - (n > 1 ? radius * radius * h[n - 2] : 0),
                z => (1 - 0.9985 * turn / z + 0.9975 * radius * radius / (z * z)) / (1 - turn / z + radius * radius / (z * z))
            },
            { "first-order high-pass, 40 Hz", (h, n) => HighPass(h, n, Math.Exp(-2 * Math.PI * 40 / Rate)), z => (1 - 1 / z) / (1 - Math.Exp(-2 * Math.PI * 40 / Rate) / z) },
        };

        static double HighPass(double[] h, int n, double pole) => (n == 0 ? 1 : n == 1 ? -1 : 0) + (n > 0 ? pole * h[n - 1] : 0);
    }

    [Theory, MemberData(nameof(MinimumPhaseFilters))]
    public void A_minimum_phase_system_has_no_excess_but_its_delay(string name, Func<double[], int, double> recursion, Func<Complex, Complex> transfer)
    {
        const int Late = 240;
        double[] undelayed = new double[96_000];
        for (var n = 0; n < undelayed.Length; n++) undelayed[n] = recursion(undelayed, n);
        var parts = new ImpulseResponse([.. new double[Late], .. undelayed], Rate, 0, TimeZero.Loopback, new("g"), "test").PhaseParts(LowHz, ToHz);
        var (phases, minimum, excess, delays, minimumDelays) = (parts.PhasesDegrees(), parts.MinimumPhasesDegrees(), parts.ExcessPhasesDegrees(), parts.GroupDelaysMs(), parts.MinimumDelaysMs());
        for (var k = 0; k < parts.Grid.Count; k++)
        {
            var z = Complex.FromPolarCoordinates(1, 2 * Math.PI * parts.Grid[k] / Rate);
            var late = 360.0 * parts.Grid[k] * Late / Rate;
            Assert.Equal(0, Math.IEEERemainder(phases[k] + late - transfer(z).Phase * 180 / Math.PI, 360), 0.01);   // read straight between bins a quarter hertz apart
            if (parts.Grid[k] is < 2 * LowHz or > ToHz / 4) continue;
            Assert.True(Math.Abs(minimum[k] - transfer(z).Phase * 180 / Math.PI) < Continued, $"{name}: {minimum[k]}° at {parts.Grid[k]} Hz, not {transfer(z).Phase * 180 / Math.PI}°");
            Assert.True(Math.Abs(excess[k] + late) < Continued, $"{name}: excess {excess[k] + late}° at {parts.Grid[k]} Hz");
            // the same guess in milliseconds: as if its whole error had come about within one frequency
            Assert.True(Math.Abs(delays[k] - minimumDelays[k] - 1000.0 * Late / Rate) < 1000 * Continued / (360 * parts.Grid[k]), $"{name}: {delays[k] - minimumDelays[k]} ms at {parts.Grid[k]} Hz");
        }
        Assert.Equal((double)Late / Rate, parts.CommonDelaySeconds, 1e-5);
    }

    [Fact]
    public void A_reflection_stronger_than_the_direct_sound_is_not_minimum_phase_and_a_weaker_one_is()
    {
        // 1 + g·z^−d has its zeros at radius g^(1/d): inside the circle for g < 1; for g > 1 the excess is the all-pass (1 + g·z^−d)/(g + z^−d), mean delay d
        foreach (var (strength, delayMs) in new[] { (0.5, 0.0), (2.0, 2.0) })
        {
            var samples = new double[2000];
            (samples[0], samples[96]) = (1, strength);
            var parts = new ImpulseResponse(samples, Rate, 0, TimeZero.Loopback, new("g"), "test").PhaseParts(50, 20_000);
            var excess = parts.ExcessPhasesDegrees();
            // an octave inside the band; such an all-pass is z^−d times a ripple of 2·arcsin(1/g) = 60° at most, and 2° are the levels outside the band that nobody knows
            var (first, last) = (Array.FindIndex(parts.Grid.ToArray(), frequencyHz => frequencyHz > 100), Array.FindLastIndex(parts.Grid.ToArray(), frequencyHz => frequencyHz < 10_000));
            Assert.Equal(-delayMs * 360 * (parts.Grid[last] - parts.Grid[first]) / 1000, excess[last] - excess[first], delayMs > 0 ? 122.0 : 4.0);
        }
    }

    // the level rises towards 60 Hz in the band's lowest octave and is flat below: what the analysis cannot know costs what its remarks say
    [Fact]
    public void A_band_that_ends_in_the_flank_of_a_resonance_costs_some_ten_degrees_there_and_little_two_octaves_on()
    {
        var (_, recursion, transfer) = MinimumPhaseFilters().Single(row => row.Data.Item1.Contains("resonance", StringComparison.Ordinal)).Data;
        var parts = Filtered(96_000, 0, recursion).PhaseParts(FromHz, ToHz);
        var error = parts.MinimumPhasesDegrees().Select((degrees, k) => degrees - transfer(Complex.FromPolarCoordinates(1, 2 * Math.PI * parts.Grid[k] / Rate)).Phase * 180 / Math.PI).ToArray();
        Assert.InRange(error.Where((_, k) => parts.Grid[k] is > 1.1 * FromHz and < 2 * FromHz).Max(Math.Abs), 5, 25);
        Assert.True(error.Where((_, k) => parts.Grid[k] is > 8 * FromHz and < 1000).Max(Math.Abs) < 4);
    }

    [Fact]
    public void Without_a_time_zero_it_is_refused_with_advice()
    {
        var unknown = new ImpulseResponse([1, 0], Rate, 0, TimeZero.Unknown, TimeGroup.None, "test");
        Assert.Contains("loopback", Assert.Throws<ArgumentException>(() => unknown.PhaseParts(20, 200)).Message, StringComparison.Ordinal);
        Assert.Equal("toHz", Assert.Throws<ArgumentOutOfRangeException>(() => unknown.PhaseParts(20, 30)).ParamName);
        Assert.Equal("fromHz", Assert.Throws<ArgumentOutOfRangeException>(() => unknown.PhaseParts(0, 30)).ParamName);
    }
}
