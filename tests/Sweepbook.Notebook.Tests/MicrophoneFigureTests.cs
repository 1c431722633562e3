// SPDX-License-Identifier: MIT
using System.Text.Json;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class MicrophoneFigureTests
{
    private const double Drawn = 0.006;   // figures keep two decimals of a level

    internal static readonly Lazy<Study> Loft = new(() =>
    {
        var survey = Survey.Read(Path.Combine(TestFolder.Repository, "data-demo", "harbour-loft")).Wanting("40:16000");
        return Study.Of(survey, [.. survey.Takes.Where(take => take.Seat == "stool" && take.Microphone is "reference" or "pocket")]);
    });

    private static readonly Lazy<Study> Orchard = new(() =>
    {
        var survey = Survey.Read(Path.Combine(TestFolder.Repository, "data-demo", "orchard-row"));
        return Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName == "sub-front").Take(1)]);
    });

    [Theory]
    [InlineData(Doubt.Microphone, "it reads 2.4 dB more than reference in the third octave at 5 kHz", "reads 2.4 dB more")]
    [InlineData(Doubt.Microphone, "its data sheet ends at 10 Hz", "data sheet")]
    [InlineData(Doubt.Microphone, "its calibration leaves ± 2.1 dB open", "calibration")]
    [InlineData(Doubt.Microphone, "it has neither a calibration nor a data sheet", "nothing known")]
    [InlineData(Doubt.Excitation, "the sweep starts at 10 Hz", "sweep")]
    [InlineData(Doubt.Repeats, "the comparison with reference leaves ± 2.5 dB open", "comparison")]
    [InlineData(Doubt.Repeats, "readings are repeatable to ± 1.2 dB only", "repeatability")]
    public void The_end_of_a_bar_says_in_a_few_words_what_ends_it(Doubt doubt, string sentence, string words) => Assert.Equal(words, RangeChart.Short(new(doubt, sentence)));

    [Fact]
    public void A_bar_runs_over_its_band_and_a_microphone_without_one_says_why_and_the_wanted_range_lies_behind()
    {
        var figure = RangeChart.Draw([Row("one", 12, 9_000, new(20, 200, true, true, "Yes.")), Row("two", double.NaN, double.NaN, new(20, 200, false, true, "No."))], 1.5);
        var traces = Traces(figure);
        var bar = traces.Single(trace => trace.TryGetProperty("orientation", out _));
        Assert.Equal((12, 8_988), (bar.GetProperty("base")[0].GetDouble(), bar.GetProperty("x")[0].GetDouble()));
        var wanted = Assert.Single(FigureTests.JsonOf(figure).GetProperty("layout").GetProperty("shapes").EnumerateArray());
        Assert.Equal(("below", 20, 200), (wanted.GetProperty("layer").GetString(), wanted.GetProperty("x0").GetDouble(), wanted.GetProperty("x1").GetDouble()));
        Assert.Contains(traces, trace => trace.TryGetProperty("text", out var text) && text[0].GetString()!.Contains("nowhere: data sheet", StringComparison.Ordinal));
        Assert.Equal(["one: yes", "two: no"], FigureTests.JsonOf(figure).GetProperty("layout").GetProperty("yaxis").GetProperty("ticktext").EnumerateArray().Select(text => text.GetString()));
        Assert.Equal("Where each microphone can be believed within ± 1.5 dB, a bar for each. one: 12 Hz to 9 kHz; two: nowhere. Wanted: 20 Hz to 200 Hz. one: yes; two: no.", figure.TextAlternative.Replace("12 to", "12 Hz to", StringComparison.Ordinal).Replace("20 to", "20 Hz to", StringComparison.Ordinal));
        Assert.Contains("Grey, between dashed lines", figure.Note, StringComparison.Ordinal);
        Assert.DoesNotContain("Grey", RangeChart.Draw([Row("one", 12, 9_000, null)], 2).Note, StringComparison.Ordinal);
    }

    [Fact]
    public void Deviations_beyond_what_moving_explains_are_filled_and_those_within_are_open()
    {
        var figure = DeviationChart.Draw("a against b", "b", "monitor at stool", [Deviating("a", 0)], isNoiseOnly: false);
        var traces = Traces(figure);
        var line = traces.Single(trace => trace.GetProperty("name").GetString() == "a");
        Assert.Equal(["diamond-open", "diamond", "diamond-open", "diamond"], line.GetProperty("marker").GetProperty("symbol").EnumerateArray().Select(symbol => symbol.GetString()));
        Assert.Equal([0.1, -1.6, 0.05], line.GetProperty("y").EnumerateArray().Take(3).Select(y => y.GetDouble()));
        var explained = traces.Single(trace => trace.GetProperty("name").GetString() == "explained by setting up again");
        Assert.Equal((0.2, -0.2), (explained.GetProperty("y")[0].GetDouble(), explained.GetProperty("y").EnumerateArray().Last().GetDouble()));
        Assert.Equal(3, traces.Count(trace => trace.GetProperty("name").GetString() == "named octave"));
        Assert.Equal("a against b, third octaves, monitor at stool. a: +0.1 dB in the 31.5 Hz octave, −1.6 dB in the 8 kHz octave, +2.5 dB in the 16 kHz octave; farthest off in the third octave of 16 kHz, +2.5 dB; 2 of 4 third octaves are more than setting up again explains.", figure.TextAlternative);
        Assert.Contains("Filled marks lie beyond", figure.Note, StringComparison.Ordinal);
        Assert.Equal("Deviation from b (dB)", FigureTests.JsonOf(figure).GetProperty("layout").GetProperty("yaxis").GetProperty("title").GetProperty("text").GetString());
    }

    [Fact]
    public void Several_microphones_differ_in_mark_line_and_colour()
    {
        var traces = Traces(DeviationChart.Draw("Against b", "b", "", [Deviating("a", 1), Deviating("c", 2)], isNoiseOnly: false)).Where(trace => trace.GetProperty("name").GetString() is "a" or "c").ToArray();
        foreach (var what in new Func<JsonElement, string?>[] { trace => trace.GetProperty("marker").GetProperty("symbol")[1].GetString(), trace => trace.GetProperty("line").GetProperty("dash").GetString(), trace => trace.GetProperty("line").GetProperty("color").GetString() })
            Assert.NotEqual(what(traces[0]), what(traces[1]));
    }

    [Fact]
    public void A_reference_that_was_read_once_and_a_comparison_without_numbers_say_so()
    {
        Assert.Contains("nobody knows what moving a microphone does", DeviationChart.Draw("a against b", "b", "", [Deviating("a", 0)], isNoiseOnly: true).Note, StringComparison.Ordinal);
        var nothing = new BandDeviation(FrequencyBand.ThirdOctaveAt(1000), double.NaN, double.NaN, false, "no band");
        var figure = DeviationChart.Draw("a against b", "b", "", [new("a", "#000000", 0, [nothing], nothing, [])], isNoiseOnly: false);
        Assert.EndsWith("a: nothing can be told.", figure.TextAlternative, StringComparison.Ordinal);
        Assert.Contains(Traces(figure), trace => trace.TryGetProperty("text", out var text) && text[0].GetString()!.Contains("no third octave can be told", StringComparison.Ordinal));
    }

    [Fact]
    public void The_figures_of_a_study_are_those_of_its_results()
    {
        SkipWithoutDemo();
        var pocket = Loft.Value.Microphone("pocket");
        var (ranges, deviations) = (Figures.MicrophoneRanges(Loft.Value), Assert.Single(Figures.MicrophoneDeviations(Loft.Value)));
        Assert.Contains($"pocket: {pocket.Range.Band.Words}", ranges.TextAlternative, StringComparison.Ordinal);
        Assert.Contains("reference: yes; pocket: no.", ranges.TextAlternative, StringComparison.Ordinal);
        Assert.Contains("within ± 1 dB", Figures.MicrophoneRanges(Loft.Value, 1).Title, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => Figures.MicrophoneRanges(Loft.Value, 0));
        var comparison = pocket.ComparedWith("reference");
        foreach (var figure in new[] { deviations, Figures.MicrophoneDeviations(comparison) })
            Assert.Equal(comparison.ThirdOctaves.First(band => band.IsGiven).DeviationDb,
                Traces(figure).Single(trace => trace.GetProperty("name").GetString() == "pocket").GetProperty("y").EnumerateArray().First(y => y.ValueKind == JsonValueKind.Number).GetDouble(), 0.001);
        Assert.Equal("microphones.csv", deviations.FromFile);
    }

    [Fact]
    public void Curves_are_matched_and_noise_is_in_sound_pressure_levels()
    {
        SkipWithoutDemo();
        var study = Loft.Value;
        var comparison = study.Microphone("pocket").ComparedWith("reference");
        var curves = Assert.Single(Figures.MicrophoneCurves(study));
        Assert.Equal("monitor at stool: 2 microphones", curves.Title);
        var response = study.Responses.Single(result => result.Microphone == "pocket").Response;
        var line = Traces(curves).First(trace => trace.GetProperty("name").GetString() == "pocket");
        var at = Enumerable.Range(0, response.Count).First(k => Math.Abs(response.Grid[k] / line.GetProperty("x")[0].GetDouble() - 1) < 1e-5);
        Assert.Equal(response.SmoothedLevelsDb(12)[at] - comparison.OffsetDb, line.GetProperty("y")[0].GetDouble(), Drawn);
        var noise = Assert.Single(Figures.MicrophoneNoise(study));
        Assert.Contains("dB re 20", FigureTests.JsonOf(noise).GetProperty("layout").GetProperty("yaxis").GetProperty("title").GetProperty("text").GetString(), StringComparison.Ordinal);
        Assert.Equal(study.Microphone("pocket").Level.NoiseBands[0].LevelDb, Traces(noise).Single(trace => trace.GetProperty("name").GetString() == "pocket").GetProperty("y")[0].GetDouble(), Drawn);
        Assert.Contains(FormattableString.Invariant($"pocket {study.Microphone("pocket").Level.EquivalentNoiseDba:0.0} dB(A)"), noise.TextAlternative, StringComparison.Ordinal);
    }

    [Fact]
    public void The_table_begins_with_the_microphone_that_serves_and_holds_what_is_known()
    {
        SkipWithoutDemo();
        var table = Tables.Microphones(Loft.Value);
        Assert.Equal(["reference", "pocket"], table.GetColumn<string>("microphone").Values);
        Assert.Equal(["yes", "no"], table.GetColumn<string>("serves").Values);
        Assert.Equal(Loft.Value.Microphone("pocket").ComparedWith("reference").TopOctaves[1].DeviationDb, table.GetColumn<double>("top octave (dB)")[1], 0.051);
        Assert.Equal(Loft.Value.Microphone("pocket").Headroom.HeadroomDb, table.GetColumn<double>("headroom (dB)")[1], 0.051);
        Assert.Equal(["microphone-range"], Loft.Value.MicrophoneFindings.Where(finding => finding.Subject == "reference").Select(finding => finding.Id));
        Assert.Contains(Loft.Value.MicrophoneFindings, finding => finding is { Id: "microphone-compared", Subject: "pocket" });
    }

    [Fact]
    public void One_microphone_has_a_range_and_nothing_to_compare_and_no_microphone_a_sentence()
    {
        Assert.Contains("a bar for each.", Figures.MicrophoneRanges(Orchard.Value).TextAlternative, StringComparison.Ordinal);
        Assert.Empty(Figures.MicrophoneDeviations(Orchard.Value));
        Assert.Empty(Figures.MicrophoneCurves(Orchard.Value));
        Assert.Equal(Orchard.Value.Microphones.Any(microphone => microphone.Level.IsKnown), Figures.MicrophoneNoise(Orchard.Value).Count > 0);
        Assert.Equal(1, Tables.Microphones(Orchard.Value).RowCount);
        Assert.Equal(["microphone", "from (Hz)", "to (Hz)"], Tables.Microphones(Orchard.Value).ColumnKeys);   // no sensitivity, no reference, nothing wanted
        Assert.Equal("There is no bar: no microphone of the survey took anything that can be used.", Figures.MicrophoneRanges(Study.Of(Orchard.Value.Survey, [])).TextAlternative);
    }

    [Fact]
    public void What_tells_about_the_room_is_shown_once_and_as_the_reference_heard_it()
    {
        SkipWithoutDemo();
        Assert.Equal(["reference", "pocket"], Loft.Value.Responses.Select(result => result.Microphone));
        Assert.Equal("reference", Assert.Single(Loft.Value.ResponsesOfOneMicrophone).Microphone);
        Assert.StartsWith("Level of monitor over frequency at 1 seat;", Assert.Single(Figures.Responses(Loft.Value)).TextAlternative, StringComparison.Ordinal);
        Assert.InRange(Figures.Waterfalls(Loft.Value).Count, 0, 1);
        Assert.InRange(Figures.Distortion(Loft.Value).Count, 0, 1);
        Assert.InRange(Loft.Value.RoomFindings.Count(finding => finding.Id == "slow-peak"), 0, 1);
        Assert.Equal(Orchard.Value.Responses, Orchard.Value.ResponsesOfOneMicrophone);
    }

    private static RangeRow Row(string name, double fromHz, double toHz, RangeVerdict? wanted) =>
        new(name, Palette.Colour(0), new(fromHz, toHz, new(Doubt.Microphone, "its data sheet ends at 12 Hz"), new(Doubt.UpperEnd, "the sweep ends at 10 kHz")), $"{name} can be believed.", wanted);

    private static DeviationRow Deviating(string name, int place)
    {
        BandDeviation At(double hz, double db, bool isSignificant, bool isOctave = false) =>
            new(isOctave ? FrequencyBand.Octaves(hz, hz)[0] : FrequencyBand.ThirdOctaveAt(hz), db, 0.2, isSignificant, "");
        return new(name, Palette.Colour(place), place, [At(31.5, 0.1, false), At(8000, -1.6, true), At(10_000, 0.05, false), At(16_000, 2.5, true)], At(31.5, 0.1, false, true), [At(8000, -1.6, true, true), At(16_000, 2.5, true, true)]);
    }

    private static void SkipWithoutDemo() => Assert.SkipUnless(File.Exists(Path.Combine(TestFolder.Repository, "data-demo", "harbour-loft", "takes", "monitor_stool_pocket.wav")), "The recordings of the demo survey are not there.");

    private static JsonElement[] Traces(Figure figure) => [.. FigureTests.JsonOf(figure).GetProperty("data").EnumerateArray()];
}
