// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class RepeatMaskTests
{
    [Fact]
    public void A_repeat_that_was_two_decibels_louder_for_an_octave_is_doubted_there_for_every_use()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => x));
        folder.Add("b.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz is > 100 and < 200 ? 1.26 : 1), seed: 2));
        var response = MaskScene.Only(folder);
        Assert.Equal((Doubt.Repeats, "the 2 repeats disagree by more than 3 times what their noise explains"), (response.ReasonAt(140).Doubt, response.ReasonAt(140).Sentence));
        foreach (var isPhase in new[] { false, true })
        {
            Assert.Equal([Doubt.None], response.Doubts(12, 70, isPhase));
            Assert.Equal([Doubt.None], response.Doubts(280, 16_000, isPhase));
        }
    }

    [Fact]
    public void A_repeat_that_came_later_is_doubted_for_phase_and_not_for_level()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.4)]);
        folder.Add("b.wav", [(481, 0.4)], seed: 2);   // 21 µs: 3.4° of scatter, which is 4.8° between two, is passed at 640 Hz
        var response = MaskScene.Only(folder);
        Assert.Equal([Doubt.None], response.Doubts(12, 2500));   // 40 % of a turn later the mean cancels, from half a decibel on
        Assert.Equal([Doubt.None], response.Doubts(12, 500, isPhase: true));
        Assert.Equal([Doubt.Repeats], response.Doubts(900, 16_000, isPhase: true));
    }

    [Fact]
    public void Repeats_without_a_common_time_zero_are_compared_after_alignment()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.4)], keys: "time_zero = \"unknown\"");
        folder.Add("b.wav", [(700, 0.4)], keys: "time_zero = \"unknown\"", seed: 2);
        Assert.Equal([Doubt.None], MaskScene.Only(folder).Doubts(12, 16_000));
    }

    [Fact]
    public void A_repeat_of_opposite_polarity_says_that_the_repeats_disagree()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5)]);
        folder.Add("b.wav", [(480, -0.5)], seed: 2);
        var study = Study.Of(folder.Read());
        Assert.True(study.Responses[0].LevelBand.IsEmpty);
        Assert.Contains(Doubt.Repeats, study.Responses[0].Response.Doubts(100, 10_000));
        Assert.All(study.Takes, take => Assert.False(take.LevelBand.IsEmpty));   // each by itself is good
    }

    [Fact]
    public void Repeats_full_of_noise_do_not_disagree_more_than_that_noise_explains()
    {
        for (ulong seed = 1; seed <= 4; seed++)
        {
            using var folder = new SmallSurvey();
            folder.Add("a.wav", [(480, 0.4)], noise: 0.02, seed: seed);
            folder.Add("b.wav", [(480, 0.4)], noise: 0.02, seed: seed + 50);
            var response = MaskScene.Only(folder);
            foreach (var isPhase in new[] { false, true }) Assert.DoesNotContain(Doubt.Repeats, response.Doubts(10, 20_000, isPhase));
        }
    }
}
