// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Transforms;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>A survey of marked takes by an independent script (tests/reference/marker-takes), analysed as a whole: clock errors, arrivals, phases.</summary>
public sealed class MarkerStudyTests
{
    private const double OverSpanSamples = 0.3;   // issue: clock error within 0.3 sample over the span of the markers
    private const double PhaseDegrees = 2;        // window and noise of a response judged at 96 points an octave; 0.2 sample of 48 kHz are 0.6° at 400 Hz

    private static string Folder => HouseRules.Repository.Path("tests", "reference", "marker-takes");

    private static readonly Lazy<Study> Marked = new(() => Study.Of(Survey.Read(Folder)));

    [Fact]
    public void Every_take_is_used_and_knows_its_recorders_clock()
    {
        foreach (var (row, take) in Rows("expected-takes.csv").Zip(Marked.Value.Takes))
        {
            Assert.True(take.IsUsed, take.WhyNot);
            Assert.Equal(row[0], take.Take.File);
            Assert.Equal(TimeZero.Marker, take.TimeZero);
            var span = Number(row[4]) - Number(row[3]);
            Assert.InRange((take.ClockPpm - Number(row[1])) * 1e-6 * span, -OverSpanSamples, OverSpanSamples);
            Assert.InRange(take.ClockUncertaintyPpm, 1e-5, 1);
            Assert.Contains($"clock corrected by {Number(row[1]).ToString("+0.0;−0.0;0.0", CultureInfo.InvariantCulture)} ppm", Method(take.Take.File) + (Number(row[1]) == 0 ? "clock corrected by 0.0 ppm" : ""));
        }
    }

    [Fact]
    public void A_loudspeakers_arrival_counts_from_the_markers_and_is_no_distance()
    {
        foreach (var (row, take) in Rows("expected-takes.csv").Zip(Marked.Value.Takes))
        {
            Assert.True(double.IsNaN(take.DistanceMetres));
            if (row[0].Contains("sub", StringComparison.Ordinal)) Assert.Null(take.Arrival);
            else Assert.Equal(Number(row[8]), take.Arrival!.Value.Seconds * 1000, 0.2 / 48);   // 0.2 sample
        }
    }

    [Fact]
    public void The_phase_from_the_markers_arrival_is_that_of_the_table()
    {
        var compared = 0;
        foreach (var row in Rows("expected-responses.csv"))
        {
            var result = Marked.Value.Responses.Single(response => response.Takes[0].File == row[0]);
            if (Number(row[1]) < result.PhaseBand.FromHz || Number(row[1]) > result.PhaseBand.ToHz) continue;
            var impulse = result.ImpulseResponse;
            var value = DiscreteTimeTransform.At(impulse.ToArray(), impulse.TimeZeroSamples, impulse.SampleRateHz, [Number(row[1])])[0];
            var error = Math.IEEERemainder(value.Phase * 180 / Math.PI - Number(row[4]), 360);
            Assert.True(Math.Abs(error) <= PhaseDegrees, $"{row[0]} {row[1]} Hz: {error:0.00}°");
            compared++;
        }
        Assert.True(compared >= 40, $"{compared} points");   // half of the table
    }

    [Fact]
    public void Takes_of_one_seat_share_their_zero_and_large_errors_are_told()
    {
        Assert.All(Marked.Value.Takes, take => Assert.Equal($"marker@{take.Take.Seat}", take.TimeGroup.Name));
        var finding = Assert.Single(Marked.Value.Findings, finding => finding.Id == "clock-error");
        Assert.Equal("The recorder's clock differed from the player's by −173.3 to +200.0 ppm in 5 takes; this was removed before the analysis (+ means that the recorder ran fast).", finding.Sentence);
        Assert.DoesNotContain(Marked.Value.Findings, finding => finding.Id == "clock-unknown");
    }

    [Fact]
    public void With_the_markers_distance_arrivals_are_distances()
    {
        const double Metres = 0.005;   // 0.2 sample are 1.4 mm; the rest is rounding of the file's temperature
        using var folder = Copy();
        var survey = Path.Combine(folder.Path, "survey.toml");
        File.WriteAllText(survey, File.ReadAllText(survey).Replace("seat = \"left\"", "seat = \"left\"\nmarker_distance_m = 2.444874", StringComparison.Ordinal)
            .Replace("seat = \"right\"", "seat = \"right\"\nmarker_distance_m = 3.093169", StringComparison.Ordinal));
        var study = Study.Of(Survey.Read(folder.Path));
        foreach (var (row, take) in Rows("expected-takes.csv").Zip(study.Takes).Where(pair => pair.First[0].Contains("main", StringComparison.Ordinal)))
        {
            Assert.Equal(Number(row[7]), take.Arrival!.Value.Seconds * 1000, 0.3 / 48);
            Assert.Equal(Number(row[7]) / 1000 * study.SpeedOfSoundMetresPerSecond, take.DistanceMetres, Metres);
        }
    }

    [Fact]
    public void Without_the_repeat_the_clock_is_not_known_and_the_cost_is_told()
    {
        using var folder = Copy();
        var path = Path.Combine(folder.Path, "takes", "main_left.wav");
        var samples = WavFile.Read(path, "main_left.wav").Channel(1);
        File.Delete(path);
        WavFile.Write(path, new Recording(32_000, [samples[..115_000]]), WavEncoding.Integer24);   // the repeat begins at 115 375
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [survey.Takes[4]]);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "clock-unknown");
        Assert.Matches("^takes/main_left.wav: the clock error is not known: the recording ends 0.[0-9] s before the marker's repeat does. An ordinary one of 50 ppm turns the phase by [0-9]+° at the top of the band; record with a marker before and after the sweep.$", finding.Sentence);
        Assert.True(double.IsNaN(study.Takes[0].ClockPpm));
        Assert.True(study.Takes[0].TimeZeroUncertaintySeconds > 5e-5);
    }

    [Fact]
    public void A_stated_clock_error_is_taken_out_of_a_take_without_markers()
    {
        using var folder = Copy();
        var file = Path.Combine(folder.Path, "survey.toml");
        File.WriteAllText(file, File.ReadAllText(file).Replace("file = \"takes/sub-a_left.wav\"", "file = \"takes/sub-a_left.wav\"\ntime_zero = \"unknown\"\nclock_ppm = -173.3", StringComparison.Ordinal));
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [survey.Takes[0]]);
        Assert.Equal((-173.3, TimeZero.Unknown), (study.Takes[0].ClockPpm, study.Takes[0].TimeZero));
        Assert.Contains("recorder clock corrected by −173.3 ppm", study.Responses[0].ImpulseResponse.Method);
        Assert.True(study.Responses[0].PhaseBand.IsEmpty);
    }

    private static SurveyFolder Copy()
    {
        var folder = new SurveyFolder();
        foreach (var file in Directory.EnumerateFiles(Folder, "*.*", SearchOption.AllDirectories).Where(file => !file.EndsWith(".csv", StringComparison.Ordinal)))
        {
            var path = Path.Combine(folder.Path, Path.GetRelativePath(Folder, file));
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            File.Copy(file, path, true);
        }
        return folder;
    }

    private static string Method(string file) => Marked.Value.Responses.Single(response => response.Takes[0].File == file).ImpulseResponse.Method;

    private static IEnumerable<string[]> Rows(string file) => File.ReadLines(Path.Combine(Folder, file)).Skip(1).Select(line => line.Split(','));

    private static double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
}
