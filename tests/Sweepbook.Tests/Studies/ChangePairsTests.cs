// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>What may be compared with what, and what is said where it may not.</summary>
public sealed class ChangePairsTests
{
    private static readonly (int, double)[] Plain = [(480, 0.25)], Weaker = [(480, 0.125)];
    private const double HalfDb = -6.0206, Tolerance = 0.02;   // 20 lg 0.5; noise at −100 dB and 24 bits

    private static StudyComparison Compared(string beforeKeys, (int, double)[] after, string afterKeys, string beforeSeat = "sofa", string afterSeat = "sofa", string repeats = "")
    {
        using SmallSurvey one = new(), other = new();
        one.Add("a.wav", Plain, keys: beforeKeys, seat: beforeSeat);
        other.Add("b.wav", after, keys: afterKeys, seat: afterSeat, seed: 2);
        if (repeats.Length > 0)
        {
            one.Add("a2.wav", Plain, keys: beforeKeys, seat: beforeSeat, seed: 3);
            other.Add("b2.wav", after, keys: afterKeys, seat: afterSeat, seed: 4);
        }
        return StudyComparison.Of(Study.Of(one.Read()), Study.Of(other.Read()));
    }

    [Fact]
    public void Two_settings_of_one_survey_are_compared_when_there_are_just_two()
    {
        using var survey = new SmallSurvey(top: "", seat: "\n[[setting]]\nid = \"tuned\"");
        survey.Add("a.wav", Plain);
        survey.Add("b.wav", Weaker, keys: "setting = \"tuned\"", seed: 2);
        var study = Study.Of(survey.Read());
        var comparison = StudyComparison.Of(study, study).MicrophoneUntouched();
        Assert.Equal(("as-found", "tuned"), (comparison.BeforeSetting, comparison.AfterSetting));
        var levels = comparison.Changes.Where(row => row.Quantity == ChangedQuantity.Level).ToList();
        Assert.True(levels.Count > 20);
        Assert.All(levels, row => Assert.True(row.IsSignificant && Math.Abs(row.Difference - HalfDb) <= Tolerance, $"{row.Label} Hz: {row.Difference} dB"));
        Assert.All(levels, row => Assert.Equal("noise only", row.Basis));
        Assert.Contains("single takes: their limits hold noise only", comparison.Findings.Single(finding => finding.Id == "comparison-basis").Sentence);
        Assert.Contains("compared with itself in the setting \"tuned\"", Assert.Throws<ArgumentException>(() => StudyComparison.Of(study, study, "tuned", "tuned")).Message);
    }

    [Fact]
    public void Repeats_on_both_sides_are_said() => Assert.All(Compared("", Weaker, "", repeats: "two").Changes.Where(row => row.Quantity == ChangedQuantity.Level), row => Assert.Equal("repeats", row.Basis));

    [Fact]
    public void Another_input_gain_leaves_the_shape_alone_and_says_so()
    {
        var comparison = Compared("input_gain_db = 10.0", Weaker, "input_gain_db = 4.0");
        var rows = comparison.Changes.Where(row => row.Quantity is ChangedQuantity.Level or ChangedQuantity.Shape).ToList();
        Assert.All(rows, row => Assert.Equal(ChangedQuantity.Shape, row.Quantity));
        Assert.All(rows, row => Assert.InRange(row.Difference, -Tolerance, Tolerance));
        Assert.All(rows, row => Assert.InRange(row.TakenOff, HalfDb - Tolerance, HalfDb + Tolerance));
        Assert.StartsWith("Compared are \"Small\" of 18 October 2026 and \"Small\" of 18 October 2026: ", comparison.Findings[0].Sentence);
        Assert.Contains("the input gain was 10 dB before and 4 dB after", comparison.Findings[0].Sentence);
    }

    [Fact]
    public void A_gain_that_one_side_does_not_state_leaves_the_shape_alone() =>
        Assert.Contains("only the shape, because the input gain is stated on one side only", Compared("input_gain_db = 10.0", Weaker, "").Findings[0].Sentence);

    [Fact]
    public void A_seat_that_is_missing_after_is_named() => AssertNothing(Compared("", Plain, "", afterSeat: "chair"), "nothing was measured at sofa after");

    [Fact]
    public void Another_drive_is_not_compared() => AssertNothing(Compared("", Plain, "drive_db = 6.0"), "another drive: none stated before, 6 dB after");

    [Fact]
    public void Another_level_reference_leaves_the_shape_alone() =>
        Assert.Contains("only the shape, because levels are relative to the loopback before and relative to the stimulus after", Compared("", Plain, "time_zero = \"unknown\"").Findings[0].Sentence);

    private static void AssertNothing(StudyComparison comparison, string why)
    {
        Assert.Empty(comparison.Changes);
        Assert.Contains(comparison.NotCompared, row => row.Reason.StartsWith(why, StringComparison.Ordinal));
        Assert.StartsWith("Nothing could be compared", comparison.Findings[0].Sentence);
    }
}
