// SPDX-License-Identifier: MIT
using System.Globalization;
using Microsoft.DotNet.Interactive.Formatting;
using Sweepbook.Decay;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Rooms;
using Sweepbook.Stimuli;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Notebook.Tests;

public sealed partial class ExerciseTests
{
    private static readonly RectangularRoom Room = new(5.85, 4.30, 2.50, 20.5);

    /// <summary>Every exercise of the notebooks, on data whose mistakes all give different numbers.</summary>
    private static readonly (string Name, Func<Exercise> Make)[] Known =
    [
        ("Schroeder frequency", () => Exercise.SchroederFrequency(Room, 0.34)),
        ("lowest mode", () => Exercise.LowestMode(Room)),
        ("decay time by hand", () => Exercise.DecayTimeByHand(Decaying)),
        ("shortest decay", () => Exercise.ShortestDecay(FrequencyBand.ThirdOctaveAt(63))),
        ("finest detail", () => Exercise.FinestDetail(Map)),
        ("decay of a ridge", () => Exercise.DecayOfRidge(Map, new(40, 0, 0.6, 0.02, 30, 0.5, default))),
        ("power mean", () => Exercise.PowerMean(SyntheticSeats.OfLevels(-4.2, -16.7, -6.9, 2.1, 1.2), 40)),
        ("spread", () => Exercise.Spread(SyntheticSeats.OfLevels(-4.2, -16.7, -6.9, 2.1, 1.2), 40)),
        ("first cancellation", () => Exercise.FirstCancellation(4.2)),
        ("sweep length", () => Exercise.SweepLengthFor(Sweep, 8)),
        ("harmonic lead", () => Exercise.HarmonicLead(Sweep, 3)),
        ("listening time", () => Exercise.ListeningTime(95.5)),
        ("distance", () => Exercise.Distance(19.5, 11, 20.5)),
        ("phase of a delay", () => Exercise.PhaseOfDelay(-6.5, 95)),
        ("window", () => Exercise.WindowFor(80)),
        ("sound pressure", () => Exercise.SoundPressure(114)),
        ("signal to noise", () => Exercise.SignalToNoise(36.1)),
        ("headroom at a cone", () => Exercise.HeadroomAtCone(126, 95, 0.0215)),
        ("offset of sensitivities", () => Exercise.SensitivityOffset(-22.4, -26.3)),
        ("matched deviation", () => Exercise.MatchedDeviation(6.7, 3.6)),
        ("combined uncertainty", () => Exercise.CombinedUncertainty(0.9, 0.6, 2)),
        ("port factor", () => Exercise.PortFactor(0.0215, 0.0055)),
        ("loss with distance", () => Exercise.LossWithDistance(0.025, 0.083)),
        ("far from near", () => Exercise.FarFromNear(0.083, 1.2, FieldSpace.Full)),
        ("lowest of a gate", () => Exercise.LowestOfGate(2.6, 1.2, 18.5)),
    ];

    private static SweepDesign Sweep => SweepDesign.Of(new() { StartHz = 10, EndHz = 22_000, SweepSeconds = 3 });

    private static BandDecay Decaying => DecayFigureTests.Response(-65).Decays(FrequencyBand.Octaves(1000, 1000))[0];

