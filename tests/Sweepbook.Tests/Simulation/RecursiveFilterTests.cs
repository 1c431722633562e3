// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class RecursiveFilterTests
{
    private const int Rate = 48000;

    [Fact]   // fact sheet 12.1: 48 kHz, peaking 50 Hz, Q 5, −6 dB
    public void A_peak_has_the_published_coefficients()
    {
        const double LastPrintedDigit = 1e-12;
        var section = Assert.Single(RecursiveFilter.Peak(50, -6, 5, Rate).Sections);
        (double Got, double Printed)[] pairs = [(section.B0, 0.999539275003), (section.B1, -1.998109916584), (section.B2, 0.998613438687),
            (section.A1, -1.998109916584), (section.A2, 0.998152713690)];
        foreach (var (got, printed) in pairs) Assert.InRange(got - printed, -LastPrintedDigit, LastPrintedDigit);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(8)]
    public void Butterworth_roll_offs_follow_the_closed_form(int order)
    {
        const double CornerHz = 100, ToleranceDb = 0.001;   // the bilinear transform bends 1.6 kHz at 48 kHz by 0.4 %: removed below
        var (high, low) = (RecursiveFilter.HighPass(CornerHz, order, Rate), RecursiveFilter.LowPass(CornerHz, order, Rate));
        foreach (var hz in new[] { 12.5, 50.0, 100, 200, 1600 })
        {
            var ratio = Math.Tan(Math.PI * hz / Rate) / Math.Tan(Math.PI * CornerHz / Rate);
            Assert.InRange(Decibels.FromPower(1 + Math.Pow(ratio, 2 * order)) + Decibels.FromAmplitude(low.ResponseAt(hz).Magnitude), -ToleranceDb, ToleranceDb);
            Assert.InRange(Decibels.FromPower(1 + Math.Pow(ratio, -2 * order)) + Decibels.FromAmplitude(high.ResponseAt(hz).Magnitude), -ToleranceDb, ToleranceDb);
        }
    }

    [Fact]   // law: the spectrum of the impulse response is the response
    public void The_recursion_does_what_its_response_says()
    {
        const double Rounding = 1e-9;   // the impulse response is cut after 2 s
        var filter = RecursiveFilter.HighPass(31, 4, Rate).Then(RecursiveFilter.LowPass(120, 4, Rate)).Then(RecursiveFilter.Peak(60, 4, 2, Rate));
        var impulse = new double[2 * Rate];
        impulse[0] = 1;
        var response = filter.Apply(impulse);
        foreach (var hz in new[] { 15.0, 60, 250 })
            Assert.InRange((DirectConvolution.ResponseAt(response, 0, Rate, hz) - filter.ResponseAt(hz)).Magnitude, 0, Rounding);
    }

    [Fact]
    public void The_ladder_falls_by_three_decibels_per_octave()
    {
        const double RippleDb = 0.35;   // stated: within 0.3 dB from 10 Hz to 10 kHz; a little more for the ends
        var ladder = RecursiveFilter.Ladder(5, 2, Rate);
        double LevelDb(double hz) => Decibels.FromAmplitude(ladder.ResponseAt(hz).Magnitude) + 10 * Math.Log10(hz / 1000);
        var middle = Enumerable.Range(0, 61).Average(k => LevelDb(10 * Math.Pow(10, k / 20.0)));
        for (var hz = 10.0; hz <= 10000; hz *= 1.1) Assert.InRange(LevelDb(hz) - middle, -RippleDb, RippleDb);
    }

    [Fact]
    public void A_corner_beyond_half_the_sample_rate_is_refused() =>
        Assert.Throws<ArgumentOutOfRangeException>("cornerHz", () => RecursiveFilter.LowPass(24000, 2, Rate));

    [Fact]   // closed form 2^(−(f / f6)⁴)
    public void The_crossover_kernel_has_its_stated_response_and_no_delay()
    {
        const double Cut = 1e-9;
        var kernel = new LowPassKernel(200, Rate);
        foreach (var hz in new[] { 0.0, 50, 100, 200, 300, 400, 1000, 20000 })
            Assert.InRange((kernel.ResponseAt(hz) - new Complex(Math.Pow(2, -Math.Pow(hz / 200, 4)), 0)).Magnitude, 0, Cut);
    }
}
