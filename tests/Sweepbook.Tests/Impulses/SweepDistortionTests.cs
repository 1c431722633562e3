// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Tests.Studies;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class SweepDistortionTests
{
    private const double LeakRatio = 0.03;   // a third of an octave of a pulse in a window of 0.05 s or more, and the pulse's own ringing cut by it

    [Fact]
    public void The_harmonics_of_a_square_and_a_cube_are_those_of_trigonometry()
    {
        const double A2 = 0.4, A3 = 0.8, Amplitude = 0.5;   // SmallSurvey.Design plays at −6 dBFS
        var amplitude = Decibels.ToAmplitudeRatio(SmallSurvey.Design.Description.LevelDbfs);
        Assert.Equal(Amplitude, amplitude, 0.002);
        var (second, third) = (A2 * amplitude / 2, A3 * amplitude * amplitude / 4);   // fact sheet 5.8, over a linear response of one
        var expected = Math.Sqrt(second * second + third * third);
        var grid = LogGrid.Between(96, 12, 20_000);
        var found = Harmonics(SmallSurvey.Design.ToArray().Select(x => x + A2 * x * x + A3 * x * x * x), grid);
        for (var k = 0; k < grid.Count; k++)
            if (grid[k] is > 20 and < 4000) Assert.Equal(1, Math.Sqrt(found[k]) / expected, LeakRatio);
    }

    [Fact]
    public void A_linear_system_has_none()
    {
        var grid = LogGrid.Between(96, 12, 20_000);
        var found = Harmonics(Signals.Convolved(SmallSurvey.Design.ToArray(), [0, 0, 1, 0.5, -0.3], SmallSurvey.Design.Length), grid);
        for (var k = 0; k < grid.Count; k++) Assert.True(Math.Sqrt(found[k]) < 0.003, FormattableString.Invariant($"{grid[k]} Hz: {Math.Sqrt(found[k])}"));   // −50 dB of the band limit's ringing
    }

    [Fact]
    public void Noise_is_not_counted()
    {
        var grid = LogGrid.Between(96, 12, 20_000);
        var hiss = Signals.Noise(SmallSurvey.Design.Length, 3);
        var found = Harmonics(SmallSurvey.Design.ToArray().Select((x, n) => x + 0.05 * hiss[n]), grid, hiss[..(SmallSurvey.Rate / 2)].Select(x => 0.05 * x).ToArray());
        Assert.True(found.Count(power => power > 0) < 0.02 * found.Length);
    }

    private static double[] Harmonics(IEnumerable<double> take, LogGrid grid, double[]? silence = null)
    {
        var design = SmallSurvey.Design;
        var plan = Deconvolution.By(design, design.Length);
        var window = new ImpulseWindow(0.2, 0.7);
        var none = new double[grid.Count];
        var noise = silence is null ? new MeasurementNoise(none, none, none, []) : plan.NoiseOf(silence, window, grid);
        return new SweepDistortion(plan.Of([.. take]), 0, design.Description.Law, 18_000).PowerRatio(grid, [.. grid.ToArray().Select(_ => 1.0)], noise, window.EnergySamples(SmallSurvey.Rate), [.. grid.ToArray().Select(_ => 1.0)], _ => 0);
    }
}
