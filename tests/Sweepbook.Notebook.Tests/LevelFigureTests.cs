// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Text.Json;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class LevelFigureTests
{
    private const double DrawnDb = 0.0051;   // levels are drawn with two decimals
    private static readonly LogGrid Grid = LogGrid.Between(24, 10, 1000);

    [Fact]
    public void Each_response_is_drawn_under_its_name_with_its_levels_and_faint_where_not_trusted()
    {
        var figure = Figures.Levels("A sum", 20, 200, ("one", Of(-6)), ("together", Of(-6).Plus(Of(-6))));
        var strong = Traces(figure).Where(trace => trace.GetProperty("line").GetProperty("width").GetDouble() == 2).ToArray();
        Assert.Equal(["one", "together"], strong.Select(trace => trace.GetProperty("name").GetString()));
        foreach (var (trace, levelDb) in strong.Zip([-6, -6 + 20 * Math.Log10(2)]))   // two equal responses in phase
        {
            Assert.All(Numbers(trace, "y"), level => Assert.Equal(levelDb, level, DrawnDb));
            Assert.All(Numbers(trace, "x"), hertz => Assert.InRange(hertz, 20, 150));   // not trusted above
        }
        Assert.Equal(4, Traces(figure).Length);   // a faint part for each
        Assert.All(Traces(figure).Where(trace => trace.GetProperty("line").GetProperty("width").GetDouble() != 2), trace => Assert.Equal(200, Numbers(trace, "x").Max(), 200 * 0.03));   // the axis ends there, to a point of the grid
        Assert.Equal("A sum", figure.Title);
        Assert.Matches(@"^A sum: level from 20 to 200 Hz, one highest at \d+(\.\d)? Hz, −6\.0 dB; together highest at \d+(\.\d)? Hz, 0\.0 dB\.$", figure.TextAlternative);
        Assert.Contains("relative to the loopback", FigureTests.JsonOf(figure).ToString());
    }

    [Fact]
    public void What_cannot_be_drawn_in_one_figure_is_refused()
    {
        var other = Assert.Throws<ArgumentException>(() => Figures.Levels("Two", 20, 200, ("one", Of(0)), ("other", Of(0, LevelReference.Stimulus))));
        Assert.Contains("\"one\" are relative to the loopback, those of \"other\" relative to the stimulus. Draw them in two figures.", other.Message);
        Assert.Throws<ArgumentException>(() => Figures.Levels("None", 20, 200));
        Assert.Throws<ArgumentException>(() => Figures.Levels(" ", 20, 200, ("one", Of(0))));
        foreach (var (fromHz, toHz) in new (double, double)[] { (0, 200), (200, 200), (double.NaN, 200), (20, double.NaN), (20, double.PositiveInfinity), (0.001, 200) })
            Assert.Throws<ArgumentOutOfRangeException>(() => Figures.Levels("Axis", fromHz, toHz, ("one", Of(0))));
    }

    private static Response Of(double levelDb, LevelReference reference = LevelReference.Loopback)
    {
        var frequencies = Grid.ToArray();
        var mask = Limits.UpTo(frequencies, 150, new(Doubt.Noise, "noise comes within 15 dB"));
        Complex[] values = [.. frequencies.Select(_ => new Complex(Decibels.ToAmplitudeRatio(levelDb), 0))];
        return new(Grid, values, [.. values.Select(value => value.Real * value.Real)], new double[values.Length], new bool[values.Length], mask, mask, new("loopback"), reference);
    }

    /// <summary>The numbers that are drawn; a gap between two parts is none.</summary>
    private static double[] Numbers(JsonElement trace, string axis) => [.. trace.GetProperty(axis).EnumerateArray().Where(number => number.ValueKind == JsonValueKind.Number).Select(number => number.GetDouble())];

    private static JsonElement[] Traces(Figure figure) => [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];
}
