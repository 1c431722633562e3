// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Microphones;
using Sweepbook.Quantities;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class MicrophoneRangeStudyTests(MicrophoneRangeStudyTests.Scene scene) : IClassFixture<MicrophoneRangeStudyTests.Scene>
{
    /// <summary>One source and spot, five microphones: wide and calibrated (the reference, three times), one with a narrow data sheet, one noisy, one hot at the top, one of which nothing is known.</summary>
    public sealed class Scene : IDisposable
    {
        internal const double HotPart = 0.3;   // 1 − 0.3 z⁻¹: three decibels more at 10 kHz than in the middle

        private readonly SmallSurvey _folder = new("calibration = \"omni.txt\"\ncalibrated_on = 2020-01-18\nmax_spl_db = 120\nsensitivity_dbfs_at_94db = -40\ninput_gain_db = 24\nreference = true\n", """
            [wanted]
            from_hz = 40
            to_hz = 12000

            [[microphone]]
            id = "narrow"
            lowest_hz = 100
            highest_hz = 8000
            tolerance_db = 1.5
            max_spl_db = 110

            [[microphone]]
            id = "noisy"
            lowest_hz = 5
            highest_hz = 20000
            tolerance_db = 0.5

            [[microphone]]
            id = "hot"
            lowest_hz = 5
            highest_hz = 20000
            tolerance_db = 1.5

            [[microphone]]
            id = "nameless"
            """, "area_cm2 = 314.159265\n");

        public Scene()
        {
            _folder.WriteCalibration("5 0\n22000 0\n");
            for (var n = 1; n <= 3; n++) _folder.Add($"omni-{n}.wav", [(480, 0.1)], keys: "input_gain_db = 24", seed: (ulong)n);
            _folder.Add("narrow.wav", [(480, 0.1)], keys: "microphone = \"narrow\"", seat: "chair");
            _folder.Add("noisy.wav", [(480, 0.1)], noise: 3e-2, keys: "microphone = \"noisy\"", seat: "chair");
            _folder.Add("hot.wav", [(480, 0.1), (481, -HotPart * 0.1)], keys: "microphone = \"hot\"");
            _folder.Add("nameless.wav", [(480, 0.1)], keys: "microphone = \"nameless\"", seat: "chair");
            Study = Study.Of(_folder.Read());
        }

        public Study Study { get; }

        /// <summary>One take only, so that it is quick.</summary>
        internal Study Narrow(Func<Sweepbook.Surveys.Survey, Sweepbook.Surveys.Survey> change)
        {
            var survey = change(_folder.Read());
            return Study.Of(survey, [.. survey.Takes.Where(take => take.Microphone == "narrow")]);
        }

        public void Dispose() => _folder.Dispose();
    }

    private Study Study => scene.Study;

    [Fact]
    public void A_calibrated_microphone_is_believed_as_far_as_the_sweep_went()
    {
        var range = Study.Microphone("omni").Range;
        Assert.Equal((RangeLimit.Measurement, RangeLimit.Measurement), (range.LowLimit, range.HighLimit));
        Assert.InRange(range.FromHz, 9, 11);   // the sweep starts at 10 Hz, a little below it still has energy
        Assert.InRange(range.ToHz, 18_500, 20_000);   // a twelfth of an octave below the end of the sweep
        Assert.Equal("no take shows more (the sweep ends at 20 kHz)", range.Sentence[(range.Sentence.IndexOf("above, ", StringComparison.Ordinal) + 7)..range.Sentence.IndexOf("; its", StringComparison.Ordinal)]);
        Assert.EndsWith("; its calibration was 6.7 years old, and calibrations are renewed about every 5 years.", range.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_narrow_data_sheet_ends_the_range_of_its_own_microphone()
    {
        var range = Study.Microphone("narrow").Range;
        Assert.Equal("narrow can be believed within ± 2 dB from 100 Hz to 8 kHz: below, its data sheet ends at 100 Hz; above, its data sheet ends at 8 kHz.", range.Sentence);
    }

    [Fact]
    public void Noise_is_a_limit_of_the_measurement()
    {
        var range = Study.Microphone("noisy").Range;
        Assert.Equal(RangeLimit.Measurement, range.HighLimit);
        Assert.InRange(range.ToHz, 50, 10_000);
        Assert.Equal("noise may come within 15 dB of the signal", range.HighReason);
        Assert.Equal("not shown", Study.Microphone("noisy").Wanted!.Value.Word);
    }

    [Fact]
    public void A_microphone_that_reads_more_than_the_reference_ends_where_that_shows()
    {
        var range = Study.Microphone("hot").Range;
        // its data sheet promises ± 1.5 dB, the reference is known to ± 1 dB: what exceeds 1 dB and a little for the comparison does not serve
        double[] levels = [.. FrequencyBand.ThirdOctaves(300, 3000).Select(band => GainDb(band.CentreHz))];
        var first = FrequencyBand.ThirdOctaves(3150, 16_000).First(band => GainDb(band.CentreHz) - levels.Average() > 1);
        Assert.Equal(RangeLimit.Microphone, range.HighLimit);
        const double GridStep = 0.0073;
        Assert.Equal(first.LowerHz, range.ToHz, first.LowerHz * GridStep);
        Assert.StartsWith("it reads ", range.HighReason, StringComparison.Ordinal);
        Assert.EndsWith($"dB more than omni in the third octave at {new TrustedBand(first.NominalHz, first.NominalHz, default, default).Words}", range.HighReason, StringComparison.Ordinal);
        Assert.Equal("no", Study.Microphone("hot").Wanted!.Value.Word);

        static double GainDb(double hertz)
        {
            var turn = 2 * Math.PI * hertz / SmallSurvey.Rate;
            return Decibels.FromPower(1 + Scene.HotPart * Scene.HotPart - 2 * Scene.HotPart * Math.Cos(turn));
        }
    }

    [Fact]
    public void Of_a_nameless_microphone_nothing_is_known()
    {
        Assert.Equal("Whether nameless can be believed within ± 2 dB is not known, because it has neither a calibration nor a data sheet.", Study.Microphone("nameless").Range.Sentence);
        Assert.Equal("not shown", Study.Microphone("nameless").Wanted!.Value.Word);
    }

    [Fact]
    public void The_findings_hold_one_sentence_for_each_microphone_and_its_verdict()
    {
        Assert.Equal(Study.Microphones.Select(microphone => microphone.Range.SentenceWithoutAge), Of("microphone-range").Select(finding => finding.Sentence));
        Assert.Equal([Severity.Note, Severity.Fault, Severity.Caution, Severity.Fault, Severity.Caution], // in the order of the survey below
            new[] { "omni", "narrow", "noisy", "hot", "nameless" }.Select(id => Of("microphone-wanted").Single(finding => finding.Subject == id).Severity));
        Assert.Single(Study.Findings, finding => finding.Sentence.Contains("years", StringComparison.Ordinal));   // the age is said once

        IEnumerable<Finding> Of(string id) => Study.Findings.Where(finding => finding.Id == id);
    }

    [Fact]
    public void Another_wanted_range_takes_the_place_of_the_surveys_own()
    {
        var other = scene.Narrow(survey => survey.Wanting(200, 5000, withinDb: 1.6));
        Assert.Equal("narrow serves from 200 Hz to 5 kHz within ± 1.6 dB.", other.Microphone("narrow").Wanted!.Value.Sentence);
        Assert.DoesNotContain(other.Findings, finding => finding.Id == "microphone-wanted" && finding.Severity == Severity.Fault);
    }

    [Fact]
    public void The_headroom_is_that_of_the_loudest_take_whose_gain_is_known()
    {
        // 0.5 · 0.1 of full scale are −26 dBFS; −40 dBFS are 94 dB, so 108 dB, 12 below 120
        const double RippleOfTheFilter = 0.05, OfNoise = 0.01;
        var omni = Study.Microphone("omni").Headroom;
        Assert.Equal(12, omni.HeadroomDb, RippleOfTheFilter + OfNoise);
        Assert.Matches(@"^The loudest sound at omni was 10[78]\.\d dB \(takes/omni-\d\.wav\), 1[12]\.\d dB below the 120 dB that it takes\.$", omni.Sentence);
        Assert.Single(Study.Findings, finding => finding.Id == "microphone-headroom" && finding.Subject == "omni");
        Assert.False(Study.Microphone("narrow").Headroom.IsKnown);
        Assert.StartsWith("How loud it was at narrow is not known", Study.Microphone("narrow").Headroom.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void Before_a_microphone_goes_to_the_cone_it_is_said_by_how_much_to_turn_down()
    {
        const double HalfLastDigit = 0.0005;
        var close = Study.Microphone("omni").HeadroomCloseTo("main", levelDb: 95);   // a radius of 0.1 m: 26.021 dB more (fact sheet 7.1)
        Assert.Equal(120 - 95 - 26.021, close.HeadroomDb, HalfLastDigit);
        Assert.StartsWith("95 dB at 1 m are 121.0 dB at the cone of main, 1.0 dB above the 120 dB that omni takes. Turn down by 4.0 dB before it goes there. At 1 m ears may have 95 dB(A) for 48 min a day", close.Sentence, StringComparison.Ordinal);
        Assert.Contains("11 mm from main", Study.Microphone("omni").HeadroomCloseTo("main", 95, 0.011).Sentence, StringComparison.Ordinal);
        Assert.Equal(-0.954, close.HeadroomDb - Study.Microphone("omni").HeadroomCloseTo("main", 95, 0.011).HeadroomDb, HalfLastDigit);   // fact sheet 7.2: 0.11 a
    }

    [Fact]
    public void Of_equal_cones_the_microphone_hears_the_one_that_it_stands_at()
    {
        using var folder = new SmallSurvey("max_spl_db = 120", source: "area_cm2 = 314.15927\ncount = 2");
        var close = Sweepbook.Studies.Study.Of(folder.Read(), []).Microphone("omni").HeadroomCloseTo("main", levelDb: 95);
        Assert.Equal(120 - (95 - 6.0206) - 26.021, close.HeadroomDb, 0.001);
    }

    [Fact]
    public void What_cannot_be_worked_out_close_to_a_cone_is_refused_with_a_remedy()
    {
        var omni = Study.Microphone("omni");
        Assert.Contains("add area_cm2 or effective_diameter_mm", Assert.Throws<ArgumentException>(() => omni.HeadroomCloseTo("sub", 95)).Message, StringComparison.Ordinal);
        Assert.Contains("Did you mean `main`?", Assert.Throws<ArgumentException>(() => omni.HeadroomCloseTo("mian", 95)).Message, StringComparison.Ordinal);
        Assert.Equal("levelDb", Assert.Throws<ArgumentOutOfRangeException>(() => omni.HeadroomCloseTo("main", double.NaN)).ParamName);
    }

    [Fact]
    public void The_table_has_one_row_for_each_microphone_and_the_same_bytes_in_every_culture()
    {
        var before = CultureInfo.CurrentCulture;
        try
        {
            var one = Written(scene.Narrow(survey => survey));
            CultureInfo.CurrentCulture = new("de-DE");
            Assert.Equal(one, Written(scene.Narrow(survey => survey)));
            var plain = Written(Study);
            var rows = plain.TrimEnd('\n').Split('\n');
            Assert.Equal("microphone,usable_from_hz,usable_to_hz,low_limit,low_reason,high_limit,high_reason,within_db,wanted_from_hz,wanted_to_hz,serves,peak_db,max_spl_db,headroom_db,sentence", rows[0]);
            Assert.Equal(1 + Study.Microphones.Count, rows.Length);
            Assert.Equal($"narrow,100.000,8000.00,microphone,its data sheet ends at 100 Hz,microphone,its data sheet ends at 8 kHz,2.000,40.0000,12000.0,no,,110.000,,\"{Study.Microphone("narrow").Range.Sentence}\"",
                rows.Single(row => row.StartsWith("narrow,", StringComparison.Ordinal)));
            Assert.StartsWith("nameless,,,,it has neither a calibration nor a data sheet,,it has neither a calibration nor a data sheet,2.000,40.0000,12000.0,not shown,,,,", rows.Single(row => row.StartsWith("nameless,", StringComparison.Ordinal)), StringComparison.Ordinal);
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }

        static string Written(Study study)
        {
            using var results = new SurveyFolder();
            MicrophoneRangeTable.Of(study)!.Write(results.At(MicrophoneRangeTable.FileName));
            return File.ReadAllText(results.At(MicrophoneRangeTable.FileName));
        }
    }
}
