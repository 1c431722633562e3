// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Tests.Microphones;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>A survey with and without a sensitivity: the level becomes that of the sound, and nothing that is relative moves.</summary>
public sealed class SoundLevelTests
{
    private const string Gain = "input_gain_db = 24.0";
    private const double RippleDb = 0.05;   // of the division at the ends of a sweep of three seconds

    /// <summary>
    /// The stimulus plays a sine of −6 dBFS at each frequency; the path 0.1 makes −26 dBFS of it in the file. The calibrator of 94 dB reads −30 dBFS: 98 dB. With the loopback the response is
    /// 0.1 / 0.5, and its level −12 dBFS: the same.
    /// </summary>
    [Theory]
    [InlineData("")]
    [InlineData("time_zero = \"unknown\"")]
    public void A_response_is_the_level_of_the_sound_that_the_sweep_made(string keys)
    {
        using var folder = Calibrated(-30);
        folder.Add("a.wav", [(480, 0.1)], keys: $"{Gain}\n{keys}");
        var study = Study.Of(folder.Read());
        var response = Assert.Single(study.Responses).Response;
        Assert.Equal(LevelReference.SoundPressure, response.Reference);
        Assert.Equal("re 20 µPa", response.LevelReference);
        foreach (var hz in new[] { 40.0, 1000, 8000 }) Assert.Equal(98, LevelAt(response, hz), RippleDb);
        Assert.Equal("omni", response.Microphone);
        var level = study.Microphone("omni").Level;
        Assert.Equal(-30, level.SensitivityDbfs, 1e-3);
        Assert.Equal("takes/cal.wav", level.Origin);
        Assert.Contains(study.Findings, finding => finding.Id == "sensitivity" && finding.Sentence.StartsWith("omni reads -30.00 dBFS at 94 dB at an input gain of 24 dB (takes/cal.wav, ", StringComparison.Ordinal));
    }

    /// <summary>The calibrator was heard by the microphone as it is: a file that says +2 dB at 1 kHz and 0 at 100 Hz makes 100 Hz 2 dB louder than it reads, not 1 kHz quieter.</summary>
    [Fact]
    public void The_calibrations_value_at_the_calibrators_frequency_belongs_to_the_sensitivity()
    {
        using var folder = Calibrated(-30, "calibration = \"omni.txt\"");
        folder.WriteCalibration("20 0\n100 0\n1000 2\n20000 2\n");
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        var response = Assert.Single(Study.Of(folder.Read()).Responses).Response;
        Assert.Equal(98, LevelAt(response, 1000), RippleDb);
        Assert.Equal(100, LevelAt(response, 100), RippleDb);
    }

