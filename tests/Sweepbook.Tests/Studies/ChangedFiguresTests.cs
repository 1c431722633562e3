// SPDX-License-Identifier: MIT
using Sweepbook.Seats;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>What was changed on purpose comes out in the figure that should show it, by as much as it was changed.</summary>
public sealed class ChangedFiguresTests
{
    private const double SeatsApartDb = 6.0206, CloserDb = 3.0103;   // 20 lg 2 and 10 lg 2; the deviation of two seats is half of it
    private const double Tolerance = 0.02;                           // noise at −100 dB and 24 bits
    private const double LongSeconds = 0.5, ShortSeconds = 0.3;
    private const double ChanceOfDecay = 0.15;                       // of an octave from 1 kHz up: B·T ≥ 210, one standard deviation 4 %
    private const int LaterSamples = 240;                            // 5 ms

    [Fact]
    public void Seats_that_come_closer_are_found_and_the_limit_follows_from_the_repeatability_of_their_levels()
    {
        var comparison = Compared(survey => TwoSeats(survey, 0.125, 1), survey => TwoSeats(survey, 0.125 * Math.Sqrt(2), 5));
        var row = Assert.Single(comparison.Changes, row => row.Quantity == ChangedQuantity.Spread);
        Assert.Equal(SeatsApartDb / 2, row.Before, Tolerance);
        Assert.Equal(CloserDb / 2, row.After, Tolerance);
        Assert.True(row.IsSignificant, $"{row.Difference} dB, ± {row.Limit} dB");
        Assert.Contains("they have come closer (−1.5 dB", comparison.Findings.Single(finding => finding.Id == "spread-change").Sentence);
        var ofLevels = comparison.Changes.Where(level => level.Quantity == ChangedQuantity.Level && level.FromHz > row.FromHz && level.ToHz < row.ToHz).Average(level => level.Repeatability);
        Assert.InRange(row.Repeatability, ofLevels / 10, ofLevels);   // of two seats half of either error, and some eight third octaves average

        static void TwoSeats(SmallSurvey survey, double chair, ulong seed)
        {
            survey.Add("a.wav", [(480, 0.25)], seed: seed);
            survey.Add("b.wav", [(600, chair)], seat: "chair", seed: seed + 1);
        }
    }

    [Fact]
    public void A_shorter_decay_is_found_and_the_same_one_drawn_again_is_not()
    {
        using var survey = new SmallSurvey();
        survey.Add("a.wav", Tail(LongSeconds, 7));
        var before = Study.Of(survey.Read());
        var shorter = Decays(before, ShortSeconds, 8);
        Assert.All(shorter, row => Assert.InRange(row.Before, LongSeconds * (1 - ChanceOfDecay), LongSeconds * (1 + ChanceOfDecay)));
        Assert.All(shorter, row => Assert.InRange(row.After, ShortSeconds * (1 - ChanceOfDecay), ShortSeconds * (1 + ChanceOfDecay)));
        Assert.All(shorter, row => Assert.True(row.IsSignificant, $"{row.Label} Hz: {row.Difference} s, ± {row.Limit} s"));
        var again = Decays(before, LongSeconds, 9);
        Assert.DoesNotContain(again, row => row.IsSignificant);
        Assert.Contains(again, row => Math.Abs(row.Difference) > row.Limit / 4);   // the limits are no walls

        static List<SeatChange> Decays(Study before, double seconds, ulong seed)
        {
            using var other = new SmallSurvey();
            other.Add("b.wav", Tail(seconds, seed), seed: seed);
            var comparison = StudyComparison.Of(before, Study.Of(other.Read()));
            if (seconds != LongSeconds) Assert.Matches("[0-9]+ of [0-9]+ octave figures of the decay lie beyond their limits, where chance alone gives up to 1; farthest ", comparison.Findings.Single(finding => finding.Id == "decay-change").Sentence);
            var rows = comparison.Changes.Where(row => row.Quantity == ChangedQuantity.T20 && row.FromHz > 600 && row.ToHz < 12_000).ToList();
            Assert.Equal(4, rows.Count);   // 1 to 8 kHz
            return rows;
        }
    }

