// SPDX-License-Identifier: MIT
using System.Text.Json;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>Figures of boxes that an independent script made (tests/reference/nearfield-takes): tuned to 35 Hz.</summary>
public sealed class BoxFigureTests
{
    private const double TunedHz = 35;
    private const double TuningHz = 0.3;         // as where the tuning itself is tested
    private const double Degrees = 12;           // a box that absorbs (Q = 15) turns 10.1° an octave above: (1 + 2j/15) / (3 − 2j/15); and a grid point beside
    private const double DrawnDb = 0.006;        // levels are drawn with two decimal places
    private const double ModelDb = 0.2;          // of the step of 6.02 dB, at 20 Hz

    private static string Takes => Path.Combine(TestFolder.Repository, "tests", "reference", "nearfield-takes");

    internal static readonly Lazy<Study> Analysed = new(() => Of(Takes, take => !take.SourceName.EndsWith('2')));

    internal static BoxResult Box => Analysed.Value.Box("box-1");

    [Fact]
    public void Cone_port_and_sum_are_drawn_as_they_are_with_tuning_and_limit_marked()
    {
        var figure = Figures.NearField(Box);
        var traces = Traces(figure);
        var (sum, strong) = (Box.Sum, Named(traces, "sum").First());
        Assert.Equal(["cone-1", "port-1, scaled", "sum", "tuning", "uncertainty", "upper limit"], traces.Select(trace => trace.GetProperty("name").GetString()!).Distinct().Order(StringComparer.Ordinal));
        Assert.Equal(TunedHz, X(Named(traces, "tuning").Single())[0], TuningHz);
        Assert.Equal(sum.Limit.FrequencyHz, X(Named(traces, "upper limit").Single())[0], 0.01);
        foreach (var (name, response) in new[] { ("cone-1", sum.Parts[0]), ("port-1, scaled", sum.Parts[1]), ("sum", sum.Response) })
        {
            var (x, y) = (X(Named(traces, name).First()), Y(Named(traces, name).First()));
            for (var n = 0; n < x.Length; n += 20)
                Assert.Equal(response.Points().MinBy(point => Math.Abs(point.FrequencyHz - x[n])).LevelDb, y[n], DrawnDb);
        }
        Assert.True(X(strong).Max() <= sum.Limit.FrequencyHz, "What lies above the limit is drawn faint.");
        Assert.True(X(Named(traces, "sum").Single(trace => trace.TryGetProperty("opacity", out _))).Max() > sum.Limit.FrequencyHz);
        Assert.Equal("nearfield.csv", figure.FromFile);
        Assert.Contains(FormattableString.Invariant($"tuned to {sum.TuningHz:0.0} Hz"), figure.TextAlternative, StringComparison.Ordinal);
        Assert.Contains("close up with omni", figure.Title, StringComparison.Ordinal);
    }

    [Fact]
    public void The_band_is_as_wide_as_the_uncertainty_and_grows_below_the_tuning()
    {
        var band = Named(Traces(Figures.NearField(Box)), "uncertainty").MaxBy(trace => X(trace).Length);
        var (x, y) = (X(band), Y(band));
        double WidthDb(double hertz)
        {
            var n = Enumerable.Range(0, x.Length / 2).MinBy(k => Math.Abs(x[k] - hertz));
            return y[n] - y[x.Length - 1 - n];
        }
        var k = Enumerable.Range(0, Box.Sum.Response.Count).MinBy(at => Math.Abs(Box.Sum.Response.Grid[at] - 70));
        Assert.Equal(2 * Box.Sum.UncertaintyDb[k], WidthDb(70), 2 * DrawnDb);
        Assert.True(WidthDb(TunedHz / 2) > 3 * WidthDb(2 * TunedHz), $"{WidthDb(TunedHz / 2):0.00}, {WidthDb(2 * TunedHz):0.00} dB");
    }

    [Fact]
    public void The_phase_goes_from_opposite_by_a_quarter_of_a_turn_at_the_tuning_to_in_step()
    {
        var figure = Figures.NearFieldPhase(Box);
        var line = Named(Traces(figure), "port over cone").First();
        double At(double hertz) => Y(line)[Enumerable.Range(0, X(line).Length).MinBy(n => Math.Abs(X(line)[n] - hertz))];
        Assert.Equal(180, At(TunedHz / 2), Degrees);
        Assert.Equal(90, At(TunedHz), Degrees);
        Assert.Equal(0, At(2 * TunedHz), Degrees);
        Assert.Contains(FormattableString.Invariant($"an octave below the tuning of {Box.Sum.TuningHz:0.0} Hz"), figure.TextAlternative, StringComparison.Ordinal);
        Assert.Equal("nearfield.csv", figure.FromFile);
    }

