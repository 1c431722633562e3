// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Tests.Studies;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class MeasurementNoiseTests
{
    private const double AmplitudeOfOneBlockDb = 1.0;   // a line 20 dB above the hiss of its cell is known to 20·lg(1 ± 0.1)

    [Theory]
    [InlineData(50)]
    [InlineData(180)]
    [InlineData(350)]
    public void A_tone_through_division_and_window_has_the_power_that_the_silent_block_foretells(double toneHz)
    {
        var (stimulus, window) = (SmallSurvey.Design, new ImpulseWindow(0.2, 0.7));
        var plan = Deconvolution.By(stimulus, stimulus.Length);
        var grid = LogGrid.Between(96, 20, 1000);
        var hiss = Signals.Noise(stimulus.Length, 5);
        var hum = Enumerable.Range(0, stimulus.Length).Select(n => 1e-6 * hiss[n] + 1e-3 * Math.Cos(2 * Math.PI * toneHz * n / SmallSurvey.Rate)).ToArray();
        var noise = plan.NoiseOf(hum.AsSpan(0, SmallSurvey.Rate / 2), window, grid);
        Assert.Equal(toneHz, Assert.Single(noise.HumAtHz), toneHz * 0.0005);
        var windowed = window.Cut(plan.Of(hum), 0.01);
        var at = Enumerable.Range(0, grid.Count).MinBy(k => Math.Abs(grid[k] - toneHz));
        const int Looks = 200;
        double[] inCell = [.. Enumerable.Range(0, Looks).Select(n => grid[at] * Math.Pow(2, ((n + 0.5) / Looks - 0.5) / grid.PointsPerOctave))];
        var sum = DiscreteTimeTransform.At(windowed.Samples, 0, SmallSurvey.Rate, inCell).Average(value => value.Magnitude * value.Magnitude);   // the mean over the cell by the sum itself
        Assert.Equal(0, 10 * Math.Log10(noise.Hum[at] / sum), AmplitudeOfOneBlockDb);
        Assert.True(GridSpectrum.Of(windowed, grid).ThirdOctavePower[at] < sum / 3);   // what the mean over a third of an octave would have said
    }
}