    /// <summary>Noise whose level falls by 60 dB in a time.</summary>
    private static (int, double)[] Tail(double seconds, ulong seed)
    {
        var noise = Signals.Noise((int)(seconds * SmallSurvey.Rate), seed);
        return [.. noise.Select((value, n) => (480 + n, 0.005 * value * Math.Pow(10, -3.0 * n / noise.Length)))];
    }

    [Fact]
    public void A_source_that_was_delayed_and_turned_round_is_found_in_both()
    {
        var comparison = Compared(survey => TwoSources(survey, 600, 0.25), survey => TwoSources(survey, 600 + LaterSamples, -0.25));
        var row = Assert.Single(comparison.Changes, row => row.Quantity == ChangedQuantity.Delay);
        Assert.Equal(("main", "sub"), (row.Source, row.Label));
        Assert.Equal(1000.0 * LaterSamples / SmallSurvey.Rate, row.Difference, 0.02);
        Assert.True(row.IsSignificant);
        Assert.Contains("main is 5.00 ms later beside sub than before (median of 1 seat). Its polarity beside sub turned at sofa.", comparison.Findings.Single(finding => finding.Id == "delay-change").Sentence);

        static void TwoSources(SmallSurvey survey, int sample, double main)
        {
            survey.Add("a.wav", [(sample, main)]);
            survey.Add("b.wav", [(480, 0.25)], source: "sub", seed: 2);
        }
    }

    [Fact]
    public void Noise_is_taken_off_a_level_before_it_is_compared()
    {
        var rows = Compared(survey => survey.Add("a.wav", [(480, 0.25)]), survey => survey.Add("b.wav", [(480, 0.25)], noise: LoudNoise, seed: 2)).Changes
            .Where(row => row.Quantity == ChangedQuantity.Level && row.FromHz > 1000).ToList();
        Assert.True(rows.Count > 5, $"{rows.Count} bands");
        Assert.InRange(rows.Average(row => row.Difference), -WhatNoiseLeavesDb, WhatNoiseLeavesDb);
    }

    private const double LoudNoise = 0.02, WhatNoiseLeavesDb = 0.02;

    [Fact]
    public void Another_stimulus_and_another_microphone_are_not_compared()
    {
        var stimulus = Compared(survey => survey.Add("a.wav", [(480, 0.25)]), survey =>
        {
            foreach (var file in Directory.GetFiles(Path.Combine(survey.Folder, "stimuli"))) File.Delete(file);
            Stimulus.From(SmallSurvey.Design.Description with { LevelDbfs = -12 }).Write(Path.Combine(survey.Folder, "stimuli", "full.toml"));
            survey.Add("b.wav", [(480, 0.25)]);
        });
        Assert.Contains("another stimulus: 10 to 20000 Hz in 3 s at -6 dBFS", Assert.Single(stimulus.NotCompared).Reason);
        var microphone = Compared(survey => survey.Add("a.wav", [(480, 0.25)]), survey => survey.Add("b.wav", [(480, 0.25)], keys: "microphone = \"other\""), "\n[[microphone]]\nid = \"other\"");
        Assert.Contains("another microphone: omni before, other after", Assert.Single(microphone.NotCompared).Reason);
        Assert.Empty(stimulus.Changes.Concat(microphone.Changes));
    }

    private static StudyComparison Compared(Action<SmallSurvey> before, Action<SmallSurvey> after, string microphone = "")
    {
        using SmallSurvey one = new(microphone), other = new(microphone);
        before(one);
        after(other);
        return StudyComparison.Of(Study.Of(one.Read()), Study.Of(other.Read())).MicrophoneUntouched();
    }
}
