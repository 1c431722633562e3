// SPDX-License-Identifier: MIT
using System.Globalization;
using Microsoft.DotNet.Interactive.Formatting;
using Sweepbook.Rooms;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed class ExerciseTests
{
    private static readonly RectangularRoom Room = new(5.85, 4.30, 2.50, 20.5);

    /// <summary>Every exercise of the notebooks, on data whose mistakes all give different numbers.</summary>
    private static readonly (string Name, Func<Exercise> Make)[] Known =
    [
        ("Schroeder frequency", () => Exercise.SchroederFrequency(Room, 0.34)),
        ("lowest mode", () => Exercise.LowestMode(Room)),
    ];

    public static TheoryData<string> All => [.. Known.Select(known => known.Name)];

    private static Exercise Made(string name) => Known.Single(known => known.Name == name).Make();

    [Theory, MemberData(nameof(All))]
    public void The_right_number_is_right_and_means_something(string name)
    {
        var exercise = Made(name);
        var reply = exercise.Check(exercise.Wanted);
        Assert.Equal((ReplyKind.Right, exercise.Meaning), (reply.Kind, reply.Sentence));
        Assert.True(reply.IsRight);
        Assert.Equal(reply, exercise.Require(exercise.Wanted));
        Assert.EndsWith(".", reply.Sentence);
    }

    [Theory, MemberData(nameof(All))]
    public void The_right_number_in_another_unit_is_told_by_that_unit(string name)
    {
        var exercise = Made(name);
        foreach (var (words, number) in OtherUnits(exercise))
        {
            var reply = exercise.Check(number);
            Assert.Equal(ReplyKind.OtherUnit, reply.Kind);
            Assert.Contains(words, reply.Sentence);
            Assert.Contains(exercise.Unit, reply.Sentence);
        }
    }

    [Theory, MemberData(nameof(All))]
    public void A_reversed_sign_is_told(string name) =>
        Assert.Equal(ReplyKind.SignReversed, Made(name).Check(-Made(name).Wanted).Kind);

    [Theory, MemberData(nameof(All))]
    public void Every_usual_mistake_is_told_by_its_own_sentence(string name)
    {
        var exercise = Made(name);
        Assert.InRange(exercise.Mistakes.Count, 2, 8);
        foreach (var mistake in exercise.Mistakes)
            Assert.Equal((ReplyKind.UsualMistake, mistake.Sentence), (exercise.Check(mistake.Gives).Kind, exercise.Check(mistake.Gives).Sentence));
        Assert.Equal(exercise.Mistakes.Count, exercise.Mistakes.Select(mistake => mistake.Sentence).Distinct().Count());
    }

    [Theory, MemberData(nameof(All))]
    public void No_reply_to_a_wrong_number_holds_the_answer(string name)
    {
        var exercise = Made(name);
        var wrong = new[] { double.NaN, double.PositiveInfinity, -exercise.Wanted, exercise.Wanted * 17.3, 0 }
            .Concat(exercise.Mistakes.Select(mistake => mistake.Gives)).Concat(OtherUnits(exercise).Select(other => other.Number));
        foreach (var reply in wrong.Select(number => exercise.Check(number)))
        {
            Assert.False(reply.IsRight, reply.Sentence);
            foreach (var digits in new[] { "G2", "G3", "G4", "F0", "F1", "F2" }.Select(format => exercise.Wanted.ToString(format, CultureInfo.InvariantCulture)).Where(digits => digits.Length > 2))
                Assert.DoesNotContain(digits, reply.Sentence);
        }
        Assert.Equal((ReplyKind.NotYet, exercise.Hint), (exercise.Check(exercise.Wanted * 17.3).Kind, exercise.Check(exercise.Wanted * 17.3).Sentence));
    }

    [Fact]
    public void Without_an_answer_a_check_says_so_and_a_requirement_stops()
    {
        var exercise = Made("lowest mode");
        Assert.Equal(ReplyKind.NotAnswered, exercise.Check(default).Kind);
        Assert.Equal(ReplyKind.NotAnswered, exercise.Check(double.NaN).Kind);
        Assert.Contains("in hertz, in place of double.NaN", exercise.Check(double.NaN).Sentence);
        Assert.Contains("no answer yet", Assert.Throws<InvalidOperationException>(() => exercise.Require(double.NaN)).Message);
        Assert.Contains("58.8", Assert.Throws<InvalidOperationException>(() => exercise.Require(58.8)).Message);
    }

    [Fact]
    public void A_mistake_in_another_unit_is_told_as_both()
    {
        var exercise = Made("lowest mode");
        var reply = exercise.Check(2 * exercise.Wanted / 1000);
        Assert.Equal(ReplyKind.UsualMistake, reply.Kind);
        Assert.Contains("kilohertz", reply.Sentence);
        Assert.Contains(exercise.Mistakes[0].Sentence, reply.Sentence);
    }

    [Fact]
    public void An_answer_is_judged_within_one_per_cent_or_a_number_of_decibels()
    {
        var exercise = Made("lowest mode");
        Assert.True(exercise.Check(exercise.Wanted * 1.0099).IsRight);
        Assert.False(exercise.Check(exercise.Wanted * 1.0101).IsRight);
        var level = new Exercise("The level", -60, AnswerUnit.Decibels, 0.1, "Think.", "Yes.", new Mistake(-1, "One."));
        Assert.True(level.Check(-60.09).IsRight);
        Assert.False(level.Check(-60.11).IsRight);
        Assert.Equal(ReplyKind.UsualMistake, level.Check(-1.09).Kind);
        Assert.Equal(ReplyKind.OtherUnit, level.Check(0.001).Kind);
        Assert.Equal(ReplyKind.OtherUnit, level.Check(0.000001).Kind);
    }

    [Fact]
    public void Data_that_cannot_tell_judge_nobody()
    {
        var exercise = new Exercise("The decay time", double.NaN, AnswerUnit.Seconds, 0.02, "Think.", "Yes.", []);
        Assert.Equal(ReplyKind.CannotTell, exercise.Check(0.4).Kind);
        Assert.Throws<InvalidOperationException>(() => exercise.Require(0.4));
    }

    [Fact]
    public void A_reply_shows_itself_as_a_sentence_with_its_kind_in_words()
    {
        NotebookSetup.RegisterFormatters();
        var reply = new Reply(ReplyKind.UsualMistake, "Upside down: a < b & c.");
        Assert.Equal("A usual slip. Upside down: a < b & c.", reply.ToString());
        Assert.Contains("<strong>A usual slip.</strong> Upside down: a &lt; b &amp; c.</p>", reply.ToHtml());
        Assert.Equal(reply.ToHtml(), reply.ToDisplayString(HtmlFormatter.MimeType));
        Assert.Equal(reply.ToString(), reply.ToDisplayString(PlainTextFormatter.MimeType));
        Assert.Equal([HtmlFormatter.MimeType, PlainTextFormatter.MimeType], Formatter.GetPreferredMimeTypesFor(typeof(Reply)));
        Assert.Equal("Your turn.", default(Reply).ToString());
        var kinds = Enum.GetValues<ReplyKind>().Select(kind => new Reply(kind, "")).ToArray();
        Assert.Equal(kinds.Length, kinds.Select(kind => kind.Lead).Distinct().Count());
    }

    private static IEnumerable<(string Words, double Number)> OtherUnits(Exercise exercise) => exercise.Unit switch
    {
        "seconds" => [("milliseconds", exercise.Wanted * 1000), ("microseconds", exercise.Wanted * 1e6)],
        "milliseconds" => [("seconds", exercise.Wanted / 1000), ("microseconds", exercise.Wanted * 1000)],
        "hertz" => [("kilohertz", exercise.Wanted / 1000), ("radians per second", exercise.Wanted * 2 * Math.PI)],
        "metres" => [("centimetres", exercise.Wanted * 100), ("millimetres", exercise.Wanted * 1000), ("feet", exercise.Wanted / 0.3048)],
        "decibels" => [("pressures", Math.Pow(10, exercise.Wanted / 20)), ("powers", Math.Pow(10, exercise.Wanted / 10))],
        _ => throw new InvalidOperationException($"No other units listed for {exercise.Unit}."),
    };
}
