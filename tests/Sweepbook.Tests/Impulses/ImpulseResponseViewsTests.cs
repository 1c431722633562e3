// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class ImpulseResponseViewsTests
{
    private const int Rate = 48_000;
    private const double Rounding = 1e-12;
    private const double EtcTolerance = 1e-9;   // dB; at a click of an even distance the other's Hilbert transform is exactly zero

    private static ImpulseResponse Of(double[] samples, double zero = 0, TimeZero known = TimeZero.Loopback) => new(samples, Rate, zero, known, new("g"), "test");

    [Fact]
    public void The_step_of_a_first_order_low_pass_is_one_minus_an_exponential()
    {
        const double Tau = 0.002;   // h[n] = (1 − a)·aⁿ with a = e^(−1/(τ·rate)) sums to 1 − a^(n+1): the closed form e^(−t/τ) one sample later
        var a = Math.Exp(-1 / (Tau * Rate));
        var step = Of([.. Enumerable.Range(0, 2000).Select(n => (1 - a) * Math.Pow(a, n))], 10).StepResponse();
        Assert.Equal(2000, step.Count);
        for (var n = 0; n < step.Count; n++) Assert.Equal(1 - Math.Exp(-(n + 1) / (Tau * Rate)), step[n], Rounding);
        Assert.Equal(-10.0 / Rate, step.SecondsAt(0), Rounding);
        Assert.Equal("no unit", step.Unit);
    }

    [Fact]
    public void A_curve_is_read_between_two_samples_and_nowhere_outside()
    {
        var step = Of([1, 2, 3], 1).StepResponse();   // 1, 3, 6 at −1, 0, 1 samples
        Assert.Equal(3, step.At(0), Rounding);
        Assert.Equal(4.5, step.At(0.5 / Rate), Rounding);
        Assert.Equal(6, step.At(1.0 / Rate), Rounding);
        Assert.True(double.IsNaN(step.At(1.1 / Rate)) && double.IsNaN(step.At(-1.1 / Rate)));
    }

    [Fact]
    public void Two_clicks_stand_in_the_energy_time_curve_with_their_times_and_levels()
    {
        var samples = new double[4800];
        (samples[480], samples[1440]) = (0.5, -0.05);   // an even number of samples apart
        var curve = Of(samples, 480).EnergyTimeCurve();
        Assert.Equal(0, curve.At(0), EtcTolerance);
        Assert.Equal(-20, curve.At(0.02), EtcTolerance);
        // beside the first click its Hilbert transform 2/(πk) falls like 1 / distance: −3.92 dB one sample away
        Assert.Equal(20 * Math.Log10(2 / Math.PI), curve[479], 0.01);   // the other click adds 0.05 · 2/(961π), 0.0005 dB
        Assert.Equal("dB relative to the peak", curve.Unit);
    }

    [Fact]
    public void The_energy_time_curve_of_a_decaying_tone_falls_as_its_envelope_does()
    {
        const double FallPerSecond = 30, Frequency = 1000;
        var samples = Enumerable.Range(0, 24_000).Select(n => Math.Exp(-FallPerSecond * n / Rate) * Math.Sin(2 * Math.PI * Frequency * n / Rate)).ToArray();
        var curve = Of(samples).EnergyTimeCurve();
        // far from the onset's spread the envelope is e^(−at): −8.686·a·Δt; its second-order error (a / 2πf)² is 2e-5, and what is left of the onset's spread is below 0.05 dB
        Assert.Equal(-20 * Math.Log10(Math.E) * FallPerSecond * 0.05, curve.At(0.08) - curve.At(0.03), 0.05);
    }

    [Fact]
    public void The_energy_time_curve_of_a_band_leaves_out_what_lies_outside_and_keeps_times_and_levels_inside()
    {
        // two bursts of a tone inside the band, 20 dB and half a second apart, under a tone outside that is ten times as strong as the first
        static double Burst(double t) => Math.Abs(t) < 0.1 ? Math.Pow(Math.Cos(Math.PI * t / 0.2), 2) * Math.Cos(2 * Math.PI * 100 * t) : 0;
        var samples = Enumerable.Range(0, 48_000).Select(n => (double)n / Rate).Select(t => Burst(t - 0.25) + 0.1 * Burst(t - 0.75) + 10 * Math.Sin(2 * Math.PI * 3000 * t)).ToArray();
        var curve = Of(samples).EnergyTimeCurve(40, 300);
        const double Tolerance = 0.01;   // a cos² burst of 200 ms holds 20 Hz, all of it where the weight is one; the ends of the strong tone leave 1e-4 of the weaker burst
        Assert.Equal(0, curve.At(0.25), Tolerance);
        Assert.Equal(-20, curve.At(0.75), Tolerance);
        Assert.Equal(20 * Math.Log10(0.5), curve.At(0.2), Tolerance);   // cos² at half its half width
        Assert.Equal(40 * Math.Log10(Math.Cos(Math.PI * 0.0475 / 0.2)), curve.At(0.2025), Tolerance);   // where the tone itself crosses zero
        Assert.True(curve.At(0.5) < -60);
        Assert.Equal("toHz", Assert.Throws<ArgumentOutOfRangeException>(() => Of(samples).EnergyTimeCurve(40, 50)).ParamName);
    }

    [Fact]
    public void The_window_in_milliseconds_lies_round_the_first_peak()
    {
        var samples = new double[9600];
        (samples[2400], samples[4800]) = (1, 0.3);
        var cut = Of(samples, 240).Windowed(leftMs: 5, rightMs: 40);
        Assert.Equal((240 + 1920, 240), (cut.Length, Array.IndexOf(cut.ToArray(), 1.0)));
        Assert.Equal(0.045, cut.SecondsAt(240), Rounding);   // the axis stays
        Assert.Equal(1, cut.ToArray().Count(value => value != 0));   // 50 ms later lies outside
    }

    [Fact]
    public void A_one_sided_window_keeps_its_edge_only()
    {
        var window = ImpulseWindow.AfterArrival(lengthMs: 10, edgeMs: 0.5);
        Assert.Equal((0.0005, 0.01), (window.LeftSeconds, window.RightSeconds));
        var cut = Of([.. Enumerable.Repeat(1.0, 4800)], 2400).Windowed(window with { FallingRatio = 0 }).ToArray();
        Assert.Equal(504, cut.Length);
        Assert.Equal((1.0, 0.5), (cut[^2], Math.Round(cut[^1], 12)));   // a hard edge: one sample of slope, cos²(π/4)
    }

    // ringing of a brickwall band limit at f1 cut off on the left: the value at f is off by ln((f + f1)/(f − f1)) / 2π (derived in AfterArrival's remarks)
    [Theory]
    [InlineData(40)]
    [InlineData(80)]
    [InlineData(320)]
    public void What_a_one_sided_window_does_to_the_ringing_of_a_band_limit_is_as_stated(double frequencyHz)
    {
        const double Start = 10;
        const int Half = 10 * Rate;   // ± 10 s of the ringing: what is missing beyond moves the value by 1 / (2π²·f1·10 s·…) < 0.001
        var error = 0.0;              // −Σ over the left half of h(t)·e^(−jωt), h = −2·f1·sinc(2·f1·t): its imaginary part is what the formula gives
        var real = 0.0;
        for (var n = 1; n <= Half; n++)
        {
            var t = (double)n / Rate;
            var ringing = Math.Sin(2 * Math.PI * Start * t) / (Math.PI * t) / Rate;
            error += ringing * Math.Sin(2 * Math.PI * frequencyHz * t);
            real += ringing * Math.Cos(2 * Math.PI * frequencyHz * t);
        }
        var stated = Math.Log((frequencyHz + Start) / (frequencyHz - Start)) / (2 * Math.PI);
        Assert.Equal(stated, Math.Sqrt(error * error + real * real), 0.001);
    }

    [Fact]
    public void What_is_out_of_range_is_refused()
    {
        var silent = Of(new double[10]);
        Assert.Equal("leftMs", Assert.Throws<ArgumentOutOfRangeException>(() => silent.Windowed(0, 10)).ParamName);
        Assert.Equal("lengthMs", Assert.Throws<ArgumentOutOfRangeException>(() => ImpulseWindow.AfterArrival(double.NaN)).ParamName);
        Assert.Equal("FallingRatio", Assert.Throws<ArgumentOutOfRangeException>(() => (new ImpulseWindow(1, 1) with { FallingRatio = 1.1 }).Cut(silent, 0)).ParamName);
        Assert.Throws<ArgumentException>(() => silent.Windowed(1, 1));
        Assert.Throws<ArgumentException>(() => silent.EnergyTimeCurve());
        Assert.Throws<ArgumentException>(() => Of([1, double.NaN]).StepResponse());
    }
}
