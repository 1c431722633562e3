// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Microphones;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Microphones of one survey against its reference: planted deviations, the calibration that undoes them, the table and the sentences.</summary>
public sealed class ComparisonStudyTests(ComparedSurvey made, ITestOutputHelper output) : IClassFixture<ComparedSurvey>
{
    private const double WithRoomDb = 0.3;         // the issue: planted deviations are recovered within 0.3 dB inside the trusted band
    private const double AlignedDb = 0.1;          // what smoothing and points a twelfth of an octave apart leave; placement is the same in both

    private const double NoiseTakenOffDb = 1e-4;   // what is left of a cell after its noise is bounded below

    [Fact]
    public void Planted_deviations_are_recovered_within_0_3_dB_with_a_room_repeats_and_noise()
    {
        var pocket = made.Study.Microphone("pocket").ComparedWith("reference");
        var middle = ComparedResponses.MeanDb(ComparedSurvey.PocketDb, 300, 3000);
        Assert.InRange(pocket.OffsetDb, middle - WithRoomDb, middle + WithRoomDb);
        var largest = 0.0;
        foreach (var octave in pocket.Octaves.Where(octave => octave.IsGiven && octave.Band.UpperHz < pocket.Band.ToHz && octave.Band.LowerHz > pocket.Band.FromHz))
        {
            var error = octave.DeviationDb - (ComparedResponses.BandLevelDb(ComparedSurvey.PocketDb, octave.Band.LowerHz, octave.Band.UpperHz) - middle);
            output.WriteLine(FormattableString.Invariant($"{octave.Band.Label} Hz: {octave.DeviationDb:0.00} ± {octave.RepeatabilityDb:0.00} dB, error {error:0.00} dB"));
            largest = Math.Max(largest, Math.Abs(error));
        }
        output.WriteLine(pocket.Band.Words);
        Assert.True(largest <= WithRoomDb, $"{largest:0.00} dB");
        Assert.Equal([8_000, 16_000], pocket.TopOctaves.Select(octave => octave.Band.NominalHz));
        Assert.True(pocket.TopOctaves[^1].IsSignificant && pocket.TopOctaves[^1].DeviationDb < -2);
        Assert.False(pocket.IsNoiseOnly);
        Assert.Equal("main at sofa", pocket.Place);
    }

    [Fact]
    public void The_written_calibration_read_back_and_applied_makes_the_two_agree()
    {
        made.Study.Microphone("pocket").ComparedWith("reference").Calibration().Write(Path.Combine(made.Folder, "pocket.txt"));
        var survey = made.Read("calibration = \"pocket.txt\"");
        var again = Study.Of(survey, [.. survey.Takes.Where(take => take.Microphone is "pocket" or "reference")]).Microphone("pocket").ComparedWith("reference");
        foreach (var band in again.Octaves.Concat(again.ThirdOctaves).Where(band => band.IsGiven))
            Assert.True(Math.Abs(band.DeviationDb) <= Math.Max(AlignedDb, band.RepeatabilityDb), $"{band.Band.Label} Hz: {band.DeviationDb:0.000} dB");
        Assert.All(again.Octaves.Where(octave => octave.IsGiven), octave => Assert.InRange(octave.DeviationDb, -AlignedDb, AlignedDb));

        var file = again.Calibration();   // made again from corrected readings it is the same file: the microphone's own correction is undone
        var first = made.Study.Microphone("pocket").ComparedWith("reference").Calibration();
        for (var k = 0; k < file.Count; k++) Assert.Equal(first[k].LevelDb, file[k].LevelDb, NoiseTakenOffDb);
    }

