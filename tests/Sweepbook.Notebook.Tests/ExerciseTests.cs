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

public sealed class ExerciseTests
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
        ("headroom at a cone", () => Exercise.HeadroomAtCone(126, 95, 215)),
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

    // each worked out apart from the code, with a pocket calculator and the formula that the exercise names
    [Theory]
    [InlineData("Schroeder frequency", 147.06)]      // 2000 √(0.34 / (5.85 · 4.30 · 2.50))
    [InlineData("lowest mode", 29.36)]              // 343.52 / (2 · 5.85)
    [InlineData("shortest decay", 0.27472)]          // 4 / (63.096 · (10^0.05 − 10^−0.05))
    [InlineData("finest detail", 2.5)]              // 1 / 0.4
    [InlineData("decay of a ridge", 0.6)]
    [InlineData("power mean", -2.8488)]              // 10 lg((10^−0.42 + 10^−1.67 + 10^−0.69 + 0.5 · 10^0.21 + 0.5 · 10^0.12) / 4)
    [InlineData("spread", 6.6353)]                   // mean −6.5375; √((2.3375² + 10.1625² + 0.3625² + 0.5 · 8.6375² + 0.5 · 7.7375²) / 4)
    [InlineData("first cancellation", 119.05)]      // 1000 / (2 · 4.2)
    [InlineData("sweep length", 18.929)]            // 3 · 10^0.8
    [InlineData("harmonic lead", 0.42824)]          // 3 · ln 3 / ln 2200 = 3 · 1.09861 / 7.69621
    [InlineData("listening time", 42.426)]          // 480 / 2^3.5
    [InlineData("distance", 2.9198)]                // 343.507 · 0.0085, with 331.3 · √(1 + 20.5 / 273.15)
    [InlineData("phase of a delay", 222.3)]         // 360 · 95 · 0.0065, earlier and so upwards
    [InlineData("window", 0.025)]                   // 2 / 80
    [InlineData("sound pressure", 10.0237)]          // 20e-6 · 10^5.7
    [InlineData("signal to noise", 57.9)]            // 94 − 36.1
    [InlineData("headroom at a cone", 3.3320)]       // a = √(0.0215 / π) = 0.082726 m; 126 − 95 − 20 lg(2 / 0.082726) = 31 − 27.6680
    [InlineData("offset of sensitivities", 3.9)]
    [InlineData("matched deviation", 3.1)]
    [InlineData("combined uncertainty", 2.27376)]    // √(0.81 + 0.36 + 4)
    [InlineData("port factor", -5.9208)]              // 10 lg(55 / 215)
    [InlineData("loss with distance", -2.5782)]       // x = 25 / 83: 20 lg(√(1 + x²) − x)
    [InlineData("far from near", -35.243)]           // 20 lg(0.083 / 4.8)
    [InlineData("lowest of a gate", 82.756)]         // 342.34 / (√(5.2² + 1.2²) − 1.2)
    public void The_answers_are_those_of_the_formulas(string name, double answer) => Assert.Equal(answer, Made(name).Wanted, Math.Abs(answer) * FourDigits);

    // what a student gets who goes wrong in that way: worked out apart from the code as well
    [Theory]
    [InlineData("Schroeder frequency", 10.81, "without the square root")]
    [InlineData("Schroeder frequency", 27200, "upside down")]
    [InlineData("Schroeder frequency", 4650, "milliseconds")]
    [InlineData("Schroeder frequency", 232.5, "floor area")]
    [InlineData("lowest mode", 58.72, "second mode")]
    [InlineData("lowest mode", 14.68, "quarter wave")]
    [InlineData("lowest mode", 39.94, "across the width")]
    [InlineData("shortest decay", 1.0989, "filtered forwards")]
    [InlineData("shortest decay", 0.0634, "the frequency of the band for its width")]
    [InlineData("shortest decay", 0.0687, "larger than 1")]
    [InlineData("finest detail", 5, "two periods")]
    [InlineData("finest detail", 0.4, "reciprocal")]
    [InlineData("decay of a ridge", 0.01, "one decibel")]
    [InlineData("decay of a ridge", 100, "decibels per second")]
    [InlineData("power mean", -6.54, "a dip as much as a peak")]
    [InlineData("power mean", -4.9, "without the weights")]
    [InlineData("power mean", -1.49, "every seat was counted alike")]
    [InlineData("power mean", 3.17, "divided by the sum of the weights")]
    [InlineData("power mean", 5.5, "plain sum")]
    [InlineData("power mean", -4.35, "averages pressures")]
    [InlineData("spread", 44.03, "variance")]
    [InlineData("spread", 18.8, "grows with every seat")]
    [InlineData("spread", 6.78, "counted alike: two")]
    [InlineData("spread", 7.58, "one less than their number")]
    [InlineData("spread", 7.5, "stand for other places")]
    [InlineData("spread", 44.4, "variance")]            // within a per cent of it, as it is no level
    [InlineData("first cancellation", 238.1, "in phase again")]
    [InlineData("first cancellation", 59.5, "quarter of a period")]
    [InlineData("first cancellation", 357.1, "second cancellation")]
    [InlineData("sweep length", 7.536, "ratio of pressures")]            // 3 · 10^0.4
    [InlineData("sweep length", 10.97, "one more length")]              // 3 · (1 + 8 / 3.0103)
    [InlineData("sweep length", 7.973, "number of doublings")]
    [InlineData("sweep length", 6.31, "how many times")]
    [InlineData("sweep length", 15.93, "how much longer")]
    [InlineData("sweep length", 0.4755, "Upside down")]
    [InlineData("harmonic lead", 0.186, "decimal one for the order")]    // 3 · lg 3 / ln 2200
    [InlineData("harmonic lead", 0.986, "natural one for the order")]    // 3 · ln 3 / lg 2200
    [InlineData("harmonic lead", 1.1694, "as it is")]
    [InlineData("harmonic lead", 0.3898, "by the factor e")]
    [InlineData("harmonic lead", 0.5404, "next harmonic")]
    [InlineData("harmonic lead", 0.2702, "harmonic before")]
    [InlineData("harmonic lead", 1.0, "fit a line")]
    [InlineData("harmonic lead", 2.8184, "upside down")]
    [InlineData("listening time", 111.97, "each 5 dB, as an older rule")]
    [InlineData("listening time", 142.7, "each 6 dB")]
    [InlineData("listening time", 0.3314, "every single decibel")]
    [InlineData("listening time", 137.1, "divided by the number of steps")]
    [InlineData("listening time", 5430.6, "longer than a day")]
    [InlineData("listening time", 223.9, "begins at 90")]
    [InlineData("listening time", 437.6, "left of the working day")]
    [InlineData("distance", 6.698, "latency is still in it")]            // 343.507 · 0.0195
    [InlineData("distance", 3.779, "during the latency")]
    [InlineData("distance", 10.477, "latency was added")]
    [InlineData("distance", 1.46, "as for an echo")]
    [InlineData("distance", 2.816, "freezing point")]                    // 331.3 · 0.0085
    [InlineData("distance", 2.4745e-5, "divided by the speed")]
    [InlineData("phase of a delay", 111.15, "half a turn")]
    [InlineData("phase of a delay", 222300, "for seconds")]
    [InlineData("phase of a delay", -137.7, "same point of the circle")]
    [InlineData("phase of a delay", 583.0, "upside down")]               // 360 / 0.6175
    [InlineData("window", 0.0125, "One period")]
    [InlineData("window", 0.00625, "Half a period")]
    [InlineData("window", 0.003979, "radians")]                          // 1 / (80 π)
    [InlineData("window", 40, "Upside down")]
    [InlineData("sound pressure", 14.176, "the peak of the sine")]
    [InlineData("sound pressure", 7.088, "nothing is left to divide")]
    [InlineData("sound pressure", 5023773, "ratio of powers")]           // 20e-6 · 10^11.4
    [InlineData("sound pressure", 501187, "the ratio alone")]
    [InlineData("sound pressure", 1.00237, "Twenty decibels are missing")]
    [InlineData("signal to noise", 77.9, "louder of the two")]
    [InlineData("signal to noise", 63.9, "round hundred")]
    [InlineData("signal to noise", 130.1, "were added")]
    [InlineData("signal to noise", 36.1, "the noise itself")]
    [InlineData("headroom at a cone", 31, "at one metre")]
    [InlineData("headroom at a cone", 17.166, "10 lg of a ratio")]       // 31 − 13.834
    [InlineData("headroom at a cone", 9.353, "factor of two")]           // 31 − 21.647
    [InlineData("headroom at a cone", 15.373, "by the diameter")]        // 31 − 15.627
    [InlineData("headroom at a cone", -8.372, "divides by the area")]    // 31 − 20 lg(2 / 0.0215)
    [InlineData("headroom at a cone", 8.304, "side of a square")]        // 31 − 20 lg(2 / 0.146629)
    [InlineData("headroom at a cone", 58.668, "taken off the level")]
    [InlineData("offset of sensitivities", 1.95, "20 lg and not 10 lg")]
    [InlineData("offset of sensitivities", 7.8, "twice as much")]
    [InlineData("offset of sensitivities", -48.7, "were added")]
    [InlineData("offset of sensitivities", -22.4, "tested microphone alone")]
    [InlineData("offset of sensitivities", -26.3, "reference alone")]
    [InlineData("matched deviation", 6.7, "still in it")]
    [InlineData("matched deviation", 10.3, "has to come off")]
    [InlineData("matched deviation", 3.6, "the sensitivity alone")]
    [InlineData("matched deviation", 5.15, "mean of the two")]
    [InlineData("matched deviation", 1.55, "taken off whole")]
    [InlineData("combined uncertainty", 3.5, "plain sum")]
    [InlineData("combined uncertainty", 5.17, "root is missing")]
    [InlineData("combined uncertainty", 2, "largest part alone")]
    [InlineData("combined uncertainty", 1.1667, "mean of the parts")]
    [InlineData("combined uncertainty", 4.5475, "went in twice")]
    [InlineData("combined uncertainty", 1.3128, "root of the mean")]
    [InlineData("port factor", -11.84, "ratio of the areas itself")]     // 20 lg(55 / 215)
    [InlineData("port factor", -2.96, "ratio of the diameters")]        // 5 lg(55 / 215)
    [InlineData("port factor", 3.56, "already the sum")]
    [InlineData("loss with distance", -2.29, "one radius behind")]      // −20 lg(1 + x)
    [InlineData("loss with distance", -1.30, "diameter went in")]
    [InlineData("loss with distance", 0.38, "Only the root")]
    [InlineData("loss with distance", -10.42, "still has to go through")]
    [InlineData("far from near", -29.22, "endless wall")]                // 20 lg(0.083 / 2.4)
    [InlineData("far from near", -23.20, "second one of the whole space")]
    [InlineData("far from near", -17.62, "not 10 lg")]
    [InlineData("far from near", -12.04, "only the factors of two")]
    [InlineData("lowest of a gate", 205.8, "counted once")]
    [InlineData("lowest of a gate", 64.15, "whole way by the floor")]
    [InlineData("lowest of a gate", 165.5, "Two periods")]
    [InlineData("lowest of a gate", 41.38, "Half a period")]
    [InlineData("lowest of a gate", 0.01208, "reciprocal")]
    public void A_wrong_way_is_answered_by_what_was_wrong_about_it(string name, double answer, string words)
    {
        Assert.Equal(ReplyKind.UsualMistake, Made(name).Check(answer).Kind);
        Assert.Contains(words, Made(name).Check(answer).Sentence);
    }

    private const double FourDigits = 3e-4;   // of the answers above

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
        Assert.Throws<ArgumentOutOfRangeException>(() => Exercise.HeadroomAtCone(double.NaN, 95, 215));
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
        "decibels" => [("pressures", Math.Pow(10, exercise.Wanted / 20)), ("powers", Math.Pow(10, exercise.Wanted / 10))],
        _ => throw new InvalidOperationException($"No other units listed for {exercise.Unit}."),
    };
}