    /// <summary>One survey twice: every table but levels and their reference is the same, value by value; levels differ by one constant.</summary>
    [Fact]
    public void What_is_relative_does_not_change()
    {
        Study[] studies = [.. new[] { true, false }.Select(isCalibrated =>
        {
            using var folder = isCalibrated ? Calibrated(-30) : new SmallSurvey();
            folder.Add("a.wav", [(480, 0.1), (700, 0.04)], keys: Gain);
            folder.Add("a2.wav", [(480, 0.1), (700, 0.04)], keys: Gain, seed: 5);
            folder.Add("b.wav", [(600, 0.08), (1300, 0.05)], keys: Gain, seat: "chair", seed: 2, loopback: 0.45);
            folder.Add("c.wav", [(500, 0.07), (900, -0.03)], keys: Gain, source: "sub", seed: 3);
            return Study.Of(folder.Read());
        })];
        var (with, without) = (studies[0], studies[1]);
        const double RoundingDb = 1e-9;
        var constantDb = LevelAt(with.Responses[0].Response, 1000) - LevelAt(without.Responses[0].Response, 1000);
        Assert.Equal(-6 - 6.0206 + 124, constantDb, RippleDb);   // −6 dBFS through the loopback's half; full scale is 124 dB
        foreach (var (one, other) in with.Responses.Zip(without.Responses))
        {
            foreach (var (mine, theirs) in one.Response.Points().Zip(other.Response.Points()))
            {
                Assert.Equal(theirs.LevelDb + constantDb, mine.LevelDb, RoundingDb);
                Assert.Equal(0, (mine.Value / theirs.Value - Decibels.ToAmplitudeRatio(constantDb)).Magnitude, 1e-6);
                Assert.Equal((theirs.IsCensored, theirs.LevelReason, theirs.PhaseReason), (mine.IsCensored, mine.LevelReason, mine.PhaseReason));
                Assert.Equal(theirs.SnrDb, mine.SnrDb, RoundingDb);
                Assert.Equal(theirs.Uncertainty.RepeatabilityDb, mine.Uncertainty.RepeatabilityDb, RoundingDb);
                Assert.Equal(0, theirs.Uncertainty.LevelDb);
                if (mine.Uncertainty.Basis != RepeatabilityBasis.None) Assert.Equal(0.75 / Math.Sqrt(3), mine.Uncertainty.LevelDb, RoundingDb);   // a calibrator of class 2
            }
            Assert.Equal(other.Response.GroupDelaysSeconds(), one.Response.GroupDelaysSeconds(), (a, b) => Math.Abs(a - b) < 1e-12 || (double.IsNaN(a) && double.IsNaN(b)));
            Assert.Equal(other.Windowed(20, 100).Response.LevelsDb(), one.Windowed(20, 100).Response.LevelsDb(), (a, b) => Math.Abs(a + constantDb - b) < RoundingDb || double.IsNaN(a));
            Assert.Equal(other.Through(WindowLengths.Periods(10)).LevelsDb(), one.Through(WindowLengths.Periods(10)).LevelsDb(), (a, b) => Math.Abs(a + constantDb - b) < RoundingDb || double.IsNaN(a));
            Assert.Equal(other.SlowPeaks.Count, one.SlowPeaks.Count);
        }
        Assert.Equal(without.SeatsOf("main").SpreadDb(), with.SeatsOf("main").SpreadDb(), (a, b) => Math.Abs(a - b) < RoundingDb || (double.IsNaN(a) && double.IsNaN(b)));
        var (sum, plain) = (with.Response("main", "sofa").Response.Plus(with.Response("sub", "sofa").Response), without.Response("main", "sofa").Response.Plus(without.Response("sub", "sofa").Response));
        Assert.Equal(LevelAt(plain, 300) + constantDb, LevelAt(sum, 300), RoundingDb);
        Assert.Equal(without.RelativeDelays.Select(delay => delay.Delay), with.RelativeDelays.Select(delay => delay.Delay));
        using var results = new Spared();
        foreach (var name in new[] { "decay.csv", "distortion.csv", "slow-peaks.csv", "trusted-bands.csv" }) Assert.Equal(results.Table(without, "plain", name), results.Table(with, "calibrated", name));
    }