    [Theory]
    [InlineData("reference", "reference", "compared with itself")]
    [InlineData("late", "reference", "heard the stimulus \"other\" and \"reference\" heard \"full\"")]
    [InlineData("loud", "reference", "driven at 6 dB for \"loud\" and at a drive that is not stated")]
    [InlineData("boom", "tweet", "There is no frequency at which both")]
    [InlineData("tweet", "reference", "state a middle band within it")]
    [InlineData("idle", "reference", "idle has no response")]
    [InlineData("pocket", "refrence", "Did you mean `reference`?")]
    public void What_cannot_be_compared_says_what_and_why(string tested, string reference, string words) =>
        Assert.Contains(words, Assert.Throws<ArgumentException>(() => made.Study.Microphone(tested).ComparedWith(reference)).Message);

    [Fact]
    public void A_place_that_was_not_taken_is_named_with_what_was()
    {
        var message = Assert.Throws<ArgumentException>(() => made.Study.Microphone("pocket").ComparedWith("reference", seat: "chair")).Message;
        Assert.Contains("no place in common with the seat \"chair\": pocket took main at sofa; reference took main at sofa", message);
    }

    [Fact]
    public void A_middle_band_within_the_trusted_one_makes_a_comparison_possible_in_a_call_or_in_the_survey()
    {
        Assert.True(made.Study.Microphone("tweet").ComparedWith("reference", matchFromHz: 5000, matchToHz: 9000).TopOctaves.Count > 0);
        var survey = made.Read(top: "[microphone-comparison]\nmatch_from_hz = 5000.0\nmatch_to_hz = 9000.0\n");
        Assert.Equal((5000, 9000), (survey.MatchFromHz, survey.MatchToHz));
        Assert.Equal((300, 3000), (made.Read().MatchFromHz, made.Read().MatchToHz));
    }

    [Theory]
    [InlineData("[microphone-comparison]\nmatch_from_hz = 3000.0\nmatch_to_hz = 3000.0", "", "narrower than a third of an octave")]
    [InlineData("[microphone-comparison]\nmatch_hz = 3000.0", "", "match_hz")]
    [InlineData("", "reference = true", "\"idle\" is marked as the reference, and so is \"reference\"")]
    public void A_survey_that_cannot_be_meant_is_refused(string top, string more, string words) =>
        Assert.Contains(words, Assert.Throws<DataFault>(() => made.Read(top: top, more: more)).Message);

    [Fact]
    public void Every_place_of_a_microphone_is_compared_once_and_the_reference_with_nobody()
    {
        Assert.Equal("main at sofa", Assert.Single(made.Study.Microphone("pocket").Comparisons).Place);
        Assert.Empty(made.Study.Microphone("reference").Comparisons);
        Assert.Empty(made.Study.Microphone("late").Comparisons);
    }

    [Fact]
    public void Microphones_are_sorted_for_a_job_by_their_largest_deviation_in_its_range()
    {
        Assert.Equal(["boom", "pocket"], made.Study.MicrophonesFor(63, 1000).Select(compared => compared.Tested));
        Assert.Equal(["pocket", "boom"], made.Study.MicrophonesFor(1000, 10_000).Select(compared => compared.Tested));   // boom does not reach that far
    }

    [Fact]
    public void The_findings_name_the_bottom_octave_and_the_top_two_and_what_moving_explains()
    {
        var finding = Assert.Single(made.Study.Findings, finding => finding is { Id: "microphone-compared", Subject: "pocket" });
        output.WriteLine(finding.Sentence);
        Assert.Equal(Severity.Caution, finding.Severity);
        Assert.Matches(@"^pocket against reference \(main at sofa, believed from .*\) reads \d\.\d dB low in the 31\.5 Hz octave, \d\.\d dB low in the 8 kHz octave and \d\.\d dB low in the 16 kHz octave\. Setting a microphone up again explains ", finding.Sentence);
        Assert.Contains(made.Study.Findings, finding => finding is { Id: "microphones-not-compared", Subject: "late" });
        Assert.Contains(made.Study.Findings, finding => finding is { Id: "microphone-compared", Subject: "boom" });
    }

