// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Nearfield;

public sealed class FreeFieldSpliceTests
{
    [Theory]   // fact sheet 7.7
    [InlineData(2.4, 1, 214.4)]
    public void A_gate_resolves_what_the_first_reflection_leaves(double height, double distance, double frequencyHz) =>
        Assert.Equal(frequencyHz, FreeFieldSplice.GateResolvesHz(height, distance, 343), 0.1);

    [Fact]
    public void Level_and_slope_of_the_difference_are_told_and_the_near_field_is_shifted()
    {
        var splice = Joined(f => -20, f => -19 + 1.5 * Math.Log2(f / Math.Sqrt(200 * 800.0)));
        Assert.Null(splice.WhyNot);
        Assert.Equal(2, splice.OverlapOctaves, 0.03);
        Assert.Equal(1, splice.LevelMismatchDb, 0.02);
        Assert.Equal(1.5, splice.SlopeMismatchDbPerOctave, 1e-6);
        Assert.Equal(-19, splice.Points[0].LevelDb, 0.02);   // shifted by the mean
        Assert.Equal((1.0, 0.0), (splice.Points.First(point => point.FrequencyHz > 270).NearShare, splice.Points.First(point => point.FrequencyHz > 570).NearShare));   // the middle half
        Assert.Equal(0.5, splice.Points.MinBy(point => Math.Abs(point.FrequencyHz - 400)).NearShare, 0.03);
        Assert.True(splice.Points.Zip(splice.Points.Skip(1)).All(pair => pair.First.FrequencyHz < pair.Second.FrequencyHz && Math.Abs(pair.First.LevelDb - pair.Second.LevelDb) < 0.3));
        Assert.True(splice.Points[0].FrequencyHz < 21 && splice.Points[^1].FrequencyHz > 7900);
    }

    [Theory]   // difference of level, of slope, start of the free field, and what is said
    [InlineData(3.5, 0, 200, "the free field lies +3.5 dB from the near field, more than 3 dB. Check the cone's area")]
    [InlineData(-3.5, 0, 200, "the free field lies -3.5 dB")]
    [InlineData(0, 4.5, 200, "the slopes differ by +4.5 dB per octave, more than 4. A reflection inside the gate")]
    [InlineData(0, 0, 700, "No valid overlap: the near field may be believed up to 79")]
    [InlineData(0, 0, 1500, "a third of an octave in common is needed. Raise loudspeaker and microphone")]
    [InlineData(0, 0, 9000, "the free field may be believed nowhere (the gate)")]
    public void What_does_not_fit_is_not_joined_and_the_reason_is_given(double levelDb, double slopeDb, double freeFromHz, string says)
    {
        var splice = Joined(_ => 0, f => levelDb + slopeDb * Math.Log2(f / 400), freeFromHz);
        Assert.False(splice.IsJoined);
        Assert.Contains(says, splice.WhyNot, StringComparison.Ordinal);
        Assert.Empty(splice.Points);
    }

    [Fact]
    public void Other_references_and_grids_are_not_joined()
    {
        var near = Level(_ => 0, 20, 800);
        Assert.Contains("relative to the stimulus", FreeFieldSplice.Of(near, Level(_ => 0, 200, 8000, LevelReference.Stimulus)).WhyNot, StringComparison.Ordinal);
        Assert.Contains("points per octave", FreeFieldSplice.Of(near, Level(_ => 0, 200, 8000, grid: LogGrid.Between(48, 20, 8000))).WhyNot, StringComparison.Ordinal);
        Assert.Contains("the near field may be believed nowhere", FreeFieldSplice.Of(Level(_ => 0, 9000, 800), Level(_ => 0, 200, 8000)).WhyNot, StringComparison.Ordinal);
    }

    [Fact]
    public void Wrong_arguments_are_named() =>
        Assert.Equal("distanceMetres", Assert.Throws<ArgumentOutOfRangeException>(() => FreeFieldSplice.GateResolvesHz(2.4, 0, 343)).ParamName);

    private static FreeFieldSplice Joined(Func<double, double> near, Func<double, double> free, double freeFromHz = 200) =>
        FreeFieldSplice.Of(Level(near, 20, 800), Level(free, freeFromHz, 8000, grid: LogGrid.Between(96, 40, 8000)));   // the free take begins higher up

    private static Response Level(Func<double, double> levelDb, double fromHz, double toHz, LevelReference reference = LevelReference.Loopback, LogGrid? grid = null)
    {
        grid ??= LogGrid.Between(96, 20, 2000);
        var frequencies = grid.ToArray();
        var values = frequencies.Select(f => (Complex)Decibels.ToAmplitudeRatio(levelDb(f))).ToArray();
        var mask = Limits.From(frequencies, fromHz, new(Doubt.Reflection, "the gate")).And(Limits.UpTo(frequencies, toHz, new(Doubt.NearField, "the cone")));
        return new(grid, values, [.. values.Select(value => value.Magnitude * value.Magnitude)], new double[grid.Count], new bool[grid.Count], mask, mask, TimeGroup.None, reference);
    }
}