    /// <summary>A resonance at 40 Hz that takes 0.6 s, through a window of 0.4 s.</summary>
    private static DecayMap Map => DecayMap.Cumulative(
        new([.. Enumerable.Range(0, 4000).Select(n => Math.Sin(2 * Math.PI * 40 * n / 2000) * Math.Pow(10, -3 * n / (0.6 * 2000)))], 2000, 0, TimeZero.Stated, TimeGroup.None, "synthetic"),
        20, 120, windowSeconds: 0.4);

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
        foreach (var mistake in exercise.Mistakes)   // their numbers differ from each other and from the answer
            Assert.Equal((ReplyKind.UsualMistake, mistake.Sentence), (exercise.Check(mistake.Gives).Kind, exercise.Check(mistake.Gives).Sentence));
        Assert.Equal(exercise.Mistakes.Count, exercise.Mistakes.Select(mistake => mistake.Sentence).Distinct().Count());
    }

    [Theory, MemberData(nameof(All))]
    public void No_reply_to_a_wrong_number_holds_the_answer(string name)
    {
        var exercise = Made(name);
        var wrong = new[] { double.NaN, double.PositiveInfinity, -exercise.Wanted, exercise.Wanted * 23.7, 0 }
            .Concat(exercise.Mistakes.Select(mistake => mistake.Gives)).Concat(OtherUnits(exercise).Select(other => other.Number));
        foreach (var reply in wrong.Select(number => exercise.Check(number)))
        {
            Assert.False(reply.IsRight, reply.Sentence);
            foreach (var digits in new[] { "G2", "G3", "G4", "F0", "F1", "F2" }.Select(format => exercise.Wanted.ToString(format, CultureInfo.InvariantCulture)).Where(digits => digits.Length > 2))
                Assert.DoesNotContain(digits, reply.Sentence);
        }
        Assert.Equal((ReplyKind.NotYet, exercise.Hint), (exercise.Check(exercise.Wanted * 23.7).Kind, exercise.Check(exercise.Wanted * 23.7).Sentence));
    }

    [Fact]
    public void The_decay_time_by_hand_is_near_T20_or_told_from_it_and_an_arbitrary_curve_that_ends_early_cannot_tell()
    {
        const int Uneven = 1;   // a seed whose narrow band ripples, so that two points are not all
        const double ByHand = 0.05;   // two points in place of all: a noise-like decay of B · T = 350 strays by a few per cent
        Assert.Equal(Decaying.T20.Value, Exercise.DecayTimeByHand(Decaying).Wanted, Decaying.T20.Value * ByHand);
        var early = DecayFigureTests.Response(-12).Decays(FrequencyBand.Octaves(1000, 1000))[0];
        var t20 = Exercise.DecayTimeByHand(DecayFigureTests.Response(-65, Uneven).Decays(FrequencyBand.Octaves(125, 125))[0]);
        Assert.Contains(t20.Mistakes, mistake => mistake.Sentence.StartsWith("That is T20"));
        Assert.Equal(ReplyKind.CannotTell, Exercise.DecayTimeByHand(early).Check(0.5).Kind);
    }

    [Fact]
    public void Arguments_that_make_no_exercise_are_refused()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.FirstCancellation(0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.FirstCancellation(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.PowerMean(SyntheticSeats.OfLevels(0, 1, 2), 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.Spread(SyntheticSeats.OfLevels(0, 1, 2), -1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.SchroederFrequency(Room, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.SweepLengthFor(Sweep, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.HarmonicLead(Sweep, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.ListeningTime(85));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.Distance(10, 10, 20));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.Distance(10, -1, 20));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.PhaseOfDelay(0, 95));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.PhaseOfDelay(1, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.WindowFor(double.PositiveInfinity));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.SoundPressure(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.SignalToNoise(double.NegativeInfinity));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.HeadroomAtCone(126, 95, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.HeadroomAtCone(double.NaN, 95, 0.0215));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.SensitivityOffset(-20, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.MatchedDeviation(double.NaN, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.CombinedUncertainty(1, -0.1));
        Assert.Throws<ArgumentException>(() => Exercise.CombinedUncertainty(1));
        Assert.Throws<ArgumentOutOfRangeException>("portAreaSquareMetres", () => Exercise.PortFactor(0.02, 0));
        Assert.Throws<ArgumentOutOfRangeException>("radiusMetres", () => Exercise.LossWithDistance(0.01, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>("space", () => Exercise.FarFromNear(0.1, 1, (FieldSpace)7));
        Assert.Throws<ArgumentOutOfRangeException>("heightMetres", () => Exercise.LowestOfGate(-1, 1, 20));
        Assert.Equal(ReplyKind.CannotTell, Exercise.HarmonicLead(Sweep.As(SweepKind.Linear), 2).Check(0.4).Kind);
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
        Assert.StartsWith("Read in kilohertz: ", reply.Sentence);
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
        "minutes" => [("hours", exercise.Wanted / 60), ("seconds", exercise.Wanted * 60)],
        "hertz" => [("kilohertz", exercise.Wanted / 1000), ("radians per second", exercise.Wanted * 2 * Math.PI)],
        "pascals" => [("millipascals", exercise.Wanted * 1000), ("micropascals", exercise.Wanted * 1e6), ("microbars", exercise.Wanted * 10)],
        "degrees" => [("radians", exercise.Wanted * Math.PI / 180), ("whole turns", exercise.Wanted / 360)],
        "metres" => [("centimetres", exercise.Wanted * 100), ("millimetres", exercise.Wanted * 1000), ("feet", exercise.Wanted / 0.3048)],
        "decibels" => [("pressures", Math.Pow(10, exercise.Wanted / 20)), ("powers", Math.Pow(10, exercise.Wanted / 10)), ("per cent", 100 * Math.Pow(10, exercise.Wanted / 20)), ("nepers", exercise.Wanted * Math.Log(10) / 20)],
        _ => throw new InvalidOperationException($"No other units listed for {exercise.Unit}."),
    };
}
