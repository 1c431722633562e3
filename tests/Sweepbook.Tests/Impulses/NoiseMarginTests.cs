// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Tests.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class NoiseMarginTests
{
    private const double Silence = 0.5;

    [Theory]
    [InlineData(25)]
    [InlineData(63)]
    [InlineData(250)]
    [InlineData(1000)]
    public void Nine_of_ten_noise_estimates_lie_above_the_truth_less_the_margin(double frequencyHz)
    {
        const int Blocks = 300;
        var stimulus = SmallSurvey.Design;
        var plan = Deconvolution.By(stimulus, stimulus.Length);
        var grid = LogGrid.Between(96, frequencyHz, frequencyHz * 1.01);
        var estimates = Enumerable.Range(0, Blocks)
            .Select(n => 10 * Math.Log10(plan.NoisePowerOf(Signals.Noise((int)(Silence * SmallSurvey.Rate), 7000 + (ulong)n), new(0.2, 0.8), grid)[0])).ToArray();
        var truth = 10 * Math.Log10(estimates.Average(estimate => Math.Pow(10, estimate / 10)));   // the estimate is unbiased in power
        var below = estimates.Count(estimate => estimate < truth - NoiseMargin.DecibelsAt(frequencyHz, Silence)) / (double)Blocks;
        Assert.InRange(below, 0.04, 0.18);   // 10 % wanted; 300 draws scatter by 1.7 %, the count of free values is rounded to whole bins
    }

    [Fact]
    public void A_longer_silence_costs_less() =>
        Assert.True(NoiseMargin.DecibelsAt(20, 2) < NoiseMargin.DecibelsAt(20, 0.5) - 3);

    [Fact]
    public void The_margin_stands_between_a_ratio_that_seems_good_enough_and_trust()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.05)], noise: 0.04);   // weak, so that the noise does not clip: a clipped stretch would be doubted anyway
        var points = Study.Of(folder.Read()).Responses[0].Response.Points().Where(point => point.FrequencyHz is > 11 and < 14).ToList();
        Assert.All(points, point => Assert.InRange(point.SnrDb, 15, 15 + NoiseMargin.DecibelsAt(11, Silence)));
        Assert.All(points, point => Assert.Equal(Doubt.Noise, point.LevelReason.Doubt));
    }
}
