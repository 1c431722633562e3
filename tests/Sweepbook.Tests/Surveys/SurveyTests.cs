// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Surveys;

public sealed class SurveyTests
{
    [Fact]
    public void Every_key_of_the_format_is_carried()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Whole);
        Assert.Equal(("Canal house den", new DateOnly(2026, 10, 18)), (survey.Title, survey.Date));
        Assert.Equal(new Room(5.62, 4.08, 2.44, 21.5), survey.Room);
        Assert.Equal(new Processor(0.1, 20, 0.5, 8), survey.Processor);
        Assert.Equal(("full", "stimuli/full.toml", Path.Combine(survey.Folder, "stimuli", "full.toml")), (survey.Stimuli[0].Id, survey.Stimuli[0].File, survey.Stimuli[0].Path));
        var first = survey.Microphone("omni-1");
        Assert.Equal((CalibrationSign.Correction, 5, 20_000, 2, 128), (first.CalibrationSign, first.LowestHz, first.HighestHz, first.ToleranceDb, first.MaxSplDb));
        Assert.Equal((new DateOnly(2024, 3, 2), -31.4, 24, 18, true), (first.CalibratedOn, first.SensitivityDbfsAt94Db, first.InputGainDb, first.NoiseDba, first.IsReference));
        Assert.Equal(("microphones/omni-1.txt", null), (first.Calibrations[0].File, first.Calibrations[0].AngleDeg));
        Assert.Equal([(0.0, "microphones/a.txt"), (90, "microphones/b.txt")], survey.Microphone("omni-2").Calibrations.Select(file => (file.AngleDeg!.Value, file.File)));
        Assert.Equal((SourceKind.Subwoofer, new Position(0.4, 0.45, 0.2), "sub-a"), (survey.Sources[0].Kind, survey.Sources[0].Position, survey.Sources[0].CandidateOf));
        Assert.Equal((SourceKind.Cone, 330, 2, "box-1"), (survey.Source("cone").Kind, survey.Source("cone").AreaCm2, survey.Source("cone").Count, survey.Source("cone").PartOf));
        Assert.Equal(25 * Math.PI, survey.Source("port").AreaCm2!.Value, 1e-12);   // a circle of 10 cm
        Assert.Equal((new Position(3.9, 2.04, 1.05), 2.0), (survey.Seat("sofa-centre").Position, survey.Seat("sofa-centre").Weight));
        Assert.Equal(1, survey.Seat("chair").Weight);
        Assert.Empty(survey.Notes);
    }

    [Fact]
    public void A_setting_holds_its_adjustments_by_source()
    {
        var setting = SurveyTexts.Read(SurveyTexts.Whole).Setting("corrected");
        Assert.Equal("delay and filters entered", setting.Note);
        Assert.Equal(new Dictionary<string, double> { ["sub-left"] = -3, ["cone"] = -3, ["port"] = -3 }, setting.GainDb);
        Assert.Equal(new Dictionary<string, double> { ["sub-left"] = 4.2 }, setting.DelayMs);
        Assert.Equal(["sub-left"], setting.InvertedSources);
        Assert.Equal([new() { Kind = FilterKind.Peak, FrequencyHz = 43, GainDb = -6, Q = 5 }, new() { Kind = FilterKind.AllPass, FrequencyHz = 80, Q = Math.Sqrt(0.5) }], setting.Filters["port"]);
    }

    [Fact]
    public void Takes_have_their_own_values_over_the_defaults()
    {
        var takes = SurveyTexts.Read(SurveyTexts.Whole).Takes;
        Assert.Equal(["takes/one.wav", "takes/two.wav", "takes/three.wav", "takes/clap.wav"], takes.Select(take => take.File));
        var (one, two, three, clap) = (takes[0], takes[1], takes[2], takes[3]);
        Assert.Equal(("sub-left", "sofa-centre", "corrected", "omni-1", 1, 2, "full"), (one.SourceName, one.Seat, one.Setting, one.Microphone, one.MicrophoneChannel, one.ReferenceChannel, one.Stimulus));
        Assert.Equal((TimeZero.Loopback, new TimeGroup("loopback"), SoundField.Room), (one.TimeZero, one.TimeGroup, one.Field));
        Assert.Equal((20, -6, false, "door was open </script><b>", new DateTime(2026, 10, 18, 20, 15, 0)), (one.InputGainDb, one.DriveDb, one.Use, one.Note, one.RecordedAt));
        Assert.Equal(("sub-left+cone", "as-found", "omni-2", 3, null), (two.SourceName, two.Setting, two.Microphone, two.MicrophoneChannel, two.ReferenceChannel));
        Assert.Equal((TimeZero.Marker, new TimeGroup("marker/evening")), (two.TimeZero, two.TimeGroup));
        Assert.Equal((SoundField.Near, 5, 0, TimeZero.Unknown, TimeGroup.None, ""), (three.Field, three.DistanceMm, three.AngleDeg, three.TimeZero, three.TimeGroup, three.Seat));
        Assert.Equal((true, 0.25, null, null, TimeZero.Stated), (clap.IsImpulse, clap.TimeZeroSeconds, clap.Stimulus, clap.ReferenceChannel, clap.TimeZero));
        Assert.Equal(SurveyTexts.Whole.Split('\n').Index().Where(line => line.Item == "[[take]]").Select(line => line.Index + 1), takes.Select(take => take.Line));
    }

    [Fact]
    public void A_survey_of_some_takes_only_keeps_everything_else()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Whole);
        var part = survey.Only([survey.Takes[2], survey.Takes[0]]);
        Assert.Equal(["takes/three.wav", "takes/one.wav"], part.Takes.Select(take => take.File));
        Assert.Equal((survey.Folder, survey.Title, survey.Date, survey.Room, survey.Processor), (part.Folder, part.Title, part.Date, part.Room, part.Processor));
        Assert.Equal((survey.Stimuli, survey.Microphones, survey.Sources, survey.Seats, survey.Settings, survey.Notes), (part.Stimuli, part.Microphones, part.Sources, part.Seats, part.Settings, part.Notes));
        Assert.Throws<ArgumentException>("takes", () => part.Only(survey.Takes));
    }

    [Fact]
    public void The_smallest_survey_has_the_defaults_of_the_design()
    {
        var survey = SurveyTexts.Read(SurveyTexts.Plain + "[[take]]\nfile = \"a.wav\"\nsources = [\"sub-left\"]\nseat = \"sofa\"");
        var take = Assert.Single(survey.Takes);
        Assert.StartsWith("sweepbook-survey-", survey.Title, StringComparison.Ordinal);
        Assert.Equal(("as-found", "omni", 1, null, "full"), (take.Setting, take.Microphone, take.MicrophoneChannel, take.ReferenceChannel, take.Stimulus));
        Assert.Equal((TimeZero.Unknown, TimeGroup.None, SoundField.Room, true, false), (take.TimeZero, take.TimeGroup, take.Field, take.Use, take.IsImpulse));
        Assert.Equal(["as-found", "new"], survey.Settings.Select(setting => setting.Id));
        Assert.Equal(CalibrationSign.Response, survey.Microphones[0].CalibrationSign);
        Assert.Null(survey.Room);
    }

    [Theory]
    [InlineData("time_zero = \"loopback\"\nreference_channel = 2", "loopback")]
    [InlineData("reference_channel = 2", "loopback")]
    [InlineData("time_zero = \"loopback\"\nreference_channel = 2\ntime_group = \"second-day\"", "loopback/second-day")]
    [InlineData("time_zero = \"marker\"", "marker@sofa")]
    [InlineData("time_zero = \"marker\"\ntime_group = \"loopback\"", "marker/loopback")]
    [InlineData("time_zero = \"unknown\"", null)]
    [InlineData("impulse = true", null)]
    [InlineData("impulse = true\ntime_zero_s = 0.1", null)]
    [InlineData("impulse = true\ntime_zero_s = 0.1\ntime_group = \"loopback\"", "stated/loopback")]
    public void Only_takes_whose_time_zeros_are_the_same_share_a_group(string keys, string? group) =>
        Assert.Equal(new TimeGroup(group), SurveyTexts.Read(SurveyTexts.Plain + "[[take]]\nfile = \"a.wav\"\nsources = [\"sub-left\"]\nseat = \"sofa\"\n" + keys).Takes[0].TimeGroup);

    [Fact]
    public void Takes_that_agree_in_everything_but_the_file_are_repeats()
    {
        const string Take = "[[take]]\nfile = \"{0}.wav\"\nsources = [\"sub-left\"]\nseat = \"sofa\"\n";
        var takes = SurveyTexts.Read(SurveyTexts.Plain + Take.Replace("{0}", "a") + Take.Replace("{0}", "b") + "note = \"again\"\n" + Take.Replace("{0}", "c") + "drive_db = -10\n"
            + Take.Replace("{0}", "d") + "setting = \"new\"\n" + Take.Replace("{0}", "e") + "microphone_channel = 2\n").Takes;
        Assert.Equal(takes[0].RepeatKey, takes[1].RepeatKey);
        Assert.Equal(4, takes.Select(take => take.RepeatKey).Distinct().Count());
    }

    [Fact]
    public void A_seat_outside_the_room_is_a_note_and_no_fault()
    {
        var survey = SurveyTexts.Read("format = 1\n[room]\nlength_m = 4\nwidth_m = 3\nheight_m = 2.5\n[[seat]]\nid = \"sofa\"\nposition_m = [1, 3.5, 1]");
        Assert.StartsWith("survey.toml:6: the seat sofa stands outside the room.", Assert.Single(survey.Notes), StringComparison.Ordinal);
    }

    [Fact]
    public void Looking_up_what_is_not_there_names_the_nearest() =>
        Assert.Contains("Did you mean `sub-left`?", Assert.Throws<ArgumentException>(() => SurveyTexts.Read(SurveyTexts.Plain).Source("sub-lfet")).Message, StringComparison.Ordinal);
}
