// SPDX-License-Identifier: MIT
using System.Globalization;
using Sweepbook.Files;
using Sweepbook.Nearfield;
using Sweepbook.Spectra;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Two boxes close up and one in the free field by an independent script (tests/reference/nearfield-takes), analysed as a survey.</summary>
public sealed class BoxStudyTests
{
    private const double LevelDb = 0.25;        // design, numerical promises: from 0.8 · tuning up
    private const double PhaseDegrees = 3;      // issue: where trusted
    private const double CrosstalkDb = 0.25;    // the same promise with the other opening's sound taken off as that of a point, not of a disc
    private const double TunedHz = 35;
    private const double TuningHz = 0.3;        // losses of the air move the quarter turn by less than a hundredth

    private static string Folder => HouseRules.Repository.Path("tests", "reference", "nearfield-takes");

    private static readonly Lazy<Study> Analysed = new(() => Study.Of(Survey.Read(Folder)));

    [Fact]
    public void The_sum_of_cone_and_port_is_the_far_field_of_the_circuit()
    {
        var box = Analysed.Value.Box("box-1");
        Assert.Null(box.WhyNoSum);
        var far = box.Sum.FarField(1, FieldSpace.Half);
        var (above, below) = (0, 0);
        foreach (var row in Rows("expected-far.csv"))
        {
            if (row[0] > box.UpperLimitHz) continue;
            var k = Nearest(far, row[0]);
            Assert.Equal(row[0], far.Grid[k], row[0] * 1e-5);
            var error = far[k].LevelDb - row[1];
            if (row[0] >= 0.8 * TunedHz)
            {
                Assert.True(far[k].TrustedLevel && far[k].TrustedPhase, $"{row[0]:0.0} Hz: {far[k].PhaseReason.Sentence}");
                Assert.True(Math.Abs(error) <= LevelDb, $"{row[0]:0.0} Hz: {error:0.000} dB");
                above++;
            }
            else if (far[k].TrustedLevel)
            {
                Assert.True(Math.Abs(error) <= box.Sum.UncertaintyDb[k], $"{row[0]:0.0} Hz: {error:0.000} dB, ± {box.Sum.UncertaintyDb[k]:0.000}");
                below++;
            }
            var turned = Math.IEEERemainder(far[k].PhaseDegrees - row[2], 360);
            if (far[k].TrustedPhase) Assert.True(Math.Abs(turned) <= PhaseDegrees, $"{row[0]:0.0} Hz: {turned:0.00}°");
        }
        Assert.True(above >= 30, $"{above} points");
        Assert.True(below >= 8, $"{below} points");
    }

    [Fact]
    public void Where_both_openings_are_on_one_front_each_microphones_share_of_the_other_is_taken_off()
    {
        var (box, plain) = (Analysed.Value.Box("box-2"), Analysed.Value.Box("box-1"));
        Assert.True(box.Sum.IsCrosstalkTakenOff);
        Assert.False(plain.Sum.IsCrosstalkTakenOff);
        var (far, left) = (box.Sum.FarField(1, FieldSpace.Half), NearfieldSum.Of([.. box.Sum.Radiators.Select(WithoutPlace)], default, Analysed.Value.SpeedOfSoundMetresPerSecond).FarField(1, FieldSpace.Half));
        var (worst, worstLeft) = (0.0, 0.0);
        foreach (var row in Rows("expected-far.csv").Where(row => row[0] >= 0.5 * TunedHz && row[0] <= box.UpperLimitHz))
        {
            var k = Nearest(far, row[0]);
            Assert.True(Math.Abs(far[k].LevelDb - row[1]) <= far[k].Uncertainty.ExpandedDb, $"{row[0]:0.0} Hz: {far[k].LevelDb - row[1]:0.00} dB, ± {far[k].Uncertainty.ExpandedDb:0.00}");
            if (row[0] < 0.8 * TunedHz) (worst, worstLeft) = (Math.Max(worst, Math.Abs(far[k].LevelDb - row[1])), Math.Max(worstLeft, Math.Abs(left[k].LevelDb - row[1])));
            else Assert.True(Math.Abs(far[k].LevelDb - row[1]) <= LevelDb, $"{row[0]:0.0} Hz: {far[k].LevelDb - row[1]:0.00} dB");
        }
        Assert.True(worst <= CrosstalkDb, $"{worst:0.00} dB");
        Assert.True(worstLeft > 2, $"{worstLeft:0.00} dB");   // what it would cost: a cone's and a port's radius over twice their distance, beside what is left of the sum

        static Radiator WithoutPlace(Radiator one) => new(one.Name, one.Kind, one.Response, one.AreaSquareMetres, one.DistanceMetres);
    }

