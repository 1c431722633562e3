// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using System.Xml.Linq;
using Sweepbook.Files;
using Sweepbook.Notebook.Pictures;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class PictureTests(ViewStudies views) : IClassFixture<ViewStudies>
{
    private static readonly XNamespace Svg = "http://www.w3.org/2000/svg";
    private static readonly string[] Grid = [Ink.Grid.Hex, Ink.FaintGrid.Hex, "#a09d96"];
    private const double DrawnPixels = 0.02;   // two decimals are written

    /// <summary>A figure of every chart that the demo survey can fill, and of the invented ones.</summary>
    private Figure[] Every() =>
    [
        Synthetic.Bands(), Synthetic.Curves(20, 20000), Figures.AllowedExposure(), Figures.TrustedBands(views.Timed), .. Figures.Responses(views.Timed), .. Figures.FirstArrivals(views.Timed), .. Figures.Waterfalls(views.Timed),
        .. Figures.DecayTimes(views.Timed), Figures.DecayCurve(views.Timed.Decays[0].Octaves[2]), .. Figures.PredictedModes(views.Timed), Figures.Phase(views.Timed.Responses[0]), Figures.EnergyTimeCurve(views.Timed.Responses[0]),
        .. Figures.MicrophoneRanges(views.Timed) is { } ranges ? [ranges] : Array.Empty<Figure>(),
    ];

    [Fact]
    public void Every_figure_is_a_drawing_with_its_words_and_its_curves()
    {
        foreach (var figure in Every())
        {
            var bytes = figure.ToSvg();
            var root = XDocument.Parse(Encoding.UTF8.GetString(bytes)).Root!;
            Assert.Equal(figure.TextAlternative, root.Element(Svg + "desc")!.Value);
            var words = root.Elements(Svg + "text").Select(text => text.Value).ToArray();
            var chart = FigureTests.JsonOf(figure);
            foreach (var axis in new[] { "xaxis", "yaxis" })
                if (chart.GetProperty("layout").GetProperty(axis).TryGetProperty("title", out var title))
                    Assert.Contains(ChartPlot.Plain(title.GetProperty("text").GetString()), words);
            Assert.All(figure.Legend, entry => Assert.Contains(entry.Name, words));
            Assert.Contains(figure.FromFile, string.Join(' ', words));
            var lines = chart.GetProperty("data").EnumerateArray().Count(trace => trace.GetProperty("type").GetString() == "scatter" && trace.GetProperty("mode").GetString()!.Contains("lines", StringComparison.Ordinal)
                && (!trace.TryGetProperty("visible", out var visible) || visible.GetBoolean()) && Widths(trace) > 0 && HasALine(trace));
            var paths = root.Elements(Svg + "g").Elements(Svg + "path").Count(path => path.Attribute("fill")!.Value == "none" && !Grid.Contains(path.Attribute("stroke")!.Value));
            Assert.True(paths >= lines, $"{figure.Title}: {paths} of {lines}");
            Assert.DoesNotContain("NaN", Encoding.UTF8.GetString(bytes));
            Assert.Equal(bytes, figure.ToSvg());
        }

        static double Widths(System.Text.Json.JsonElement trace) => trace.TryGetProperty("line", out var line) && line.TryGetProperty("width", out var width) ? width.GetDouble() : 1;
        static bool HasALine(System.Text.Json.JsonElement trace) => PlotAxis.Numbers(trace.GetProperty("y")) is var y && Enumerable.Range(1, Math.Max(0, y.Length - 1)).Any(n => double.IsFinite(y[n]) && double.IsFinite(y[n - 1]));
    }

    [Fact]
    public void A_decade_is_as_long_as_the_decibels_that_the_standard_says()
    {
        foreach (var figure in new[] { Synthetic.Curves(20, 20000), Synthetic.Curves(10, 200) })
        {
            var root = XDocument.Parse(Encoding.UTF8.GetString(figure.ToSvg())).Root!;
            var texts = root.Elements(Svg + "text").ToArray();
            double At(string label, string which) => double.Parse(texts.First(text => text.Value == label).Attribute(which)!.Value, CultureInfo.InvariantCulture);
            var decade = At("200", "x") - At("20", "x");
            var tenDb = At("−10", "y") - At("0", "y");
            Assert.Equal(figure.Scale!.DecadeDb, decade / tenDb * 10, DrawnPixels * 5);
            Assert.Contains(figure.Scale.DecadeDb, new[] { 25.0, 50.0 });
        }
    }

    [Fact]
    public void Bars_of_uncertainty_have_a_stem_and_two_caps_for_each_value_that_has_one()
    {
        var figure = Figures.DecayTimes(views.Timed)[0];
        var trace = FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray().First(trace => trace.TryGetProperty("error_y", out var error) && error.TryGetProperty("visible", out var visible) && visible.GetBoolean());
        var values = PlotAxis.Numbers(trace.GetProperty("error_y").GetProperty("array")).Where(around => around > 0).ToArray();
        Assert.True(values.Length > 3);
        var root = XDocument.Parse(Encoding.UTF8.GetString(figure.ToSvg())).Root!;
        var labels = root.Elements(Svg + "text").Where(text => text.Attribute("text-anchor")?.Value == "end" && text.Value.Length > 0)
            .Select(text => (Y: double.Parse(text.Attribute("y")!.Value, CultureInfo.InvariantCulture), Seconds: double.Parse(text.Value, CultureInfo.InvariantCulture))).ToArray();
        var pixels = (labels[0].Y - labels[^1].Y) / (labels[^1].Seconds - labels[0].Seconds);
        var bars = root.Descendants(Svg + "path").Select(path => path.Attribute("d")!.Value.Split('M', StringSplitOptions.RemoveEmptyEntries)).First(parts => parts.Length == 3 * values.Length);
        double[] Ends(string part) => [.. part.Split([' ', 'L']).Select(number => double.Parse(number, CultureInfo.InvariantCulture))];
        foreach (var (bar, around) in bars.Chunk(3).Select(bar => bar.Select(Ends).ToArray()).Zip(values))
        {
            Assert.Equal(bar[0][0], bar[0][2]);   // upright
            Assert.Equal(2 * around * pixels, bar[0][1] - bar[0][3], 5 * DrawnPixels);
            Assert.Equal([bar[0][1], bar[0][3]], bar[1..].Select(cap => cap[1]));
        }
    }

    [Fact]
    public void A_map_has_its_colours_and_the_scale_beside_it()
    {
        var figure = Figures.Waterfalls(views.Timed)[0];
        var map = FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray().First(trace => trace.GetProperty("type").GetString() == "heatmap");
        var scale = map.GetProperty("colorscale").EnumerateArray().Select(step => Ink.Read(step[1].GetString()).Hex).ToArray();
        var root = XDocument.Parse(Encoding.UTF8.GetString(figure.ToSvg())).Root!;
        var inside = root.Elements(Svg + "g").Elements(Svg + "path").Select(path => path.Attribute("fill")!.Value).ToArray();
        Assert.Contains(scale[^1], inside);   // the loudest
        Assert.Contains(scale[0], inside);    // and all that lies below the scale
        Assert.Equal(scale[0], root.Elements(Svg + "path").First(path => path.Attribute("fill")!.Value != "none").Attribute("fill")!.Value);   // the scale begins at its bottom
        var words = root.Elements(Svg + "text").Select(text => text.Value).ToArray();
        Assert.All(map.GetProperty("colorbar").GetProperty("ticktext").EnumerateArray(), label => Assert.Contains(ChartPlot.Plain(label.GetString()), words));
    }

    [Fact]
    public void The_title_of_the_upright_axis_keeps_clear_of_its_labels()
    {
        foreach (var figure in new[] { Figures.AllowedExposure(), Synthetic.Curves(20, 20000), Figures.DecayCurve(views.Timed.Decays[0].Octaves[2]), Figures.EnergyTimeCurve(views.Timed.Responses[0]) })
        {
            var texts = XDocument.Parse(Encoding.UTF8.GetString(figure.ToSvg())).Root!.Elements(Svg + "text").ToArray();
            double X(XElement text) => double.Parse(text.Attribute("x")!.Value, CultureInfo.InvariantCulture);
            var title = texts.Single(text => text.Attribute("transform") is not null);
            var labels = texts.Where(text => text.Attribute("text-anchor")?.Value == "end").ToArray();
            Assert.True(labels.Length is >= 5 and <= 12, figure.Title);
            Assert.All(labels, label => Assert.True(X(label) - Lettering.Width(label.Value, 12) > X(title), $"{title.Value} runs through {label.Value}"));
            Assert.True(X(title) > 12, $"{title.Value} is cut off");
        }
    }

    [Fact]
    public void What_is_not_trusted_is_faint_and_patterns_tell_curves_apart()
    {
        var figure = CurveChart.Draw([new() { Name = "a & b <c>", Colour = "#D55E00", Dash = "dash", FrequenciesHz = [100, 200, 400, 800], LevelsDb = [-1, -2, -3, -4], Doubts = ["", "", "noise", "noise"] }], "Level (dB)", "0 dB", "responses.csv", "");
        var curves = XDocument.Parse(Encoding.UTF8.GetString(figure.ToSvg())).Descendants(Svg + "path").Where(path => path.Element(Svg + "title")?.Value == "a & b <c>").ToArray();
        Assert.Equal(2, curves.Length);
        Assert.All(curves, curve => Assert.Equal("#d55e00", curve.Attribute("stroke")!.Value));
        Assert.All(curves, curve => Assert.NotNull(curve.Attribute("stroke-dasharray")));
        Assert.Equal([null, "0.35"], curves.Select(curve => curve.Attribute("stroke-opacity")?.Value));
    }

    [Fact]
    public void A_picture_has_the_width_asked_for_and_says_what_it_shows()
    {
        var figure = Synthetic.Curves(20, 20000);
        var bytes = figure.ToPng(1200, 1.5);
        var page = new PicturePage(figure, 800);
        Assert.Equal((1200, (int)Math.Round(page.Height * 1.5)), (BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(16)), BinaryPrimitives.ReadInt32BigEndian(bytes.AsSpan(20))));
        Assert.Contains("iTXtDescription\0\0\0\0\0" + figure.TextAlternative, Encoding.UTF8.GetString(bytes));
        Assert.Equal(bytes, figure.ToPng(1200, 1.5));
        using var read = SkiaSharp.SKBitmap.Decode(bytes);   // checks every part
        Assert.Contains(read.Pixels, pixel => pixel is { Red: 0, Green: 0x72, Blue: 0xB2 });   // the first seat's colour
        Assert.Throws<ArgumentOutOfRangeException>(() => figure.SavePng("a.png", 20));
        Assert.Throws<ArgumentOutOfRangeException>(() => figure.SavePng("a.png", 1200, double.NaN));
        foreach (var other in Every()) Assert.True(other.ToPng(700, 1).Length > 5000, other.Title);
    }

    [Fact]
    public void Without_a_typeface_there_is_no_picture_without_words() =>
        Assert.Contains("no typeface is installed", Assert.Throws<DataFault>(() => { PngCanvas.WithLetters(null); }).Message);

    [Fact]
    public void A_picture_replaces_a_picture_of_ours_and_nothing_else()
    {
        using var folder = new TestFolder();
        var figure = Synthetic.Bands();
        foreach (var (name, save) in new (string, Action<string>)[] { ("new/a.svg", path => figure.SaveSvg(path)), ("new/a.png", path => figure.SavePng(path)) })
        {
            var path = folder.File(name);
            save(path);
            var first = File.ReadAllBytes(path);
            save(path);
            Assert.Equal(first, File.ReadAllBytes(path));
            File.WriteAllText(path, "somebody's own");
            Assert.Contains("is not overwritten", Assert.Throws<DataFault>(() => save(path)).Message);
            Assert.Equal("somebody's own", File.ReadAllText(path));
            Assert.Contains($"must end in {Path.GetExtension(name)}", Assert.Throws<DataFault>(() => save(folder.File("a.txt"))).Message);
            Directory.CreateDirectory(folder.File("a" + Path.GetExtension(name)));
            Assert.Contains("folder", Assert.Throws<DataFault>(() => save(folder.File("a" + Path.GetExtension(name)))).Message);
        }
        Assert.Equal(2, Directory.GetFiles(folder.File("new")).Length);   // nothing left behind
    }

    [Fact]
    public void Long_words_are_broken_and_none_is_lost()
    {
        var text = "Each bar runs from the lowest to the highest " + new string('x', 300) + " frequency.";
        var lines = Lettering.Lines(text, 12, 200);
        Assert.All(lines, line => Assert.True(Lettering.Width(line, 12) <= 200));
        Assert.Equal(text.Replace(" ", ""), string.Concat(lines).Replace(" ", ""));
    }
}