    [Fact]
    public void The_edges_cost_six_decibels_low_down_and_less_at_the_microphone()
    {
        var traces = Traces(Figures.Diffraction(Box));
        var (far, near) = (Named(traces, "far away").First(), Named(traces, "at 1 m").First());
        Assert.Equal(-6.02, Y(far)[0], ModelDb);
        Assert.True(Y(near)[0] > Y(far)[0]);
        Assert.Contains(traces, trace => trace.TryGetProperty("opacity", out var opacity) && opacity.GetDouble() < 0.5 && X(trace).Max() > 1000);   // above ka = 2
    }

    [Fact]
    public void The_joint_shows_both_and_the_overlap()
    {
        var figure = Assert.Single(Figures.Splices(Analysed.Value));
        var (traces, splice) = (Traces(figure), Box.Splices.Single().Splice);
        var edges = X(Named(traces, "overlap").Single());
        Assert.Equal(splice.OverlapFromHz, edges.Min(), 0.01);
        Assert.Equal(splice.OverlapToHz, edges.Max(), 0.01);
        var (joined, n) = (Named(traces, "joined").Single(), splice.Points.Count / 2);
        Assert.Equal(splice.Points[n].LevelDb, Y(joined)[Array.FindIndex(X(joined), x => Math.Abs(x / splice.Points[n].FrequencyHz - 1) < 1e-4)], DrawnDb);
        Assert.NotEmpty(Named(traces, "near field"));
        Assert.NotEmpty(Named(traces, "free field, gated"));
        Assert.Contains("octaves", figure.TextAlternative, StringComparison.Ordinal);
    }

    [Fact]
    public void A_free_field_that_does_not_fit_is_drawn_and_not_joined()
    {
        using var folder = new TestFolder();
        var figure = Assert.Single(Figures.Splices(Of(Copy(folder, "distance_mm = 1000.0", "distance_mm = 300.0"), take => !take.SourceName.EndsWith('2'))));
        Assert.Empty(Named(Traces(figure), "joined"));
        Assert.NotEmpty(Named(Traces(figure), "free field, gated"));
        Assert.Contains("Not joined: in the overlap", figure.TextAlternative, StringComparison.Ordinal);
        Assert.EndsWith("not joined", figure.Title, StringComparison.Ordinal);
    }

    [Fact]
    public void What_may_not_be_added_is_drawn_as_measured_with_the_reason()
    {
        var study = Of(Takes, take => take.SourceName == "cone-1");
        var figure = Assert.Single(Figures.NearField(study));
        Assert.Equal(["cone-1"], Traces(figure).Select(trace => trace.GetProperty("name").GetString()!).Distinct());
        Assert.Contains("port-1 is part of the box \"box-1\" but was not taken close up", figure.TextAlternative, StringComparison.Ordinal);
        Assert.Equal(study.Box("box-1").WhyNoSum, Assert.Throws<InvalidOperationException>(() => Figures.NearFieldPhase(study.Box("box-1"))).Message);
        Assert.Empty(Figures.Splices(study));
    }

    [Fact]
    public void Where_a_survey_states_no_size_there_are_no_edges_and_where_it_has_no_box_no_figure()
    {
        using var folder = new TestFolder();
        var study = Of(Copy(folder, "[[box]]\nid = \"box-1\"\nwidth_m = 0.36\nheight_m = 0.48\ndepth_m = 0.40\n", ""), take => take.SourceName is "cone-1" or "port-1");
        Assert.Contains("write width_m", Assert.Throws<InvalidOperationException>(() => Figures.Diffraction(study.Box("box-1"))).Message, StringComparison.Ordinal);
        var far = Of(Takes, take => take.SourceName == "whole-1");
        Assert.Empty(Figures.NearField(far));
        Assert.Empty(Figures.Splices(far));
        Assert.Single(Figures.Responses(far));
        Assert.Empty(Figures.Responses(Analysed.Value));   // the figures of the box show them
    }

    private static Study Of(string folder, Func<Take, bool> isWanted)
    {
        var survey = Survey.Read(folder);
        return Study.Of(survey, [.. survey.Takes.Where(isWanted)]);
    }

    private static string Copy(TestFolder folder, string from, string to)
    {
        foreach (var file in Directory.EnumerateFiles(Takes, "*", SearchOption.AllDirectories))
        {
            var target = folder.File(Path.GetRelativePath(Takes, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(file, target);
        }
        var text = File.ReadAllText(folder.File(Survey.FileName));
        Assert.Contains(from, text, StringComparison.Ordinal);
        File.WriteAllText(folder.File(Survey.FileName), text.Replace(from, to, StringComparison.Ordinal));
        return folder.Path;
    }

    private static JsonElement[] Traces(Figure figure) => [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];

    private static IEnumerable<JsonElement> Named(JsonElement[] traces, string name) => traces.Where(trace => trace.GetProperty("name").GetString() == name);

    private static double[] X(JsonElement trace) => [.. trace.GetProperty("x").EnumerateArray().Select(Number)];

    private static double[] Y(JsonElement trace) => [.. trace.GetProperty("y").EnumerateArray().Select(Number)];

    private static double Number(JsonElement value) => value.ValueKind == JsonValueKind.Number ? value.GetDouble() : double.NaN;
}
