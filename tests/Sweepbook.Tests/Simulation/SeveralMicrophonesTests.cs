// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class SeveralMicrophonesTests
{
    private const int Rate = 48_000;

    private const string Taking = """
        [substitution]
        placement_mm = 0.5
        reference_takes = 3
        [calibrator]
        level_db = 94.0
        length_s = 2.5
        [[microphone]]
        id = "best"
        note = "the one to trust"
        reference = true
        high_pass_hz = 3.0
        calibrated_from_hz = 12.0
        calibrated_to_hz = 20000.0
        calibrated_on = 2026-02-03
        calibration_uncertainty_db = 0.3
        max_spl_db = 130.0
        sensitivity_dbfs_at_94db = -30.0
        [[microphone]]
        id = "aged"
        high_pass_hz = 5.0
        rise_hz = 12000.0
        rise_db = 2.0
        calibrated_from_hz = 12.0
        calibrated_to_hz = 20000.0
        sensitivity_dbfs_at_94db = -33.5
        since = [ { kind = "high-shelf", at_hz = 8000.0, gain_db = 2.5, q = 0.8 }, { kind = "low-shelf", at_hz = 90.0, gain_db = -2.0, q = 0.8 } ]
        [[microphone]]
        id = "cheap"
        lowest_hz = 20.0
        highest_hz = 20000.0
        loopback = false
        self_dbfs = -86.0
        sensitivity_dbfs_at_94db = -27.0
        shape = [ { kind = "peak", at_hz = 6000.0, gain_db = 3.5, q = 1.0 } ]
        """;

    private static readonly string Text = Plans.Small
        .Replace(Between(Plans.Small, "[microphone]", "[interface]"), Taking + "\n", StringComparison.Ordinal)
        .Replace(Between(Plans.Small, "[[source]]\nid = \"sub\"", "[[seat]]\nid = \"near\""), "", StringComparison.Ordinal)
        .Replace(Plans.Small[Plans.Small.IndexOf("[[seat]]\nid = \"far\"", StringComparison.Ordinal)..], "[[seat]]\nid = \"close\"\nfield = \"near\"\nposition_m = [0.9, 1.03, 1.02]\n", StringComparison.Ordinal)
        .Replace("position_m = [2.2, 1.8, 1.1]", "position_m = [1.6, 1.3, 1.05]", StringComparison.Ordinal)
        .Replace("id = \"near\"", "id = \"stool\"", StringComparison.Ordinal)
        .Replace("room_dbfs = -66.0", "room_dbfs = -80.0", StringComparison.Ordinal)
        .Replace("sweep_s = 0.8", "sweep_s = 2.0", StringComparison.Ordinal).Replace("fade_in_s = 0.05", "fade_in_s = 0.1", StringComparison.Ordinal)
        .Replace("t60_s = 0.25", "t60_s = 0.12", StringComparison.Ordinal).Replace("t60_s = 0.2\n", "t60_s = 0.09\n", StringComparison.Ordinal);

    private static readonly Lazy<(SimulationPlan Plan, Survey Survey, Study Study, IDisposable Folder)> Made = new(() =>
    {
        var folder = new TemporaryFolder();
        var plan = Plans.Read(Text);
        Simulator.Write(plan, folder["made"]);
        var survey = Survey.Read(folder["made"]);
        return (plan, survey, Study.Of(survey), folder);
    });

    [Fact]
    public void The_reference_comes_first_last_and_between_and_the_others_once()
    {
        Assert.Equal(["main_stool_best", "main_stool_aged", "main_stool_best_2", "main_stool_cheap", "main_stool_best_3"], Made.Value.Plan.Survey.Takes.Take(5).Select(take => take.Name));
        Assert.Equal(10, Made.Value.Plan.TakeCount);
        Assert.Equal(["main_stool_best", "main_stool_aged", "main_stool_cheap", "main_stool_best_2"],
            Plans.Read(Text.Replace("reference_takes = 3", "reference_takes = 2", StringComparison.Ordinal)).Survey.Takes.Take(4).Select(take => take.Name));
    }

    [Fact]
    public void Its_survey_reads_back_as_planned()
    {
        var survey = Made.Value.Survey;
        Assert.Empty(survey.Notes);
        Assert.Equal(["best", "aged", "cheap"], survey.Microphones.Select(microphone => microphone.Id));
        Assert.True(survey.Microphone("best") is { IsReference: true, MaxSplDb: 130, CalibrationUncertaintyDb: 0.3, CalibratedOn: { Year: 2026 } });
        Assert.Empty(survey.Microphone("cheap").Calibrations);
        Assert.Equal(["stool"], survey.Seats.Select(seat => seat.Id));
        Assert.All(survey.Takes.Where(take => take.Field == SoundField.Near), take => Assert.Equal(421, take.DistanceMm));
        Assert.All(survey.Takes, take => Assert.Equal(take.Microphone == "cheap" ? TimeZero.Unknown : TimeZero.Loopback, take.TimeZero));
        Assert.All(survey.Takes, take => Assert.Equal(take.Microphone == "cheap" ? 1 : 2, WavFile.Read(take.Path).ChannelCount));
        Assert.Equal(3, survey.Calibrators.Count);
        Assert.Contains("\n# the one to trust\n", File.ReadAllText(Path.Combine(survey.Folder, "survey.toml")), StringComparison.Ordinal);
    }

    [Theory]   // the sensitivity that was planned, with what the microphone itself does at 1 kHz
    [InlineData("best", -30.0)]
    [InlineData("aged", -33.5)]
    [InlineData("cheap", -27.0)]
    public void The_calibrators_tone_gives_the_planned_sensitivity(string microphone, double plannedDbfs)
    {
        const double HumDb = 0.02;   // a line at −80 dBFS under a tone of −34 dBFS
        var (plan, survey) = (Made.Value.Plan.Survey, Made.Value.Survey);
        var own = Decibels.FromAmplitude(new SimulatedSystem(plan).ModelOf(plan.Microphones.Single(item => item.Id == microphone)).ResponseAt(1000).Magnitude);
        var samples = WavFile.Read(survey.Calibrators.Single(take => take.Microphone == microphone).Path).Channel(1);
        Assert.InRange(CalibratorReading.Of(samples, Rate, 94, 1000).SensitivityDbfs - plannedDbfs - own, -HumDb, HumDb);
    }

    [Theory]
    [InlineData("aged")]
    [InlineData("cheap")]
    public void The_comparison_finds_what_was_planted_at_both_places(string microphone)
    {
        const double PromisedDb = 0.3;   // inside the trusted band, set-ups and noise included
        var (plan, comparisons) = (Made.Value.Plan, Made.Value.Study.Microphone(microphone).Comparisons);
        Assert.Equal(2, comparisons.Count);
        var offsetDb = MeanDb(plan, microphone, 300, 3000);
        foreach (var comparison in comparisons)
        {
            var bands = comparison.Octaves.Concat(comparison.ThirdOctaves).Where(band => band.IsGiven && band.Band.UpperHz < 19_000).ToList();
            Assert.True(bands.Count > 28, $"{bands.Count} bands at {comparison.Place}");
            var worst = 0.0;
            foreach (var band in bands)
            {
                var planted = Decibels.FromPower(Steps(band.Band.LowerHz, band.Band.UpperHz).Average(hz => Decibels.ToPowerRatio(plan.MicrophoneDeviationDb(microphone, hz)))) - offsetDb;
                worst = Math.Max(worst, Math.Abs(band.DeviationDb - planted));
                Assert.True(Math.Abs(band.DeviationDb - planted) <= PromisedDb, $"{comparison.Place}, {band.Band.Label}: {band.DeviationDb:0.00} dB, planted {planted:0.00} dB");
            }
            TestContext.Current.TestOutputHelper?.WriteLine($"{microphone} at {comparison.Place}: {bands.Count} bands, worst error {worst:0.000} dB");
        }
    }

    [Fact]
    public void Set_ups_differ_by_more_than_noise_and_without_placement_they_do_not()
    {
        double Difference(string text)
        {
            var (first, second) = (Plans.Make(text, "main_close_best"), Plans.Make(text, "main_close_best_2"));
            var (sum, own) = (0.0, 0.0);
            for (var n = 40_000; n < 100_000; n++)
            {
                var difference = first.Microphone[n + first.LatencySamples] - second.Microphone[n + second.LatencySamples];
                (sum, own) = (sum + difference * difference, own + first.Microphone[n + first.LatencySamples] * first.Microphone[n + first.LatencySamples]);
            }
            return Decibels.FromPower(sum / own);
        }

        var (moved, kept) = (Difference(Text), Difference(Text.Replace("placement_mm = 0.5", "placement_mm = 0.0", StringComparison.Ordinal)));
        Assert.True(moved > kept + 6, $"{moved:0.0} dB set up again, {kept:0.0} dB left where it is");
    }

    [Fact]
    public void The_truth_of_a_microphone_is_what_its_file_does_not_say()
    {
        const double ErrorDb = 0.02;
        var plan = Made.Value.Plan;
        Assert.Equal(0, plan.MicrophoneDeviationDb("best", 5000), 12);
        Assert.InRange(plan.MicrophoneDeviationDb("aged", 20_000) - 2.5, -0.1, 0.1);
        Assert.InRange(plan.MicrophoneDeviationDb("aged", 90) + 1, -ErrorDb, ErrorDb);      // a shelf has half its gain at its corner
        Assert.InRange(plan.MicrophoneDeviationDb("cheap", 6_000) - 3.5, -ErrorDb, ErrorDb);
        Assert.Contains("no microphone \"none\"; it has best, aged, cheap.", Assert.Throws<ArgumentException>(() => plan.MicrophoneDeviationDb("none", 100)).Message);
        Assert.Contains("(0, 24000) Hz", Assert.Throws<ArgumentOutOfRangeException>(() => plan.MicrophoneDeviationDb("aged", 24_000)).Message);
        Assert.Contains("no box \"box-1\"; it has none.", Assert.Throws<ArgumentException>(() => plan.BoxResponseAt("box-1", 100)).Message);
    }

    [Theory]
    [InlineData("id = \"aged\"", "id = \"best\"", "the microphone \"best\" is given twice", "id of its own")]
    [InlineData("id = \"aged\"", "id = \"aged\"\nreference = true", "two microphones are the reference", "Keep one")]
    [InlineData("reference = true\n", "", "no microphone is the reference", "reference = true")]
    [InlineData("sensitivity_dbfs_at_94db = -33.5", "", "has no `sensitivity_dbfs_at_94db`", "reading at 94 dB")]
    [InlineData("kind = \"low-shelf\"", "kind = \"low-shelv\"", "`kind`", "low-shelf")]
    [InlineData("at_hz = 6000.0, ", "", "has no `at_hz`", "a frequency in hertz")]
    [InlineData("q = 1.0 }", "q = 1.0, w = 2 }", "no key `w`", "q")]
    [InlineData("lowest_hz = 20.0", "calibrated_on = 2020-01-01", "belongs to a calibration file", "calibrated_from_hz")]
    [InlineData("note = \"the one to trust\"", "note = \"\"", "`note` is not one line", "1 to 200")]
    [InlineData("reference_takes = 3", "reference_takes = 0", "reference_takes", "")]
    [InlineData("field = \"near\"", "field = \"nearby\"", "`field`", "near")]
    [InlineData("field = \"near\"", "field = \"near\"\nweight = 0.5", "is no seat", "Take `weight` out")]
    [InlineData("[[seat]]\nid = \"close\"", "[[repeat]]\nsource = \"main\"\nseat = \"stool\"\ntakes = 2\n[[seat]]\nid = \"close\"", "repeat by `reference_takes`", "[substitution]")]
    public void A_fault_of_several_microphones_names_what_to_do(string from, string to, string problem, string remedy)
    {
        Assert.Contains(from, Text, StringComparison.Ordinal);
        var fault = Assert.Throws<DataFault>(() => Plans.Read(Text.Replace(from, to, StringComparison.Ordinal)));
        Assert.Contains(problem, fault.Message, StringComparison.Ordinal);
        Assert.Contains(remedy, fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[substitution]\nplacement_mm = 1.0\n", "cannot take turns")]
    [InlineData("[calibrator]\nlevel_db = 94.0\n", "needs a sensitivity")]
    public void One_microphone_takes_no_turns(string table, string problem) =>
        Assert.Contains(problem, Assert.Throws<DataFault>(() => Plans.Read(Plans.Small.Replace("[microphone]", table + "[microphone]", StringComparison.Ordinal))).Message, StringComparison.Ordinal);

    private static double MeanDb(SimulationPlan plan, string microphone, double fromHz, double toHz) => Steps(fromHz, toHz).Average(hz => plan.MicrophoneDeviationDb(microphone, hz));

    private static IEnumerable<double> Steps(double fromHz, double toHz) => Enumerable.Range(0, 100).Select(k => fromHz * Math.Pow(toHz / fromHz, (k + 0.5) / 100));

    private static string Between(string text, string first, string next)
    {
        var from = text.IndexOf(first, StringComparison.Ordinal);
        return text[from..text.IndexOf(next, from, StringComparison.Ordinal)];
    }
}
