// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

public sealed class InputCheckTests
{
    private const string Entry = "[input-check]\nfile = \"takes/check.wav\"\nmicrophone_channel = 1\nreference_channel = 2\n";

    /// <summary>The microphone input is three samples late: the check has its only sample there, and the take's 100 become 97.</summary>
    [Fact]
    public void A_skew_between_the_inputs_leaves_the_arrival()
    {
        using var survey = Prepared((3, 0.25));
        survey.Add("a.wav", [(100, 0.2)]);
        var study = Study.Of(survey.Read());
        Assert.Equal(97, study.Takes.Single().Arrival!.Value.Seconds * SmallSurvey.Rate, 0.02);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "input-check");
        Assert.Equal(Severity.Note, finding.Severity);
        Assert.Contains("62.5 µs", finding.Sentence, StringComparison.Ordinal);   // 3 / 48 000 s
        Assert.Contains("removed from 1 take", finding.Sentence, StringComparison.Ordinal);
        Assert.Contains("-6.0 dB apart", finding.Sentence, StringComparison.Ordinal);   // 0.25 beside 0.5; the gain stays
        Assert.DoesNotContain(study.Findings, other => other.Id == "file-not-recognised");
    }

    [Fact]
    public void Takes_of_other_channels_are_said_to_be_uncorrected()
    {
        using var survey = Prepared((3, 0.25));
        survey.Add("a.wav", [(100, 0.2)], keys: "microphone_channel = 2\nreference_channel = 1");
        survey.Add("b.wav", [(100, 0.2)], seat: "chair");
        survey.Add("c.wav", [(100, 0.2)], seat: "chair", keys: "time_zero = \"unknown\"", seed: 4);
        var study = Study.Of(survey.Read());
        Assert.Equal([false, true, false], study.Takes.Select(take => take.IsInputCorrected));
    }

    [Theory]
    [InlineData("silent", "is silent", "split the output")]
    [InlineData("noise", "does not hold the stimulus", "Name the stimulus")]
    [InlineData("clipped", "clipped samples", "Turn the gain")]
    [InlineData("uneven", "dB over frequency", "same signal in both")]
    [InlineData("skewed", "samples later", "one device")]
    [InlineData("missing", "", "")]
    public void A_check_that_cannot_be_used_says_why_and_corrects_nothing(string kind, string problem, string remedy)
    {
        using var survey = kind switch
        {
            "silent" => Prepared((0, 1e-6)),
            "noise" => Prepared((0, 1e-6), noise: 0.1),
            "clipped" => Prepared((0, 2.5)),
            "uneven" => Prepared((0, 0.2), (1, 0.15)),   // 1 + 0.75 z⁻¹: 0.35 at the bottom, 0.05 at half the rate
            "skewed" => Prepared((40, 0.25)),
            _ => new SmallSurvey(top: Entry),
        };
        survey.Add("a.wav", [(100, 0.2)]);
        var study = Study.Of(survey.Read());
        Assert.Equal(100, study.Takes.Single().Arrival!.Value.Seconds * SmallSurvey.Rate, 0.02);
        var finding = Assert.Single(study.Findings, finding => finding.Id == "input-check");
        Assert.Equal(Severity.Fault, finding.Severity);
        Assert.Contains(problem, finding.Sentence, StringComparison.Ordinal);
        Assert.Contains(remedy, finding.Sentence, StringComparison.Ordinal);
        Assert.Contains("takes/check.wav", finding.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[input-check]\nfile = \"takes/check.wav\"\nreference_channel = 1\n", "both said to be channel 1")]
    [InlineData("[input-check]\nfile = \"takes/check.wav\"\nstimulus = \"ful\"\n", "there is no stimulus \"ful\"")]
    [InlineData("[input-check]\nfile = \"takes/check.wav\"\nseat = \"sofa\"\n", "has no key `seat`")]
    [InlineData("[input-check]\nstimulus = \"full\"\n", "has no `file`")]
    [InlineData("[input-check]\nfile = \"../check.wav\"\n", "..")]
    public void A_wrong_entry_is_refused_by_line(string top, string problem)
    {
        using var survey = new SmallSurvey(top: top);
        survey.Add("a.wav", [(100, 0.2)]);
        var fault = Assert.Throws<DataFault>(survey.Read);
        Assert.Contains(problem, fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_clipped_loopback_refuses_the_take_by_name()
    {
        using var survey = new SmallSurvey();
        survey.Add("a.wav", [(100, 0.2)], loopback: 3);
        var take = Study.Of(survey.Read()).Takes.Single();
        Assert.False(take.IsUsed);
        Assert.Contains("the loopback channel has", take.WhyNot, StringComparison.Ordinal);
        Assert.Contains("Turn the gain of the loopback's input down", take.WhyNot, StringComparison.Ordinal);
    }

    /// <summary>A survey whose check holds the stimulus through the given samples in the microphone input, and half of it in the other.</summary>
    private static SmallSurvey Prepared((int Sample, double Value) first, (int Sample, double Value)? second = null, double noise = 1e-6)
    {
        var survey = new SmallSurvey(top: Entry);
        survey.WriteRecording("check.wav", second is { } other ? [first, other] : [first], noise);
        return survey;
    }
}
