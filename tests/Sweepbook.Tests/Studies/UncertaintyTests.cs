// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Tests.Files;
using Sweepbook.Trust;
using Xunit;
using static Sweepbook.Tests.Studies.PlainResponses;

namespace Sweepbook.Tests.Studies;

public sealed class UncertaintyTests(ITestOutputHelper output)
{
    private const double Sound = 343;
    private const double Exact = 1e-9;

    [Fact]
    public void A_flat_response_depends_neither_on_place_nor_on_temperature()
    {
        var flat = Of(_ => 1);
        Assert.All(UncertaintyOfPosition.StandardDb(In(SoundField.Room), flat, Sound), standard => Assert.Equal(0, standard, Exact));
        Assert.All(UncertaintyOfTemperature.StandardDb(SoundField.Room, flat.LevelsDb(), Grid, 20), standard => Assert.Equal(0, standard));
    }

    [Fact]
    public void A_slope_depends_on_temperature_by_a_sixth_of_a_percent_of_its_frequency_per_degree()
    {
        var slope = Of(frequencyHz => Math.Pow(frequencyHz, 2));   // 12.04 dB per octave
        // ½ / 293.15 of the frequency per degree, 40 dB per decade, limits of a degree over √3
        var expected = 40 * 0.5 / 293.15 / Math.Log(10) / Math.Sqrt(3);
        Assert.All(UncertaintyOfTemperature.StandardDb(SoundField.Room, slope.LevelsDb(), Grid, 20), standard => Assert.Equal(expected, standard, Exact));
        Assert.All(UncertaintyOfTemperature.StandardDb(SoundField.Near, slope.LevelsDb(), Grid, 20), standard => Assert.Equal(0, standard));
    }

    [Fact]
    public void The_parts_add_as_squares_and_the_whole_is_never_below_the_repeatability()
    {
        Assert.Equal(2 * Math.Sqrt(0.25 + 0.09 + 0.16 + 0.01), new LevelUncertainty(1, RepeatabilityBasis.Repeats, 0.3, 0.4, 0.1).ExpandedDb, Exact);
        Assert.Equal(2 * Math.Sqrt(0.25 + 0.09 + 0.16 + 0.01 + 0.04), (new LevelUncertainty(1, RepeatabilityBasis.Repeats, 0.3, 0.4, 0.1) with { LevelDb = 0.2 }).ExpandedDb, Exact);
        Assert.Equal(3, new LevelUncertainty(3, RepeatabilityBasis.Noise, 0, 0, 0).ExpandedDb, Exact);
        Assert.True(double.IsNaN(LevelUncertainty.Unknown.ExpandedDb));
        Assert.True(double.IsNaN(new LevelUncertainty(1, RepeatabilityBasis.Repeats, double.NaN, 0.4, 0.1).ExpandedDb));
    }

    [Fact]
    public void Most_intervals_of_real_takes_hold_the_truth()
    {
        using var folder = new SmallSurvey();
        foreach (var (seat, repeats) in new[] { ("sofa", 2), ("chair", 4) })
            foreach (var setting in Enumerable.Range(0, 2))
                for (var n = 0; n < repeats; n++)
                    folder.Add($"{seat}{setting}{n}.wav", [(480, 0.5)], noise: 0.001, keys: $"drive_db = {-setting}.0", seed: (ulong)(1000 * setting + 31 * n + repeats), seat: seat);
        var study = Study.Of(folder.Read());
        foreach (var group in study.Responses.GroupBy(result => result.Repeats))
        {
            // One reflection-free path of 0.5 over a loopback of 0.5: the truth is 0 dB.
            var points = group.SelectMany(result => result.Response.Points()).Where(point => point.FrequencyHz is > 20 and < 10_000 && point.TrustedLevel).ToList();
            var held = 100.0 * points.Count(point => Math.Abs(point.LevelDb) <= point.Uncertainty.RepeatabilityDb) / points.Count;
            output.WriteLine(FormattableString.Invariant($"n = {group.Key}: {held:0.0} % of {points.Count}, ±{points.Average(point => point.Uncertainty.RepeatabilityDb):0.000} dB"));
            Assert.All(points, point => Assert.Equal(RepeatabilityBasis.Repeats, point.Uncertainty.Basis));
            Assert.InRange(held, 88, 100);   // two surveys only: some 54 independent third octaves in the bass scatter by 3 %
        }
    }

