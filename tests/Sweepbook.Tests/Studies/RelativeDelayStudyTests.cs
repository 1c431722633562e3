// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Takes whose responses are single samples: the delay between two of them is known exactly, 48 samples being a millisecond.</summary>
public sealed class RelativeDelayStudyTests
{
    private const string Second = "\n[[source]]\nid = \"sub-rear\"\nkind = \"subwoofer\"\n";
    private const double Microsecond = 1e-6;   // noise 70 dB below the sweep leaves far less over ten octaves

    [Fact]
    public void Every_source_is_compared_with_the_first_subwoofer_and_the_sentence_says_so()
    {
        using var survey = new SmallSurvey(source: Second);
        survey.Add("main.wav", [(300, 0.2)]);
        survey.Add("front.wav", [(480, 0.2)], source: "sub", seed: 2);
        survey.Add("rear.wav", [(480 + 164, -0.1)], source: "sub-rear", seed: 3);
        var study = Study.Of(survey.Read());
        Assert.Equal([("main", "sub-rear"), ("sub", "sub-rear")], study.RelativeDelays.Select(entry => (entry.Source, entry.ComparedWith)));   // sub-rear is declared first
        var (main, front) = (study.RelativeDelays[0].Delay!.Value, study.RelativeDelays[1].Delay!.Value);
        Assert.Equal((300 - 644) / 48_000.0, main.Seconds, Microsecond);
        Assert.Equal((480 - 644) / 48_000.0, front.Seconds, Microsecond);
        Assert.Equal("opposite", front.PolarityInWords);
        Assert.True(front.IsPureDelay);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "relative-delay");
        Assert.StartsWith("sub arrives 3.42 ms earlier than sub-rear at sofa (± 0.00 ms, from the phase between them from ", finding.Sentence, StringComparison.Ordinal);
        Assert.EndsWith("opposite polarity.", finding.Sentence, StringComparison.Ordinal);
        Assert.Equal(Severity.Caution, finding.Severity);
        Assert.All(study.Takes.Where(take => take.Take.SourceName != "main"), take => Assert.Null(take.Arrival));   // a subwoofer has no arrival, and so no distance
    }

    [Fact]
    public void Where_a_take_has_no_time_zero_or_another_one_the_row_says_why_and_nothing_else()
    {
        using var survey = new SmallSurvey(source: Second);
        survey.Add("front.wav", [(480, 0.2)], source: "sub");
        survey.Add("rear.wav", [(644, 0.1)], source: "sub-rear", keys: "time_zero = \"unknown\"", seed: 3);
        survey.Add("front2.wav", [(480, 0.2)], source: "sub", seat: "chair", seed: 4);
        survey.Add("rear2.wav", [(644, 0.1)], source: "sub-rear", seat: "chair", keys: "time_group = \"evening\"", seed: 5);
        var study = Study.Of(survey.Read());
        Assert.All(study.RelativeDelays, entry => Assert.Null(entry.Delay));
        Assert.Contains("No time zero is known of sub-rear", study.RelativeDelays[0].WhyNot, StringComparison.Ordinal);
        Assert.Contains("\"loopback\" and \"loopback/evening\"", study.RelativeDelays[1].WhyNot, StringComparison.Ordinal);
        Assert.Equal(study.RelativeDelays[1].WhyNot, Assert.Throws<ArgumentException>(() => study.Response("sub", "chair").DelayAfter(study.Response("sub-rear", "chair"))).Message.Split(" (Parameter")[0]);
        var folder = Directory.CreateTempSubdirectory("sweepbook-test-").FullName;
        try
        {
            study.WriteTables(folder);
            var rows = File.ReadAllLines(Path.Combine(folder, "delays.csv"));
            Assert.StartsWith("sub,sub-rear,as-found,sofa,omni,,,,,,,,,", rows[1], StringComparison.Ordinal);
            var bands = File.ReadAllLines(Path.Combine(folder, "trusted-bands.csv"));
            Assert.EndsWith(",,", Assert.Single(bands, row => row.StartsWith("sub-rear,as-found,sofa", StringComparison.Ordinal)), StringComparison.Ordinal);   // no phase band
            var columns = File.ReadLines(Path.Combine(folder, "responses.csv")).First().Split(',').ToList();
            var unknown = File.ReadLines(Path.Combine(folder, "responses.csv")).Where(row => row.StartsWith("sub-rear,as-found,sofa", StringComparison.Ordinal)).Select(row => row.Split(',')).ToList();
            Assert.NotEmpty(unknown);
            Assert.All(unknown, row => Assert.Equal(("", "false"), (row[columns.IndexOf("phase_deg")], row[columns.IndexOf("trusted_phase")])));
            var takes = File.ReadAllLines(Path.Combine(folder, "takes.csv"));
            var names = takes[0].Split(',').ToList();
            Assert.Equal("", takes.Single(row => row.Contains("rear.wav", StringComparison.Ordinal)).Split(',')[names.IndexOf("arrival_ms")]);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void A_delay_that_the_room_and_the_processor_do_not_allow_is_not_given()
    {
        const string Room = "[room]\nlength_m = 5.0\nwidth_m = 4.0\nheight_m = 2.5\n[processor]\ndelay_max_ms = 10.0\n";   // √47.25 m / 343.2 m/s are 20.0 ms
        using var survey = new SmallSurvey(source: Second, top: Room);
        survey.Add("front.wav", [(480, 0.2)], source: "sub");
        survey.Add("rear.wav", [(480 + 4_800, 0.1)], source: "sub-rear", seed: 3);
        survey.Add("front2.wav", [(480, 0.2)], source: "sub", seat: "chair", seed: 4);
        survey.Add("rear2.wav", [(480 + 1_400, 0.1)], source: "sub-rear", seat: "chair", seed: 5);
        var study = Study.Of(survey.Read());
        Assert.Null(study.RelativeDelays[0].Delay);
        Assert.Equal("The phase says -100.0 ms, but the room's diagonal and the processor's longest delay leave 30.0 ms at most. Check the room's size, or look at the sum of the two.", study.RelativeDelays[0].WhyNot);
        Assert.Equal(-1_400 / 48_000.0, study.RelativeDelays[1].Delay!.Value.Seconds, Microsecond);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "relative-delay");
        Assert.Contains("at chair", finding.Sentence, StringComparison.Ordinal);
        Assert.EndsWith(" At 1 seat no delay can be believed; delays.csv says why.", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_room_that_turns_one_of_two_subwoofers_inside_out_leaves_no_delay_and_one_sentence_says_what_to_do()
    {
        using var survey = new SmallSurvey(source: Second);
        survey.Add("front.wav", [(480, 0.2)], source: "sub");
        survey.Add("rear.wav", [(500, 0.1), (620, 0.1), (900, -0.15), (1_700, 0.2)], source: "sub-rear", seed: 3);
        var study = Study.Of(survey.Read());
        var entry = Assert.Single(study.RelativeDelays);
        Assert.Null(entry.Delay);
        Assert.True(entry.ResidualDegrees > 25);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "relative-delay");
        Assert.StartsWith("No delay of sub after sub-rear can be believed at sofa. ", finding.Sentence, StringComparison.Ordinal);
        Assert.EndsWith("look at their sum, or measure each at 1 m.", finding.Sentence, StringComparison.Ordinal);
        Assert.Contains("° of phase left", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void Time_groups_that_part_the_takes_of_one_seat_are_a_caution()
    {
        using var survey = new SmallSurvey();
        survey.Add("a.wav", [(300, 0.2)]);
        survey.Add("b.wav", [(300, 0.2)], keys: "time_group = \"evening\"", seat: "chair", seed: 2);
        var apart = Study.Of(survey.Read()).Findings.Single(finding => finding.Id == "time-zero");
        Assert.Equal((Severity.Note, "At each of the 2 seats the takes share one time zero (loopback): responses of one seat may be added as complex numbers; those of different seats may not."), (apart.Severity, apart.Sentence));
        survey.Add("c.wav", [(300, 0.2)], seat: "chair", seed: 3, keys: "drive_db = -6.0");
        var mixed = Study.Of(survey.Read()).Findings.Single(finding => finding.Id == "time-zero");
        Assert.Equal((Severity.Caution, "The takes fall into 2 time groups; only responses of one group may be added as complex numbers."), (mixed.Severity, mixed.Sentence));
    }

    [Fact]
    public void A_first_swing_as_large_as_the_next_is_of_ambiguous_polarity()
    {
        using var survey = new SmallSurvey();
        survey.Add("main.wav", [(300, 0.2), (312, -0.19)]);
        survey.Add("clear.wav", [(300, -0.2)], seat: "chair");
        var study = Study.Of(survey.Read());
        Assert.Equal(["ambiguous", "negative"], study.Takes.Select(take => take.Arrival!.Value.PolarityInWords));
        Assert.Contains("1 of 2 takes", Assert.Single(study.Findings, finding => finding.Id == "polarity-ambiguous").Sentence, StringComparison.Ordinal);
    }
}
