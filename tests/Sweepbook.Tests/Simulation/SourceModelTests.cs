// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class SourceModelTests
{
    private const int Rate = 48000;

    private static readonly PlannedSource Plain = new("s", "subwoofer", new(1, 1, 1), null, 0, 0, 0, false, null, null, 0, 0, null);

    [Fact]   // fact sheet 5.8: y = x + a2 x² + a3 x³ with a unit sine: 1 + 3a3/4, a2/2, a3/4
    public void Distortion_makes_the_harmonics_of_the_fact_sheet()
    {
        const double Rounding = 1e-9;
        const int Cycles = 100;
        var source = new SourceModel(Plain with { SecondOrderRatio = 0.1, ThirdOrderRatio = 0.05 }, Rate);
        var sine = new double[Rate + 200];
        for (var n = 0; n < sine.Length; n++) sine[n] = Math.Sin(2 * Math.PI * Cycles * n / Rate);
        var output = source.Apply(sine).AsSpan(100, Rate).ToArray();
        double Harmonic(int order) => 2 * DirectConvolution.ResponseAt(output, 0, Rate, order * Cycles).Magnitude / Rate;
        Assert.Equal(1.0375, Harmonic(1), Rounding);
        Assert.Equal(0.05, Harmonic(2), Rounding);
        Assert.Equal(0.0125, Harmonic(3), Rounding);
        Assert.Equal(0, Harmonic(4), Rounding);
    }

    [Fact]
    public void Treble_is_spared_where_distortion_follows_the_excursion()
    {
        var source = new SourceModel(Plain with { SecondOrderRatio = 0.1, DistortionBelowHz = 100 }, Rate);
        var sine = new double[Rate];
        for (var n = 0; n < sine.Length; n++) sine[n] = Math.Sin(2 * Math.PI * 4000 * n / Rate);
        var output = source.Apply(sine);
        const double Faint = 1e-6;   // the excursion of 4 kHz is 64 dB down, its square 128 dB
        Assert.InRange(2 * DirectConvolution.ResponseAt(output.AsSpan(Rate / 2), 0, Rate, 8000).Magnitude / (Rate / 2), 0, Faint);
    }

    [Fact]
    public void Gain_polarity_and_delay_are_what_the_plan_says()
    {
        const double Ripple = 2e-4;   // of the windowed cardinal, below 20 kHz
        var source = new SourceModel(Plain with { GainDb = -20, DelaySeconds = 0.0034567, IsInverted = true }, Rate);
        foreach (var hz in new[] { 30.0, 1000, 18000 })
            Assert.InRange((source.ResponseAt(hz) - Complex.FromPolarCoordinates(-0.1, -2 * Math.PI * hz * 0.0034567)).Magnitude / 0.1, 0, Ripple);
    }

    [Fact]   // law: a faint impulse through the chain shows its response
    public void The_chain_does_what_its_response_says()
    {
        const double Cut = 1e-7;
        var source = new SourceModel(Plain with { HighPass = new(31, 4), LowPass = new(120, 4), DelaySeconds = 0.0034, GainDb = 6 }, Rate);
        var impulse = new double[2 * Rate];
        impulse[100] = 1;
        var output = source.Apply(impulse);
        foreach (var hz in new[] { 20.0, 60, 200 })
            Assert.InRange((DirectConvolution.ResponseAt(output, 100, Rate, hz) - source.ResponseAt(hz)).Magnitude, 0, Cut);
    }
}