    [Fact]
    public void A_single_take_says_noise_only_and_a_microphone_of_which_nothing_is_known_gives_no_expanded_uncertainty()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5)]);
        var point = Study.Of(folder.Read()).Responses[0].Response.Points().First(point => point.FrequencyHz > 1000);
        Assert.Equal(RepeatabilityBasis.Noise, point.Uncertainty.Basis);
        Assert.InRange(point.Uncertainty.RepeatabilityDb, 1e-6, 0.05);
        Assert.True(double.IsNaN(point.Uncertainty.ExpandedDb));
    }

    [Theory]
    [InlineData("", 0.5)]
    [InlineData("calibration_uncertainty_db = 0.4", 0.2)]
    public void The_microphone_is_known_by_its_calibration_and_beyond_it_by_its_data_sheet(string keys, double calibrated)
    {
        using var folder = new SmallSurvey("calibration = \"omni.txt\"\nlowest_hz = 25\nhighest_hz = 10000\ntolerance_db = 3\n" + keys);
        folder.WriteCalibration("40 0\n5000 0\n");
        folder.Add("a.wav", [(480, 0.5)]);
        var points = Study.Of(folder.Read()).Responses[0].Response.Points().Where(point => !point.IsCensored).ToList();
        Assert.All(points.Where(point => point.FrequencyHz is > 40 and < 5000), point => Assert.Equal(calibrated, point.Uncertainty.MicrophoneDb, Exact));
        Assert.All(points.Where(point => point.FrequencyHz is > 25 and < 40 or > 5000 and < 10_000), point => Assert.Equal(3 / Math.Sqrt(3), point.Uncertainty.MicrophoneDb, Exact));
        Assert.All(points.Where(point => point.FrequencyHz is < 25 or > 10_000), point => Assert.True(double.IsNaN(point.Uncertainty.MicrophoneDb)));
    }

    [Fact]
    public void A_censored_level_has_no_interval()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.25), (576, 0.2499)], noise: 0.003);   // dips at 250, 750, 1250 Hz … down to 1/2500
        var points = Study.Of(folder.Read()).Responses[0].Response.Points().Where(point => point.IsCensored && point.FrequencyHz is > 20 and < 10_000).ToList();
        Assert.NotEmpty(points);
        Assert.All(points, point => Assert.Equal(RepeatabilityBasis.None, point.Uncertainty.Basis));
    }

    [Fact]
    public void Repeats_whose_recorder_started_at_another_time_differ_no_more_than_those_that_did_not()
    {
        const double Half = 0.5;   // two draws of two repeats each differ in what they happen to show
        using var folder = new SmallSurvey();
        foreach (var (seat, late) in new[] { ("sofa", 0), ("chair", 4321) })
            for (var n = 0; n < 2; n++)
                folder.Add($"{seat}{n}.wav", Moved(n * late, (ulong)(n + 1)), keys: "time_zero = \"unknown\"", seat: seat);
        var responses = Study.Of(folder.Read()).Responses;
        var (still, moved) = (Typical(responses[0]), Typical(responses[1]));
        Assert.InRange(still, 1e-4, 0.05);
        Assert.InRange(moved / still, 1 - Half, 1 + Half);

        static double Typical(ResponseResult result) => result.Response.Points().Where(point => point.FrequencyHz is > 100 and < 10_000).Average(point => point.Uncertainty.RepeatabilityDb);
    }

    [Fact]
    public void The_table_gives_the_interval_its_basis_and_the_expanded_uncertainty_and_the_same_bytes_twice()
    {
        using var folder = new SmallSurvey("lowest_hz = 20\nhighest_hz = 20000\ntolerance_db = 2");
        for (var n = 0; n < 2; n++) folder.Add($"a{n}.wav", [(480, 0.5)], seed: (ulong)(n + 1));
        folder.Add("b.wav", [(600, 0.3)], seat: "chair");
        using var output = new TemporaryFolder();
        foreach (var name in new[] { "one", "two" }) Study.Of(folder.Read()).WriteTables(output[name]);
        Assert.Equal(File.ReadAllBytes(Path.Combine(output["one"], "responses.csv")), File.ReadAllBytes(Path.Combine(output["two"], "responses.csv")));
        var rows = File.ReadLines(Path.Combine(output["one"], "responses.csv")).Select(line => line.Split(',')).ToList();
        var first = Array.IndexOf(rows[0], "snr_db");
        Assert.Equal(["snr_db", "repeatability_db", "repeatability_basis", "expanded_db", "trusted_level"], rows[0][first..(first + 5)]);
        var inside = rows.Skip(1).Where(row => row[Array.IndexOf(rows[0], "trusted_level")] == "true").ToList();
        Assert.All(inside, row => Assert.Equal(row[2] == "sofa" ? "repeats" : "noise only", row[first + 2]));
        // The tolerance of ± 2 dB alone gives 2 · 2 / √3 = 2.309.
        Assert.All(inside, row => Assert.InRange(double.Parse(row[first + 3], System.Globalization.CultureInfo.InvariantCulture), 2.309, 3));
    }

    private static Recording Moved(int lateSamples, ulong seed)
    {
        var hiss = Signals.Noise(SmallSurvey.Design.Length + 10_000, seed);
        return new(SmallSurvey.Rate, [[.. hiss.Select((value, n) => 1e-3 * value + 0.25 * (n - lateSamples >= 0 && n - lateSamples < SmallSurvey.Design.Length ? SmallSurvey.Design[n - lateSamples] : 0))], new double[hiss.Length]]);
    }
}