    /// <summary>A survey without seats to compare was made for its microphones, and says so on the first screen.</summary>
    [Fact]
    public void The_third_headline_says_who_departs_from_the_reference_and_who_agrees_and_how_far()
    {
        var headline = made.Study.Findings[2];
        output.WriteLine(headline.Sentence);
        Assert.Equal(("microphones", Severity.Caution), (headline.Id, headline.Severity));
        Assert.Matches(@"^Against reference, pocket reads \d\.\d dB low in the (8|16) kHz octave; boom agrees within 0\.\d dB in every octave\.$", headline.Sentence);
        Assert.Contains("responses of one microphone may be added", made.Study.Findings[3].Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void An_output_that_moved_between_the_takes_is_seen_in_the_loopback_and_costs_nothing()
    {
        var moved = Assert.Single(made.Study.Findings, finding => finding.Id == "source-moved");   // once at 0.9 of its level
        output.WriteLine(moved.Sentence);
        Assert.Equal(-20 * Math.Log10(0.9), moved.Value, 0.01);
        Assert.Contains("level in the loopback moved by 0.9 dB and its tone by 0.0 dB", moved.Sentence);
        Assert.DoesNotContain(made.Study.Findings, finding => finding.Id == "source-unwatched");
    }

    [Fact]
    public void A_source_that_no_loopback_watched_is_named_with_the_only_witness_there_is()
    {
        static TakeResult Of(Take take, params (int Octave, double Db)[] levels) => new(take) { LoopbackDb = levels.ToDictionary(level => level.Octave, level => level.Db) };
        var take = PlainResponses.In(SoundField.Room);
        Assert.True(double.IsNaN(SourceWatch.Moved([Of(take), Of(take)]).LevelDb));
        var (level, shape) = SourceWatch.Moved([Of(take, (0, 1), (1, 1)), Of(take, (0, 2), (1, 2.5)), Of(take, (0, 1), (1, 1), (2, 9))]);   // the third octave is in one only
        Assert.Equal(1.25, level, 1e-12);
        Assert.Equal(0.25, shape, 1e-12);

        var place = new PlaceComparison(made.Study.Microphone("pocket").Responses[0], made.Study.Microphone("reference").Responses[0], null, "");
        Assert.Equal("source-moved", SourceWatch.Of(made.Study, place)!.Value.Id);
        var idle = new PlaceComparison(made.Study.Microphone("late").Responses[0], made.Study.Microphone("late").Responses[0], null, "");
        Assert.Contains("there was no loopback: repeat late before and after the others", SourceWatch.Of(made.Study, idle)!.Value.Sentence);   // one take alone shows no change either
    }

    [Theory]
    [InlineData(SoundField.Room, null, "main at sofa")]
    [InlineData(SoundField.Near, 6.0, "main at sofa at 6 mm in the near field")]
    [InlineData(SoundField.Free, 1500.0, "main at sofa at 1.5 m in the free field")]
    public void A_place_is_said_in_words(SoundField field, double? distanceMm, string words) =>
        Assert.Equal(words, ComparisonStudy.PlaceInWords(PlainResponses.In(field, distanceMm)));

    [Fact]
    public void The_table_has_a_row_for_each_band_and_a_reason_where_there_is_no_number()
    {
        using var folder = new SurveyFolder();
        Assert.Contains("microphones.csv", made.Study.WriteTables(folder.At("results")));
        var lines = File.ReadAllLines(folder.At("results/microphones.csv"));
        Assert.Equal("source,setting,seat,microphone,stimulus,field,distance_mm,angle_deg,drive_db,input_gain_db,compared_with,bandwidth,band_hz,offset_db,deviation_db,repeatability_db,repeatability_basis,significant,reason", lines[0]);
        var pocket = made.Study.Microphone("pocket").Comparisons[0];
        Assert.Equal(pocket.Octaves.Count + pocket.ThirdOctaves.Count, lines.Count(line => line.StartsWith("main,as-found,sofa,pocket,", StringComparison.Ordinal)));
        Assert.Contains(lines, line => line.Contains(",late,other,", StringComparison.Ordinal) && line.Contains("heard the stimulus", StringComparison.Ordinal));
    }
}
