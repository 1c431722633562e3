// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class LevelDependenceTests
{
    [Fact]
    public void A_drive_that_compresses_the_bass_makes_both_drives_level_dependent_there_and_only_there()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.25 * x), "drive_db = -18.0");
        folder.Add("b.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz < 60 ? 0.75 : 1), seed: 2), "drive_db = -6.0");   // −2.5 dB
        var study = Study.Of(folder.Read());
        Assert.Equal(2, study.Responses.Count);
        foreach (var response in study.Responses.Select(result => result.Response))
        {
            Assert.Equal([Doubt.LevelDependent], response.Doubts(15, 45));
            Assert.Equal("level-dependent: drives of -18 and -6 dB differ in shape by more than 1 dB", response.ReasonAt(30).Sentence);
            Assert.Equal([Doubt.None], response.Doubts(80, 16_000));
        }
    }

    [Fact]
    public void A_change_of_two_thirds_of_a_decibel_passes()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.25 * x), "drive_db = -18.0");
        folder.Add("b.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz < 60 ? 0.925 : 1), seed: 2), "drive_db = -6.0");
        Assert.All(Study.Of(folder.Read()).Responses, result => Assert.Equal([Doubt.None], result.Response.Doubts(12, 16_000)));
    }

    [Fact]
    public void A_soft_drive_close_to_its_noise_is_not_taken_for_another_shape()
    {
        for (ulong seed = 1; seed <= 3; seed++)
        {
            using var folder = new SmallSurvey();
            folder.Add("a.wav", MaskScene.Played((x, frequencyHz) => 0.02 * x * (frequencyHz > 1000 ? 0.1 : 1), noise: 2e-2, seed: seed), "drive_db = -40.0");
            folder.Add("b.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz > 1000 ? 0.1 : 1), seed: seed + 10), "drive_db = -6.0");
            Assert.All(Study.Of(folder.Read()).Responses, result => Assert.DoesNotContain(Doubt.LevelDependent, result.Response.Doubts(12, 16_000)));
        }
    }

    [Fact]
    public void A_dip_of_the_room_does_not_make_ten_percent_out_of_five()
    {
        using var folder = new SmallSurvey();
        var played = MaskScene.Played((x, frequencyHz) => x + (frequencyHz < 5000 ? 0.4 * x * x : 0), noise: 1e-6);
        var dry = played.Channel(1);
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [[.. dry.Select((x, n) => 0.5 * (x + (n < 600 ? 0 : dry[n - 600])))], played.Channel(2)]));   // 12.5 ms: dips at 40, 120, 200 … Hz
        Assert.DoesNotContain(Doubt.LevelDependent, MaskScene.Only(folder).Doubts(12, 16_000));
    }

    [Theory]
    [InlineData(1.2, true)]    // a2 · 0.25 / 2 = 15 % second harmonic (fact sheet 5.8)
    [InlineData(0.4, false)]   // 5 %
    public void Distortion_above_a_tenth_is_level_dependent_where_it_happens(double a2, bool isDoubted)
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, frequencyHz) => x + (frequencyHz < 80 ? a2 * x * x : 0)));
        var response = MaskScene.Only(folder);
        Assert.Equal([isDoubted ? Doubt.LevelDependent : Doubt.None], response.Doubts(16, 60));
        if (isDoubted) Assert.Equal("level-dependent: distortion exceeds 10 % (harmonics 2 to 5)", response.ReasonAt(40).Sentence);
        Assert.Equal([Doubt.None], response.Doubts(110, 16_000));
    }
}