    [Theory]
    [InlineData("box-1")]
    [InlineData("box-2")]
    public void Tuning_phase_between_and_slope_are_those_of_a_vented_box(string id)
    {
        var sum = Analysed.Value.Box(id).Sum;
        Assert.Equal(TunedHz, sum.TuningHz, TuningHz);
        Assert.Equal(1, sum.Check.PortRatio, 0.05);   // 3 % of area are 1.5 % of pressure, 1 mm at the port 3 %
        Assert.False(sum.Check.IsReversed);
        foreach (var row in Rows("expected-far.csv").Where(row => row[0] is > 15 and < 90))
            Assert.True(Math.Abs(Math.IEEERemainder(sum.PhaseBetweenDegreesAt(row[0]) - row[4], 360)) <= (row[0] is > 30 and < 42 ? 15 : 6), $"{row[0]:0.0} Hz: {sum.PhaseBetweenDegreesAt(row[0]):0.0}°, {row[4]:0.0}°");
        var truth = Rows("expected-far.csv").Where(row => row[0] >= sum.Check.SlopeFromHz * 0.97 && row[0] <= sum.Check.SlopeToHz * 1.03).ToList();
        Assert.Equal((truth[^1][1] - truth[0][1]) / Math.Log2(truth[^1][0] / truth[0][0]), sum.SlopeDbPerOctave, 1.0);
        Assert.InRange(sum.SlopeDbPerOctave, 20, 26);
    }

    [Fact]
    public void The_upper_limit_is_the_boxs_and_the_sum_says_so()
    {
        var box = Analysed.Value.Box("box-1");
        Assert.Equal(343.2146 / (3 * 0.48), box.UpperLimitHz, 0.01);   // fact sheet 7.6
        Assert.Contains("three times the box's largest side (0.48 m)", box.UpperLimitReason, StringComparison.Ordinal);
        Assert.Equal(1.643 * 343.2146 / (2 * Math.PI * Math.Sqrt(0.0215 / Math.PI)), box.Sum.ConeLimit.FrequencyHz, 0.2);   // fact sheet 7.4
        var reason = box.Sum.Response.LevelTrust.LongestBand().HighReason;
        Assert.Equal((Doubt.NearField, box.UpperLimitReason), (reason.Doubt, reason.Sentence));
    }

