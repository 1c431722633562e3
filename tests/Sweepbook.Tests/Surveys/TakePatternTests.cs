// SPDX-License-Identifier: MIT
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class TakePatternTests
{
    private const string Pattern = "takes/{source}_{seat}_{setting}_{repeat}.wav";

    private static string With(string pattern, string more = "") => SurveyTexts.Plain.Replace("format = 1\n", $"format = 1\ntakes = \"{pattern}\"\n") + more;

    [Fact]
    public void Files_are_found_by_name_with_repeats_in_the_order_of_their_numbers()
    {
        var survey = SurveyTexts.Read(With(Pattern, "[take-defaults]\nreference_channel = 2"),
            "takes/sub-left_sofa_new_10.wav", "takes/sub-left_sofa_new_2.wav", "takes/sub-left_sofa_2_as-found_1.wav", "takes/sub-right+sub-left_sofa_new_1.wav", "takes/.hidden", "takes/readme.txt");
        Assert.Equal(
        [
            ("takes/sub-left_sofa_2_as-found_1.wav", "sub-left", "sofa_2", "as-found", 1), ("takes/sub-left_sofa_new_2.wav", "sub-left", "sofa", "new", 2),
            ("takes/sub-left_sofa_new_10.wav", "sub-left", "sofa", "new", 10), ("takes/sub-right+sub-left_sofa_new_1.wav", "sub-left+sub-right", "sofa", "new", 1),
        ], survey.Takes.Select(take => (take.File, take.SourceName, take.Seat, take.Setting, take.Repeat!.Value)));
        Assert.All(survey.Takes, take => Assert.Equal((2, 2), (take.ReferenceChannel!.Value, take.Line)));
        Assert.Equal(survey.Takes[1].RepeatKey, survey.Takes[2].RepeatKey);
        Assert.Equal("survey.toml:2: 1 file does not match the takes pattern and is left out: takes/readme.txt", Assert.Single(survey.Notes));
    }

    [Theory]
    [InlineData("takes/sub-left_soffa_new_3.wav", "The nearest name that would fit is takes/sub-left_sofa_new_3.wav.")]
    [InlineData("takes/sub-left_sofa_new.wav", "The nearest name that would fit is takes/sub-left_sofa_new_1.wav.")]
    [InlineData("takes/REC0001.wav", "The pattern is takes/{source}_{seat}_{setting}_{repeat}.wav, with ids that survey.toml declares.")]
    public void A_recording_that_no_name_fits_is_named_with_the_nearest_that_would(string file, string advice)
    {
        var survey = SurveyTexts.Read(With(Pattern), file);
        Assert.Equal(new UnmatchedFile(file, advice), Assert.Single(survey.UnmatchedFiles));
        Assert.Empty(survey.Notes);
    }

    [Fact]
    public void A_recording_with_a_table_of_its_own_need_not_fit_the_pattern()
    {
        var survey = SurveyTexts.Read(With(Pattern, "[[take]]\nfile = \"takes/odd.wav\"\nsources = [\"sub-left\"]\nseat = \"sofa\"\n"), "takes/odd.wav");
        Assert.Empty(survey.UnmatchedFiles);
        Assert.Single(survey.Takes);
    }

    [Fact]
    public void A_take_of_its_own_adds_to_the_file_name_and_overrides_it()
    {
        var survey = SurveyTexts.Read(With(Pattern, """
            [[take]]
            file = "takes/sub-left_sofa_new_1.wav"
            seat = "sofa_2"
            note = "the microphone stood elsewhere"
            [[take]]
            file = "takes/sub-left_sofa_new_1.wav"
            microphone_channel = 2
            [[take]]
            file = "takes/other name.wav"
            sources = ["sub-right"]
            seat = "sofa"
            """), "takes/sub-left_sofa_new_1.wav", "takes/sub-left_sofa_new_2.wav");
        Assert.Equal(
            [("sub-left", "sofa_2", "new", 1), ("sub-left", "sofa", "new", 2), ("sub-right", "sofa", "as-found", 1), ("sub-left", "sofa", "new", 1)],
            survey.Takes.Select(take => (take.SourceName, take.Seat, take.Setting, take.MicrophoneChannel)));
        Assert.Equal("the microphone stood elsewhere", survey.Takes[0].Note);
    }

    [Fact]
    public void The_name_of_a_take_counts_even_where_the_file_is_missing() =>
        Assert.Equal(("sub-left", "sofa_2", "new"), Assert.Single(SurveyTexts.Read(With(Pattern, "[[take]]\nfile = \"takes/sub-left_sofa_2_new_1.wav\"\n")).Takes) is var take ? (take.SourceName, take.Seat, take.Setting) : default);

    [Fact]
    public void A_name_that_can_be_read_in_two_ways_is_a_fault_until_it_is_described()
    {
        var text = With("{source}_{seat}{setting}.wav").Replace("id = \"new\"", "id = \"_2new\"") + "[[setting]]\nid = \"new\"\n";
        Assert.Equal("survey.toml:2: sub-left_sofa_2new.wav can be read as sub-left / sofa / _2new and as sub-left / sofa_2 / new. Rename the file, or describe it in a [[take]] of its own.",
            SurveyTexts.FaultOf(text, "sub-left_sofa_2new.wav"));
        Assert.Equal("sofa", Assert.Single(SurveyTexts.Read(text + "[[take]]\nfile = \"sub-left_sofa_2new.wav\"\nsources = [\"sub-left\"]\nseat = \"sofa\"", "sub-left_sofa_2new.wav").Takes).Seat);
    }

    [Fact]
    public void Folders_may_carry_placeholders_too() =>
        Assert.Equal([("omni", "full", "sub-right", "sofa")], SurveyTexts.Read(With("takes/{seat}/{microphone}-{stimulus}-{source}.wav"), "takes/sofa/omni-full-sub-right.wav", "takes/sofa/deeper/omni-full-sub-right.wav")
            .Takes.Select(take => (take.Microphone, take.Stimulus!, take.SourceName, take.Seat)));

    [Theory]
    [InlineData("takes/{sorce}.wav", "the pattern has an unknown placeholder {sorce}. Did you mean `source`?")]
    [InlineData("takes/{seat}.wav", "the pattern has no {source}.")]
    [InlineData("takes/{source.wav", "the pattern has a { without a }.")]
    [InlineData("takes/source}.wav", "the pattern has a } without a {.")]
    [InlineData("takes/{source}_{source}.wav", "the pattern has {source} twice.")]
    [InlineData("../{source}.wav", "leaves the survey folder")]
    [InlineData("/takes/{source}.wav", "is absolute")]
    public void A_bad_pattern_is_a_fault(string pattern, string problem)
    {
        var message = SurveyTexts.FaultOf(With(pattern));
        Assert.StartsWith("survey.toml:2: ", message, StringComparison.Ordinal);
        Assert.Contains(problem, message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_take_found_by_name_that_lacks_a_seat_is_named() =>
        Assert.StartsWith("survey.toml:2: the take takes/sub-left.wav has no `seat`.", SurveyTexts.FaultOf(With("takes/{source}.wav"), "takes/sub-left.wav"), StringComparison.Ordinal);

    [Fact]
    public void A_folder_of_takes_that_is_not_there_yet_is_a_note() =>
        Assert.Equal("survey.toml:2: the folder takes of the takes pattern does not exist yet.", Assert.Single(SurveyTexts.Read(With(Pattern)).Notes));
}
