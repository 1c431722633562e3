// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Transforms;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class TimeZeroMaskTests
{
    [Fact]
    public void The_uncertainty_of_a_loopback_is_the_scatter_of_the_best_delay_estimate_over_simulated_noise()
    {
        const int Takes = 40;
        const double Noise = 0.05;
        var design = SmallSurvey.Design.ToArray();
        var length = 2 * FourierTransform.NextFastLength(design.Length / 2 + 1);
        var spectrum = FourierTransform.OfReal(design, length);
        var (plan, grid) = (Deconvolution.By(SmallSurvey.Design, design.Length), LogGrid.Between(96, 5, 24_000));
        var (squares, bounds) = (0.0, 0.0);
        for (var take = 0; take < Takes; take++)
        {
            var hiss = Signals.Noise(design.Length, 300 + (ulong)take);
            var loopback = design.Select((x, n) => x + Noise * hiss[n]).ToArray();
            var bins = FourierTransform.OfReal(loopback, length);
            var (slope, weight) = (0.0, 0.0);   // maximum likelihood in white noise, for a delay near zero: Σ ω Im(X* Y) / Σ ω² |X|²
            for (var k = 0; k < bins.Length; k++)
            {
                var omega = 2 * Math.PI * k * SmallSurvey.Rate / length;
                slope -= omega * (Complex.Conjugate(spectrum[k]) * bins[k]).Imaginary;
                weight += omega * omega * spectrum[k].Magnitude * spectrum[k].Magnitude;
            }
            squares += Math.Pow(slope / weight, 2) / Takes;
            bounds += TimeZeroMask.UncertaintySecondsOf(plan.LoopbackSnrDb(loopback, loopback.AsSpan(0, SmallSurvey.Rate / 2 - 500), grid), grid, (double)design.Length / SmallSurvey.Rate) / Takes;
        }
        Assert.Equal(1, Math.Sqrt(squares) / bounds, 0.3);   // 40 draws know a scatter to 11 %; three times that
    }

    [Fact]
    public void Phase_ends_where_the_uncertainty_is_ten_degrees()
    {
        var grid = LogGrid.Between(96, 10, 20_000);
        var mask = TimeZeroMask.Of(TimeZero.Loopback, 1e-5, grid);   // 10 / 360 / 10 µs = 2777.8 Hz
        for (var k = 0; k < grid.Count; k++) Assert.Equal(grid[k] > 2777.8 ? Doubt.TimeZero : Doubt.None, mask.ReasonAt(k).Doubt);
        Assert.Equal("the time zero is known to ± 10 µs, which is 10° at 2.78 kHz", mask.LongestBand().HighReason.Sentence);
    }

    [Fact]
    public void A_time_zero_stated_in_the_survey_is_believed_to_half_a_sample_and_levels_are_not_touched()
    {
        using var folder = new SmallSurvey();
        var samples = Signals.Noise(SmallSurvey.Rate, 9).Select(x => x * 1e-6).ToArray();
        samples[SmallSurvey.Rate / 5] = 0.5;
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [samples, samples]), "impulse = true\ntime_zero = \"unknown\"\ntime_zero_s = 0.2");
        var study = Study.Of(folder.Read());
        var response = study.Responses[0].Response;
        Assert.Equal(0.5 / SmallSurvey.Rate, study.Takes[0].TimeZeroUncertaintySeconds);
        Assert.Equal([Doubt.None], response.Doubts(50, 2600, isPhase: true));
        Assert.Equal([Doubt.TimeZero], response.Doubts(2700, 20_000, isPhase: true));   // 10 / 360 / 10.4 µs = 2667 Hz
        Assert.Equal([Doubt.None], response.Doubts(50, 20_000));
    }

    [Fact]
    public void A_take_without_time_zero_has_no_uncertainty_to_give()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.4)], keys: "time_zero = \"unknown\"");
        var study = Study.Of(folder.Read());
        Assert.True(double.IsNaN(study.Takes[0].TimeZeroUncertaintySeconds));
        Assert.Equal([Doubt.TimeZero], study.Responses[0].Response.Doubts(100, 1000, isPhase: true));
    }
}