    [Fact]
    public void With_the_fronts_edges_it_meets_the_gated_free_field()
    {
        const double MismatchDb = 0.15, SlopeDb = 0.3;   // the gate of 14.4 ms shapes what it cuts, most at the low end
        var box = Analysed.Value.Box("box-1");
        var (gated, splice) = Assert.Single(box.Splices);
        Assert.Equal("whole-1", gated.Source);
        Assert.True(splice.IsJoined, splice.WhyNot);
        Assert.InRange(splice.OverlapFromHz, 2 / 0.0148, 2 / 0.0143);   // 5.08 m later, less the tolerance of the positions
        Assert.InRange(splice.OverlapToHz, box.Sum.ConeLimit.FrequencyHz * 0.99, box.Sum.ConeLimit.FrequencyHz);   // 96 points an octave
        Assert.InRange(splice.OverlapOctaves, 2.9, 3.0);
        Assert.Equal(0, splice.LevelMismatchDb, MismatchDb);
        Assert.Equal(0, splice.SlopeMismatchDbPerOctave, SlopeDb);
        Assert.Equal(1, splice.Points[0].NearShare);
        Assert.Equal(0, splice.Points[^1].NearShare);
        Assert.True(splice.Points[0].FrequencyHz < 15 && splice.Points[^1].FrequencyHz > 2000);
        foreach (var row in Rows("expected-far.csv").Where(row => row[0] is > 25 and < 2200))
        {
            var point = splice.Points.MinBy(point => Math.Abs(point.FrequencyHz - row[0]));
            var truth = row[1] + box.DiffractionAt(1)!.LevelDbAt(row[0]);
            Assert.True(Math.Abs(point.LevelDb - truth) <= 1, $"{row[0]:0.0} Hz: {point.LevelDb - truth:0.00} dB");   // the gate's ripple
        }
        Assert.Contains("no free-field take", Assert.Throws<ArgumentException>(() => box.SpliceWith(box.Responses[0])).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Findings_say_tuning_limit_joint_and_what_to_mind()
    {
        var findings = Analysed.Value.Findings.Where(finding => finding.Id.StartsWith("nearfield", StringComparison.Ordinal)).ToList();
        Assert.Matches(@"^box-1 is tuned to 3[45]\.\d Hz; an octave below it port and cone are 1(79|80)° apart, and from 12\.\d to 24\.\d Hz their sum falls by 2\d\.\d dB per octave\.$",
            findings.First(finding => finding.Id == "nearfield-tuning").Sentence);
        Assert.Contains(findings, finding => finding.Id == "nearfield-joint" && finding.Sentence.EndsWith("so the two are joined.", StringComparison.Ordinal));
        Assert.Contains("baffle_position_m", Assert.Single(findings, finding => finding.Id == "nearfield-crosstalk").Sentence, StringComparison.Ordinal);
        Assert.Contains("nothing holds its cone", Assert.Single(findings, finding => finding.Id == "nearfield-caution").Sentence, StringComparison.Ordinal);
        Assert.DoesNotContain(findings, finding => finding.Severity == Severity.Fault || finding.Id is "nearfield-balance" or "nearfield-slope");
    }

    /// <summary>The sentence about the box stands on the first screen, and once only.</summary>
    [Fact]
    public void The_third_headline_of_a_survey_without_seats_is_about_its_box()
    {
        Assert.Equal("nearfield", Analysed.Value.Findings[2].Id);
        Assert.Single(Analysed.Value.Findings, finding => finding.Sentence == Analysed.Value.Findings[2].Sentence);
        Assert.Contains("every response can be trusted", Analysed.Value.Findings[0].Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void The_table_holds_parts_sum_far_field_and_joint()
    {
        using var folder = new SurveyFolder();
        Assert.Contains("nearfield.csv", Analysed.Value.WriteTables(folder.Path));
        var lines = File.ReadAllLines(folder.At("nearfield.csv"));
        Assert.Equal("box,setting,microphone,part,source,distance_m,frequency_hz,level_db,level_reference,phase_deg,uncertainty_db,trusted,reason", lines[0]);
        Assert.Equal(["cone", "far", "joined", "port", "sum"], lines.Skip(1).Select(line => line.Split(',')[3]).Distinct().Order(StringComparer.Ordinal));
        var far = Analysed.Value.Box("box-1").Sum.FarField(1, FieldSpace.Half);
        var cells = lines.Select(line => line.Split(',')).First(row => row[0] == "box-1" && row[3] == "far" && double.Parse(row[6], CultureInfo.InvariantCulture) > 50);
        Assert.Equal(far[Nearest(far, double.Parse(cells[6], CultureInfo.InvariantCulture))].LevelDb, double.Parse(cells[7], CultureInfo.InvariantCulture), 0.0006);
        Assert.True(new FileInfo(folder.At("nearfield.csv")).Length < 2_000_000);
    }

    [Theory]   // what is changed in survey.toml, and what the refusal says
    [InlineData("file = \"takes/port-1.wav\"", "file = \"takes/port-1.wav\"\ntime_zero = \"unknown\"", "No time zero is known of port-1 close up")]
    [InlineData("effective_diameter_mm = 70.0\n\n[[source]]\nid = \"cone-2\"", "\n[[source]]\nid = \"cone-2\"", "port-1 has no area")]
    [InlineData("file = \"takes/port-1.wav\"", "file = \"takes/port-1.wav\"\nmicrophone = \"other\"", "differ in microphone (omni, other)")]
    [InlineData("file = \"takes/port-1.wav\"", "file = \"takes/port-1.wav\"\ndrive_db = -6.0\ninput_gain_db = 20.0", "differ in drive and input gain")]
    [InlineData("file = \"takes/port-1.wav\"", "file = \"takes/port-1.wav\"\nuse = false", "port-1 is part of the box \"box-1\" but was not taken close up")]
    [InlineData("kind = \"cone\"\npart_of = \"box-1\"", "kind = \"port\"\npart_of = \"box-1\"", "is a cone with a motor")]
    public void What_may_not_be_added_is_refused_with_its_reason(string from, string to, string says)
    {
        using var folder = Changed(from, to);
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [.. survey.Takes.Take(2)]);
        var box = study.Box("box-1");
        Assert.Contains(says, box.WhyNoSum, StringComparison.Ordinal);
        Assert.Equal(box.WhyNoSum, Assert.Throws<InvalidOperationException>(() => box.Sum).Message);
        Assert.Contains(says, Assert.Single(study.Findings, finding => finding.Id == "nearfield-refused").Sentence, StringComparison.Ordinal);
        Assert.Empty(box.Splices);
    }

    [Theory]   // an area of the nominal diameter, and a reversed take
    [InlineData("effective_diameter_mm = 70.0\n\n[[source]]\nid = \"cone-2\"", "effective_diameter_mm = 110.0\n\n[[source]]\nid = \"cone-2\"", "nearfield-balance", "check both areas")]
    [InlineData("", "", "nearfield-polarity", "one of the takes is reversed")]
    public void A_wrong_area_and_a_reversed_take_are_found(string from, string to, string id, string says)
    {
        using var folder = Changed(from, to);
        if (id == "nearfield-polarity") Reverse(folder.At("takes/port-1.wav"));
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [.. survey.Takes.Take(2)]);
        Assert.Contains(says, Assert.Single(study.Findings, finding => finding.Id == id).Sentence, StringComparison.Ordinal);
        Assert.Equal(TunedHz, study.Box("box-1").Sum.TuningHz, TuningHz);   // the tuning asks neither
    }

    [Fact]
    public void Nobody_measured_the_distance_and_the_doubt_is_said_and_counted()
    {
        using var folder = Changed("distance_mm = 3.0", "");
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [.. survey.Takes.Take(2)]);
        Assert.Contains("distance from port-1 is not stated", Assert.Single(study.Findings, finding => finding.Id == "nearfield-distance").Sentence, StringComparison.Ordinal);
        var (doubtful, sure) = (study.Box("box-1").Sum, Analysed.Value.Box("box-1").Sum);
        var k = Nearest(sure.Response, 20);
        Assert.True(doubtful.UncertaintyDb[k] > 3 * sure.UncertaintyDb[k], $"{doubtful.UncertaintyDb[k]}, {sure.UncertaintyDb[k]}");
    }

    [Fact]
    public void Unknown_boxes_are_answered_with_those_there_are()
    {
        Assert.Contains("it has: box-1, box-2", Assert.Throws<ArgumentException>(() => Analysed.Value.Box("box-3")).Message, StringComparison.Ordinal);
        Assert.Contains("in the setting", Assert.Throws<ArgumentException>(() => Analysed.Value.Box("box-1", "later")).Message, StringComparison.Ordinal);
    }

    /// <summary>The free take is said to have been made at another gain or drive, and is the same take: what is said shows in the mismatch, unless it is in the loopback or in a calibrator's tone.</summary>
    [Theory]
    [InlineData("input_gain_db = 20.0", "input_gain_db = 18.0", false, 2)]
    [InlineData("drive_db = 0.0", "drive_db = -2.0", false, 0)]   // over the loopback such a take is one whose sweep was softer
    [InlineData("input_gain_db = 20.0", "input_gain_db = 18.0", true, 0)]
    public void Gains_are_counted_once(string near, string free, bool isCalibrated, double mismatchDb)
    {
        const double GateDb = 0.15;
        using var folder = Changed("", "");
        var text = File.ReadAllText(folder.At("survey.toml"));
        foreach (var (take, keys) in new[] { ("cone-1", near), ("port-1", near), ("whole-1", free) }) text = text.Replace($"file = \"takes/{take}.wav\"", $"file = \"takes/{take}.wav\"\n{keys}", StringComparison.Ordinal);
        if (isCalibrated)
        {
            const int Rate = 8000;
            WavFile.Write(folder.At("takes/tone.wav"), new Recording(Rate, [[.. Enumerable.Range(0, 4 * Rate).Select(n => 0.1 * Math.Sin(2 * Math.PI * 1000 * n / Rate + 0.3))]]), WavEncoding.Integer24);
            File.Copy(folder.At("takes/tone.wav"), folder.At("takes/tone-2.wav"));
            foreach (var (file, gain) in new[] { ("tone", near), ("tone-2", free) }) text += $"\n[[calibrator]]\nfile = \"takes/{file}.wav\"\nmicrophone = \"omni\"\nlevel_db = 94.0\n{gain}\n";
        }
        folder.Put("survey.toml", text);
        var survey = Survey.Read(folder.Path);
        var box = Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName is "cone-1" or "port-1" or "whole-1")]).Box("box-1");
        Assert.Equal(isCalibrated ? LevelReference.SoundPressure : LevelReference.Loopback, box.Sum.Response.Reference);
        Assert.Equal(mismatchDb, Assert.Single(box.Splices).Splice.LevelMismatchDb, GateDb);
    }

    [Fact]
    public void Another_microphones_free_field_is_not_joined_without_sensitivities()
    {
        using var folder = Changed("file = \"takes/whole-1.wav\"", "file = \"takes/whole-1.wav\"\nmicrophone = \"other\"");
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName is "cone-1" or "port-1" or "whole-1")]);
        Assert.Empty(study.Box("box-1").Splices);
        Assert.Contains("by how much one is more sensitive is not known", study.Box("box-1").SpliceWith(study.Responses.Single(result => result.Source == "whole-1")).WhyNot, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cone_on_a_side_that_is_wider_than_the_front_has_no_edges_to_reckon_with()
    {
        using var folder = Changed("id = \"box-1\"\nwidth_m = 0.36", "id = \"box-1\"\nwidth_m = 0.14");
        var text = File.ReadAllText(folder.At("survey.toml"));
        folder.Put("survey.toml", text.Replace("baffle_position_m = [0.18, 0.24]\n", "", StringComparison.Ordinal));
        var survey = Survey.Read(folder.Path);
        var study = Study.Of(survey, [.. survey.Takes.Where(take => take.SourceName is "cone-1" or "port-1" or "whole-1")]);
        Assert.Null(study.Box("box-1").Diffraction);
        Assert.Contains(study.Findings, finding => finding.Id == "nearfield-joint");   // and the report goes on
    }

    private static SurveyFolder Changed(string from, string to)
    {
        var folder = new SurveyFolder();
        foreach (var file in Directory.EnumerateFiles(Folder, "*", SearchOption.AllDirectories))
        {
            var target = folder.At(Path.GetRelativePath(Folder, file));
            Directory.CreateDirectory(Path.GetDirectoryName(target)!);
            File.Copy(file, target);
        }
        var text = File.ReadAllText(folder.At("survey.toml"));
        Assert.Contains(from, text, StringComparison.Ordinal);
        if (from.Length > 0) text = text[..text.IndexOf(from, StringComparison.Ordinal)] + to + text[(text.IndexOf(from, StringComparison.Ordinal) + from.Length)..];
        folder.Put("survey.toml", text + "\n[[microphone]]\nid = \"other\"\n");
        return folder;
    }

    private static void Reverse(string path)
    {
        var recording = WavFile.Read(path, path);
        double[][] channels = [[.. recording.Channel(1).Select(value => -value)], recording.Channel(2)];
        File.Delete(path);
        WavFile.Write(path, new Recording(recording.SampleRateHz, channels), WavEncoding.Integer24);
    }

    private static int Nearest(Response response, double frequencyHz) => Enumerable.Range(0, response.Count).MinBy(n => Math.Abs(response.Grid[n] - frequencyHz));

    private static IEnumerable<double[]> Rows(string name) => File.ReadLines(Path.Combine(Folder, name)).Skip(1).Select(line => line.Split(',').Select(cell => double.Parse(cell, CultureInfo.InvariantCulture)).ToArray());
}