    [Fact]
    public void At_another_gain_levels_stay_relative_and_both_sentences_say_so()
    {
        using var folder = Calibrated(-30);
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        folder.Add("b.wav", [(480, 0.1)], keys: "input_gain_db = 30.0", seat: "chair");
        var study = Study.Of(folder.Read());
        Assert.Equal([LevelReference.SoundPressure, LevelReference.Loopback], study.Responses.Select(result => result.Response.Reference));
        Assert.Empty(study.SeatResults());
        const string WhyNot = "The sensitivity of omni is known at an input gain of 24 dB, not at an input gain of 30 dB: it holds for one input gain only. Record the calibrator at this gain too, or correct input_gain_db.";
        Assert.Equal(WhyNot, study.Microphone("omni").Levels[1].WhyNot);
        Assert.Equal($"{WhyNot} Levels of those takes stay relative.", Assert.Single(study.Findings, finding => finding.Id == "sensitivity-gain").Sentence);
        var refusal = Assert.Throws<ArgumentException>(() => study.Responses[0].Response.Plus(study.Responses[1].Response));
        Assert.Contains("The levels are re 20 µPa and relative to the loopback", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sensitivity_at_a_gain_that_no_take_has_promises_no_levels()
    {
        using var folder = Calibrated(-30);
        folder.Add("a.wav", [(480, 0.1)], keys: "input_gain_db = 30.0");
        var sentence = Assert.Single(Study.Of(folder.Read()).Findings, finding => finding.Id == "sensitivity").Sentence;
        Assert.Contains("but no take that could be used was made so", sentence, StringComparison.Ordinal);
        Assert.DoesNotContain("its levels are in dB", sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void Two_recordings_of_a_calibrator_count_alike_and_are_asked_about_where_they_differ()
    {
        using var folder = new SmallSurvey("", string.Concat(new[] { "one", "two" }.Select(name => $"[[calibrator]]\nfile = \"takes/{name}.wav\"\nlevel_db = 94.0\n{Gain}\n")));
        foreach (var (name, dbfs) in new[] { ("one", -30.0), ("two", -30.6) })
            WavFile.Write(Path.Combine(folder.Folder, "takes", $"{name}.wav"), new(SmallSurvey.Rate, [CalibratorReadingTests.Tone(1000, 4, Decibels.ToAmplitudeRatio(dbfs))]), WavEncoding.Integer24);
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        var study = Study.Of(folder.Read());
        Assert.Equal(-30.3, study.Microphone("omni").Level.SensitivityDbfs, 1e-3);
        Assert.Equal(0.6, Assert.Single(study.Findings, finding => finding.Id == "calibrator-spread").Value, 1e-3);
    }

    [Fact]
    public void A_calibrator_take_that_holds_music_gives_no_sensitivity_and_says_why()
    {
        using var folder = Calibrated(-30, tone: CalibratorReadingTests.Spoilt("music"));
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        var study = Study.Of(folder.Read());
        Assert.Equal(LevelReference.Loopback, Assert.Single(study.Responses).Response.Reference);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "calibrator");
        Assert.Equal(Severity.Fault, finding.Severity);
        Assert.StartsWith("takes/cal.wav: holds no calibrator's tone", finding.Sentence, StringComparison.Ordinal);
        var level = study.Microphone("omni").Level;
        Assert.False(level.IsKnown);
        Assert.Contains("takes/cal.wav could not be used", level.WhyNot, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_any_sensitivity_the_reason_says_what_to_record()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.1)]);
        var study = Study.Of(folder.Read());
        Assert.Contains("record a calibrator at the gain of the takes", study.Microphone("omni").Level.WhyNot, StringComparison.Ordinal);
        Assert.DoesNotContain(study.Findings, finding => finding.Id.StartsWith("sensitivity", StringComparison.Ordinal));
    }

    [Fact]
    public void A_stated_sensitivity_that_the_calibrator_contradicts_is_found_and_the_calibrator_believed()
    {
        using var folder = Calibrated(-30, "sensitivity_dbfs_at_94db = -33\ninput_gain_db = 24");
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        var study = Study.Of(folder.Read());
        Assert.Equal(98, LevelAt(Assert.Single(study.Responses).Response, 1000), RippleDb);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "sensitivity-differs");
        Assert.Equal(3, finding.Value, 1e-3);
        Assert.Contains("The calibrator says -30.0 dBFS at 94 dB for omni at an input gain of 24 dB, survey.toml says -33.0", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_stated_sensitivity_serves_without_a_calibrator()
    {
        using var folder = new SmallSurvey("sensitivity_dbfs_at_94db = -33\ninput_gain_db = 24");
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        var study = Study.Of(folder.Read());
        Assert.Equal(101, LevelAt(Assert.Single(study.Responses).Response, 1000), RippleDb);
        const double Rounding = 1e-12;
        Assert.Equal(1 / Math.Sqrt(3), study.Responses[0].Response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 1000)).Uncertainty.LevelDb, Rounding);   // ± 1 dB as limits
        Assert.Equal("survey.toml", study.Microphone("omni").Level.Origin);
    }

