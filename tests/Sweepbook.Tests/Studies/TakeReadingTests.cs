// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class TakeReadingTests
{
    [Fact]
    public void A_single_sample_at_full_scale_is_clipped()
    {
        double[] samples = [0.1, 0.5, 1 - 1.0 / (1 << 15), 0.4, -1, 0.2];   // the highest 16-bit code, and the lowest
        Assert.Equal([2, 4], TakeReading.ClippedSamples(samples));
    }

    [Fact]
    public void A_flat_top_below_full_scale_is_clipped_before_the_converter()
    {
        double[] samples = [0.1, 0.6, 0.6, 0.6, 0.6, 0.3, -0.2, -0.2, -0.2, -0.2, -0.2, -0.19];
        Assert.Equal([1, 2, 3, 4], TakeReading.ClippedSamples(samples));   // the lower plateau is not the file's maximum
    }

    [Fact]
    public void The_crest_of_a_slow_wave_in_coarse_steps_is_not_clipped()
    {
        var samples = Enumerable.Range(0, 48_000).Select(n => Math.Round(0.05 * Math.Sin(2 * Math.PI * 20 * n / 48_000.0) * 32_768) / 32_768).ToArray();
        Assert.True(samples.Zip(samples.Skip(1)).Count(pair => pair.First == pair.Second && pair.First == samples.Max()) > 4);   // it does stay at its top
        Assert.Empty(TakeReading.ClippedSamples(samples));
    }

    [Fact]
    public void Floating_point_samples_above_full_scale_were_not_cut_there()
    {
        Assert.Empty(TakeReading.ClippedSamples([0.1, 0.99995, 1.6, 1.2, 0.3, -1.1, -0.4]));
        Assert.Equal([2, 3, 4, 5], TakeReading.ClippedSamples([0.1, 0.11, 1.6, 1.6, 1.6, 1.6, 0.3]));
    }

    [Fact]
    public void A_clean_peak_is_not_clipped()
    {
        Assert.Empty(TakeReading.ClippedSamples([0.1, 0.6, 0.6, 0.5, -0.3]));
        Assert.Empty(TakeReading.ClippedSamples(new double[100]));
    }
}
