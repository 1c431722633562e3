// SPDX-License-Identifier: MIT
using Sweepbook.Notebook;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class LevelTitleTests
{
    [Theory]
    [InlineData(LevelReference.SoundPressure, "Level (dB re 20 µPa)")]
    [InlineData(LevelReference.Loopback, "Level (dB, relative to the loopback)")]
    [InlineData(LevelReference.Stimulus, "Level (dB, relative to the stimulus)")]
    [InlineData(LevelReference.Recording, "Level (dB, relative to the recording)")]
    public void A_level_axis_says_what_0_dB_means(LevelReference reference, string title) =>
        Assert.Contains(title.Replace("µ", "\\u00B5", StringComparison.Ordinal), FigureTests.JsonOf(Figures.Levels("One", 20, 200, ("one", Of(reference)))).ToString().Replace("µ", "\\u00B5", StringComparison.Ordinal));

    private static Response Of(LevelReference reference)
    {
        var grid = LogGrid.Between(48, 20, 200);
        var mask = new TrustMask(grid.ToArray(), new Reason[grid.Count]);
        return new(grid, new System.Numerics.Complex[grid.Count], Enumerable.Repeat(1.0, grid.Count).ToArray(), new double[grid.Count], new bool[grid.Count], mask, mask, default, reference);
    }
}