    [Fact]
    public void A_take_played_louder_than_the_others_is_named()
    {
        using var folder = Calibrated(-30);
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);
        folder.Add("b.wav", [(480, 0.1)], keys: Gain, seat: "chair", seed: 2);
        folder.Add("c.wav", [(480, 0.1)], keys: Gain, source: "sub", seed: 3, loopback: 0.25);
        var finding = Assert.Single(Study.Of(folder.Read()).Findings, finding => finding.Id == "played-level");
        Assert.Equal("takes/c.wav", finding.Subject);
        Assert.Equal(-6.02, finding.Value, RippleDb);
    }

    /// <summary>Hiss of 1e-4 of full scale root mean square is 3 dB more re a sine: −77.0 dBFS; at a sensitivity of −30 dBFS 47.0 dB over 24 kHz. A-weighted, 2.4 dB less, as Σ A² over the band says.</summary>
    [Fact]
    public void The_noise_of_the_chain_is_that_of_the_silence_before_the_sweep()
    {
        using var folder = Calibrated(-30, "noise_dba = 20.0\nmax_spl_db = 130.0\ncalibration = \"omni.txt\"");
        folder.WriteCalibration("20 2\n20000 2\n");   // the same at all frequencies: it is in the sensitivity, and moves nothing
        folder.Add("a.wav", [(480, 0.1)], noise: 1e-4, keys: Gain);
        folder.Add("b.wav", [(480, 0.1)], noise: 1e-4, keys: Gain, seat: "chair", seed: 2);
        folder.Add("c.wav", [(480, 0.1)], noise: 1e-3, keys: Gain, source: "sub", seed: 3);   // a lorry went by
        var study = Study.Of(folder.Read());
        var level = study.Microphone("omni").Level;
        var densityDb = Decibels.FromPower(2e-8 / 24_000) + 124;
        var weighted = Enumerable.Range(1, 22_600).Sum(hz => Decibels.ToPowerRatio(Sweepbook.Filters.Weighting.A.LevelDb(hz)));
        const double ScatterDb = 0.3;   // 0.5 s of noise over some 10 kHz: 5000 degrees of freedom, 0.09 dB
        Assert.Equal(densityDb + Decibels.FromPower(weighted), level.EquivalentNoiseDba, ScatterDb);
        Assert.Equal(3, level.NoiseTakes);
        var (range, best) = (study.Microphone("omni").Range, study.Responses.Min(result => result.Response.Points().MinBy(point => Math.Abs(point.FrequencyHz - 1000)).Uncertainty.RepeatabilityDb));
        Assert.Equal(best, range.RepeatabilityDb()[Enumerable.Range(0, range.Grid.Count).MinBy(k => Math.Abs(range.Grid[k] - 1000))]);   // the best take decides
        var band = level.NoiseBands.Single(entry => entry.Band.Label == "1000");
        Assert.Equal(densityDb + Decibels.FromPower(band.Band.UpperHz - band.Band.LowerHz), band.LevelDb, 2.0);   // 230 Hz for 0.5 s: 0.4 dB, twice
        Assert.Equal(94 - level.EquivalentNoiseDba, level.SignalToNoiseDb);
        Assert.Contains(study.Findings, finding => finding.Id == "equivalent-noise" && finding.Sentence.Contains("the data sheet promises 20 dB(A), so most of it is the room or the input", StringComparison.Ordinal));
        Assert.Contains(study.Findings, finding => finding.Id == "sensitivity" && finding.Sentence.Contains("full scale is 124.0 dB, 6.0 dB below the microphone's maximum of 130 dB: the input clips first", StringComparison.Ordinal));
    }

    [Fact]
    public void A_loud_sweep_is_said_with_the_time_that_ears_are_allowed()
    {
        using var folder = Calibrated(-40);
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);   // 108 dB at all frequencies
        var finding = Assert.Single(Study.Of(folder.Read()).Findings, finding => finding.Id == "sound-level");
        Assert.Equal(109.3, finding.Value, 0.2);   // A is +1.27 dB at 2.5 kHz
        Assert.Contains("108.", finding.Sentence, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"{60 * 480 / Math.Pow(2, (finding.Value - 85) / 3):0} seconds a day"), finding.Sentence, StringComparison.Ordinal);   // fact sheet 13.1
        Assert.Contains("A-weighting hides loud bass", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_quiet_sweep_needs_no_warning()
    {
        using var folder = Calibrated(-10);
        folder.Add("a.wav", [(480, 0.1)], keys: Gain);   // 78 dB
        folder.Add("b.wav", [(480, 0.9)], keys: $"{Gain}\nfield = \"near\"\ndistance_mm = 10.0", source: "sub", seed: 2);   // 97 dB, where no ear goes
        Assert.DoesNotContain(Study.Of(folder.Read()).Findings, finding => finding.Id == "sound-level");
    }

    internal static double LevelAt(Response response, double hz) => response.Points().MinBy(point => Math.Abs(Math.Log(point.FrequencyHz / hz))).LevelDb;

    private static SmallSurvey Calibrated(double dbfs, string microphone = "", double[]? tone = null)
    {
        var folder = new SmallSurvey(microphone, $"[[calibrator]]\nfile = \"takes/cal.wav\"\nlevel_db = 94.0\n{Gain}\n");
        WavFile.Write(Path.Combine(folder.Folder, "takes", "cal.wav"), new(SmallSurvey.Rate, [tone ?? CalibratorReadingTests.Tone(1000, 4, Decibels.ToAmplitudeRatio(dbfs))]), WavEncoding.Integer24);
        return folder;
    }

    /// <summary>Tables in a folder of their own.</summary>
    private sealed class Spared : IDisposable
    {
        private readonly string _folder = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;

        internal string Table(Study study, string name, string file)
        {
            var folder = Path.Combine(_folder, name);
            if (!Directory.Exists(folder)) study.WriteTables(folder);
            var path = Path.Combine(folder, file);
            return File.Exists(path) ? File.ReadAllText(path) : "";
        }

        public void Dispose() => Directory.Delete(_folder, recursive: true);
    }
}
