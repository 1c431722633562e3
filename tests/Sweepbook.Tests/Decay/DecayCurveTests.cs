// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class DecayCurveTests
{
    private const double ClarityDb = 0.01;         // fact sheet 4.1
    private const double TenthPercent = 0.001;     // fact sheet 4.1
    private const double HalfPercent = 0.005;      // fact sheet 4.2 and the promise for deterministic envelopes
    private const double HalfLastDigit = 0.5;      // of curvature (0.1 % there) and non-linearity, with sampling

    [Theory]   // fact sheet 4.1
    [InlineData(0.3, 9.5424, 15.8895, 0.90000, 21.715)]
    [InlineData(0.5, 4.7437, 9.0956, 0.74881, 36.191)]
    [InlineData(1.0, -0.0206, 3.0534, 0.49881, 72.382)]
    [InlineData(2.0, -3.8454, -1.3206, 0.29205, 144.765)]
    public void An_exponential_decay_gives_the_figures_of_its_closed_form(double t60, double c50, double c80, double d50, double ts)
    {
        var decay = Decaying.Response(Decaying.Exponential(t60, 2 * t60)).BroadbandDecay();
        foreach (var time in new[] { decay.Edt, decay.T20, decay.T30, decay.Late }) Assert.Equal(t60, time.Value, TenthPercent * t60);
        Assert.Equal(c50, decay.C50.Value, ClarityDb);
        Assert.Equal(c80, decay.C80.Value, ClarityDb);
        Assert.Equal(d50, decay.D50.Value, TenthPercent * d50);
        Assert.Equal(ts, decay.Ts.Value, TenthPercent * ts);
        Assert.All(decay.Values, value => Assert.Equal("", value.Reason));
        Assert.Equal(["s", "s", "s", "s", "dB", "dB", "", "ms"], decay.Values.Select(value => value.Unit));
    }

    [Theory]   // fact sheet 4.2 and 4.3: the decay curve is (1 − w) · 10^(−6t/T1) + w · 10^(−6t/T2)
    [InlineData(0.5, 1.5, 0.01, 0.5077, 0.5466, 0.6716, 22.9, 1.11, 17.4)]
    [InlineData(0.3, 1.2, 0.0316227766, 0.3194, 0.5400, 0.8588, 59.0, 38.6, 56.0)]
    public void Two_slopes_give_the_times_and_the_curvature_of_their_closed_form(
        double first, double second, double share, double edt, double t20, double t30, double curvature, double permille20, double permille30)
    {
        var decay = Decaying.Response(TwoSlopes(first, second, share, 2.5 * second)).BroadbandDecay();
        Assert.Equal(edt, decay.Edt.Value, HalfPercent * edt);
        Assert.Equal(t20, decay.T20.Value, HalfPercent * t20);
        Assert.Equal(t30, decay.T30.Value, HalfPercent * t30);
        Assert.Equal(curvature, decay.T30.CurvaturePercent, HalfLastDigit);
        Assert.Equal(permille20, decay.T20.NonlinearityPermille, Math.Max(0.02, HalfPercent * permille20));
        Assert.Equal(permille30, decay.T30.NonlinearityPermille, HalfPercent * permille30);
        Assert.True(decay.T30.IsValid);
        Assert.StartsWith("curved", decay.T30.Reason);
        Assert.Equal(second, decay.Late.Value, HalfPercent * second);   // far below the bend only the second slope is left
    }

    [Fact]
    public void The_plain_integral_agrees_with_the_double_sum_that_defines_it_and_never_rises()
    {
        var samples = Signals.Noise(300, 5);
        samples[0] = 3;   // the start is the first sample
        var curve = Decaying.Response(samples, 1000).BackwardIntegral();
        var whole = samples.Sum(x => x * x);
        Assert.Equal(300, curve.Count);
        for (var n = 0; n < 300; n++)
        {
            Assert.Equal(10 * Math.Log10(samples.Skip(n).Sum(x => x * x) / whole), curve[n], 1e-9);
            Assert.Equal(n / 1000.0, curve.SecondsAt(n), 1e-12);
            if (n > 0) Assert.True(curve[n] <= curve[n - 1]);
        }
        Assert.Equal(curve[17], curve.ToArray()[17]);
        Assert.Equal(0.299, curve.EndSeconds, 1e-12);
    }

    [Fact]
    public void The_plain_integral_reads_like_a_sentence()
    {
        var seat = Decaying.Response(Decaying.Exponential(0.5, 1));
        Assert.Equal(0.5, seat.BackwardIntegral().FitBetween(upperDb: -5, lowerDb: -35).T60Seconds, HalfPercent * 0.5);
    }

    [Fact]
    public void Noise_bends_the_plain_integral_and_not_the_compensated_one()
    {
        var noisy = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.5, 1.5, 2), 50, 3));
        Assert.True(noisy.BackwardIntegral().FitBetween(-5, -35).T60Seconds > 0.6);
        Assert.Equal(0.5, noisy.BroadbandDecay().T30.Value, 0.01);
    }

    [Fact]
    public void A_curve_that_does_not_reach_the_lower_limit_gives_no_line()
    {
        var curve = Decaying.Response(Decaying.Exponential(0.5, 0.1)).BackwardIntegral();   // 12 dB of decay
        Assert.True(curve.FitBetween(-5, -90).IsEmpty);
        Assert.True(default(DecayFit).IsEmpty);
        Assert.False(default(DecayValue).IsValid);
    }

    [Fact]
    public void Silence_gives_an_empty_curve_and_no_figure()
    {
        var silent = Decaying.Response(new double[100]);
        Assert.Equal(0, silent.BackwardIntegral().Count);
        Assert.Equal(0, silent.BackwardIntegral().EndSeconds);
        Assert.True(silent.BackwardIntegral().FitBetween(0, -10).IsEmpty);
        Assert.All(silent.BroadbandDecay().Values, value => Assert.False(value.IsValid));
        Assert.All(silent.BroadbandDecay().Values, value => Assert.StartsWith("none", value.Reason));
        Assert.True(double.IsNaN(silent.DirectToReverberantDb()));
    }

    [Fact]
    public void Limits_that_make_no_stretch_are_refused_with_the_allowed_interval()
    {
        var curve = Decaying.Response(Decaying.Exponential(0.5, 0.1)).BackwardIntegral();
        Assert.Contains("(−∞, 0] dB", Assert.Throws<ArgumentOutOfRangeException>("upperDb", () => curve.FitBetween(1, -10)).Message);
        Assert.Contains("(−∞, -5) dB", Assert.Throws<ArgumentOutOfRangeException>("lowerDb", () => curve.FitBetween(-5, -5)).Message);
        Assert.Throws<ArgumentOutOfRangeException>("upperDb", () => curve.FitBetween(double.NaN, -5));
    }

    /// <summary>Samples whose backward integral is the sum of two exponentials: p² is the difference of neighbouring values.</summary>
    private static double[] TwoSlopes(double first, double second, double share, double lengthSeconds)
    {
        double Curve(int n) => (1 - share) * Math.Pow(10, -6 * n / (first * Decaying.RateHz)) + share * Math.Pow(10, -6 * n / (second * Decaying.RateHz));
        return [.. Enumerable.Range(0, (int)(lengthSeconds * Decaying.RateHz)).Select(n => Math.Sqrt(Curve(n) - Curve(n + 1)))];
    }
}
