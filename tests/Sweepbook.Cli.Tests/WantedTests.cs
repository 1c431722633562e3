// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class WantedTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Fact]
    public void A_microphone_that_serves_is_good_one_that_does_not_is_a_fault_and_one_that_was_not_shown_to_is_neither()
    {
        var survey = SmallSurvey.Make(_work["survey"]);   // data sheet and sweep from 20 Hz to 20 kHz
        Assert.Contains("mic serves from 40 Hz to 10 kHz within ± 2 dB.", Plain(Check("40:10000").Succeeded().Output));
        var refused = Check("5:120").Refused(1);
        Assert.Contains("mic does not serve from 5 to 120 Hz within ± 2 dB (5 to 20 Hz: its data sheet ends at 20 Hz).", Plain(refused.Error));
        Assert.Contains("the survey has faults", Plain(refused.Output));
        survey.Edit("lowest_hz = 20", "lowest_hz = 2");
        Assert.Contains("It is not shown whether mic serves from 5 to 120 Hz within ± 2 dB (5 to", Plain(Check("5:120").Succeeded().Output));
    }

    [Fact]
    public void The_survey_itself_may_say_what_is_wanted_and_the_option_takes_its_place()
    {
        SmallSurvey.Make(_work["survey"]).Append("[wanted]\nfrom_hz = 5\nto_hz = 120\n");
        Assert.Contains("mic does not serve from 5 to 120 Hz", Plain(Ran.In(_work.Root, "check", "survey").Refused(1).Error));
        Assert.DoesNotContain("5 to 120 Hz", Plain(Check("40:200").Succeeded().Output));
    }

    [Theory]
    [InlineData("5-120", "--wanted: `5-120` is not a range; write two frequencies in hertz with a colon between them, for example 5:120.")]
    [InlineData("120:5", "--wanted: `120:5` does not rise; did you mean 5:120?")]
    [InlineData("-5:120", "--wanted: `-5:120` reaches outside 1 to 100000 Hz")]
    [InlineData("low", "--wanted: `low` is not a range")]
    [InlineData("", "--wanted is empty")]
    public void A_range_that_is_none_is_named_before_anything_is_read(string wanted, string named)
    {
        foreach (var command in new[] { "check", "report" })
            Assert.Contains(named, Ran.In(_work.Root, command, "nowhere", "--wanted", wanted).Refused(2).Error);
    }

    private Ran Check(string wanted) => Ran.In(_work.Root, "check", "survey", "--wanted", wanted);

    private static string Plain(string wrapped) => string.Join(' ', wrapped.Split([' ', '\n', '\r'], StringSplitOptions.RemoveEmptyEntries));
}
