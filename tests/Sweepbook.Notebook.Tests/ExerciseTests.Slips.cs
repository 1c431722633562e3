// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>The slips that may happen in any exercise, and the numbers at the edge.</summary>
public sealed partial class ExerciseTests
{
    private static Exercise Plain(double wanted, AnswerUnit? unit = null, params Mistake[] mistakes) => new("The answer", wanted, unit ?? AnswerUnit.Metres, 0.01, "Think.", "Yes.", mistakes);

    private static Exercise Level(double wanted) => Plain(wanted, AnswerUnit.Decibels);

    [Theory]
    [InlineData(7)]
    [InlineData(1.75)]
    [InlineData(-7)]
    [InlineData(-1.75)]
    public void A_factor_of_two_is_told_without_its_direction(double number)
    {
        var reply = Plain(3.5).Check(number);
        Assert.Equal(ReplyKind.UsualMistake, reply.Kind);
        Assert.StartsWith("A factor of two went astray: half a period or a whole one", reply.Sentence);
    }

    [Theory]
    [InlineData(35)]
    [InlineData(0.35)]
    [InlineData(0.0035)]
    [InlineData(3.5e6)]
    public void A_wrong_power_of_ten_is_told(double number)
    {
        Assert.Equal(ReplyKind.UsualMistake, Plain(3.5).Check(number).Kind);
        Assert.StartsWith("The digits are right, the decimal point is not.", Plain(3.5).Check(number).Sentence);
    }

    [Theory]
    [InlineData(-24.8, "10 lg and 20 lg")]
    [InlineData(-6.2, "10 lg and 20 lg")]
    [InlineData(6.2, "10 lg and 20 lg")]
    [InlineData(-28.552, "natural logarithm")]   // −12.4 · ln 10
    [InlineData(-18.42, "6 dB, a factor of two in a pressure")]
    [InlineData(-6.38, "6 dB, a factor of two in a pressure")]
    [InlineData(-9.39, "3 dB, a factor of two in a power")]
    public void Slips_with_decibels_are_told(double number, string words)
    {
        Assert.Equal(ReplyKind.UsualMistake, Level(-12.4).Check(number).Kind);
        Assert.Contains(words, Level(-12.4).Check(number).Sentence);
    }

    [Fact]
    public void A_mistake_of_the_exercise_itself_goes_before_those_of_any()
    {
        Assert.Equal("Its own.", Plain(3.5, null, new Mistake(7, "Its own.")).Check(7).Sentence);
        Assert.Equal(ReplyKind.OtherUnit, Plain(3.5).Check(350).Kind);   // centimetres, and not a power of ten
    }

    [Theory, MemberData(nameof(All))]
    public void What_is_no_number_or_far_away_gets_a_reply_that_helps(string name)
    {
        var exercise = Made(name);
        foreach (var number in new[] { double.PositiveInfinity, double.NegativeInfinity })
            Assert.Equal((ReplyKind.NotYet, true), (exercise.Check(number).Kind, exercise.Check(number).Sentence.Contains("divided by zero")));
        Assert.Equal((ReplyKind.NotYet, true), (exercise.Check(0).Kind, exercise.Check(0).Sentence.Contains("1/2 is 0")));
        foreach (var number in new[] { 1e300, -1e300, double.Epsilon }) Assert.Equal((ReplyKind.NotYet, exercise.Hint), (exercise.Check(number).Kind, exercise.Check(number).Sentence));
    }

    [Fact]
    public void An_answer_of_zero_can_be_given()
    {
        Assert.True(Level(0).Check(0).IsRight);
        Assert.True(Level(0).Check(-0.005).IsRight);
        Assert.Equal(ReplyKind.OtherUnit, Level(0).Check(1).Kind);   // as a ratio
        Assert.True(Plain(0).Check(0).IsRight);
        Assert.Equal(ReplyKind.NotYet, Plain(0).Check(0.1).Kind);
    }

    [Fact]
    public void Of_two_mistakes_that_lie_close_together_the_nearer_one_is_told()
    {
        var exercise = Plain(3.5, null, new Mistake(5.00, "One."), new Mistake(5.04, "Other."));
        Assert.Equal("One.", exercise.Check(5.01).Sentence);
        Assert.Equal("Other.", exercise.Check(5.03).Sentence);
    }

    [Fact]
    public void A_mistake_that_gives_the_right_number_or_none_is_never_told()
    {
        var exercise = Plain(3.5, null, new Mistake(3.51, "Right all the same."), new Mistake(double.NaN, "None."));
        Assert.DoesNotContain(exercise.Mistakes, mistake => mistake.Sentence == "Right all the same.");
        Assert.True(exercise.Check(3.51).IsRight);
        Assert.Equal("Think.", exercise.Check(23.7 * 3.5).Sentence);
    }
}
