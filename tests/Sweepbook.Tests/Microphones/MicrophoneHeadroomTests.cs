// SPDX-License-Identifier: MIT
using Sweepbook.Microphones;
using Xunit;

namespace Sweepbook.Tests.Microphones;

public sealed class MicrophoneHeadroomTests
{
    [Theory]
    [InlineData(128, 113.25, 14.75, true)]
    [InlineData(128, 125, 3, true)]
    [InlineData(128, 125.1, 2.9, false)]
    [InlineData(128, 130, -2, false)]
    public void It_is_the_maximum_less_the_peak_and_three_decibels_are_wanted(double maximumDb, double peakDb, double headroomDb, bool isEnough)
    {
        const double Rounding = 1e-9;
        var headroom = MicrophoneHeadroom.Measured("omni", maximumDb, peakDb, "takes/a.wav", false);
        Assert.Equal(headroomDb, headroom.HeadroomDb, Rounding);
        Assert.Equal((true, isEnough, !isEnough), (headroom.IsKnown, headroom.IsEnough, headroom.Sentence.Contains("Turn down by")));
    }

    [Fact]
    public void The_sentences_say_take_level_and_remedy()
    {
        Assert.Equal("The loudest sound at omni was 113.3 dB (takes/a.wav), 14.8 dB below the 128 dB that it takes.", Measured(128, 113.25));
        Assert.Equal("The loudest sound at omni was 126.5 dB (takes/a.wav), 1.5 dB below the 128 dB that it takes. Turn down by 1.5 dB or more, or its own distortion is measured too.", Measured(128, 126.5));
        Assert.Equal("The loudest sound at omni was 130.0 dB (takes/a.wav), 2.0 dB above the 128 dB that it takes. Turn down by 5.0 dB or more, or its own distortion is measured too.", Measured(128, 130));
        Assert.Equal("The loudest sound at omni was more than 113.3 dB (takes/a.wav), less than 14.8 dB below the 128 dB that it takes. The recording clipped: turn the input's gain down and record again, to know.", Measured(128, 113.25, isClipped: true));
        Assert.False(MicrophoneHeadroom.Measured("omni", 128, 113.25, "takes/a.wav", isClipped: true).IsEnough);
        Assert.Equal("The loudest sound at omni was 113.3 dB (takes/a.wav); whether it bears that is not known: state max_spl_db from its data sheet in survey.toml.", Measured(double.NaN, 113.25));
        Assert.StartsWith("How loud it was at omni is not known: record a calibrator's tone, or state sensitivity_dbfs_at_94db", Measured(128, double.NaN), StringComparison.Ordinal);

        static string Measured(double maximumDb, double peakDb, bool isClipped = false) => MicrophoneHeadroom.Measured("omni", maximumDb, peakDb, "takes/a.wav", isClipped).Sentence;
    }

    [Theory]
    [InlineData(80, "Raise the level slowly")]                                           // no time limit below 85 dB(A)
    [InlineData(94, "ears may have 94 dB(A) for 60 min a day")]                          // fact sheet 13.1
    [InlineData(112, "ears may have 112 dB(A) for 56 s a day")]
    [InlineData(116, "above 115 dB(A) no time is allowed")]                              // fact sheet 13.2
    public void Beside_a_level_that_is_proposed_stands_what_ears_and_cones_bear(double levelDb, string caution)
    {
        var expected = MicrophoneHeadroom.Expected("omni", 128, "cone", levelDb, levelDb + 26.021, 0);
        Assert.Contains(caution, expected.Sentence, StringComparison.Ordinal);
        Assert.EndsWith("mind the cone, which moves farthest below the tuning of its box.", expected.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void Nothing_is_known_by_default() => Assert.False(new MicrophoneHeadroom(double.NaN, 100, "").IsKnown || new MicrophoneHeadroom(120, double.NaN, "").IsEnough);
}
