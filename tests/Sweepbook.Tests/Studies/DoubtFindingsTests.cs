// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>What ends a band and can be mended is said with its remedy; what cannot be mended, or ends nothing, is not.</summary>
public sealed class DoubtFindingsTests
{
    private static readonly string[] Ids = ["repeats-disagree", "loopback-weak", "level-dependent"];

    [Fact]
    public void A_repeat_with_a_moved_microphone_has_to_be_made_again()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5), (700, 0.3), (1500, 0.2)]);
        folder.Add("b.wav", [(500, 0.5), (610, 0.3), (1800, -0.2)], seed: 2);
        var finding = Assert.Single(Said(folder));
        Assert.Equal(("repeats-disagree", Severity.Fault), (finding.Id, finding.Severity));
        Assert.Contains("main at sofa may not be believed over", finding.Sentence, StringComparison.Ordinal);
        Assert.Contains("record them again, or leave one of them out", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_loopback_close_to_its_noise_is_to_be_raised()
    {
        using var folder = new SmallSurvey();
        var (design, hiss, own) = (SmallSurvey.Design.ToArray(), Signals.Noise(SmallSurvey.Design.Length, 5), Signals.Noise(SmallSurvey.Design.Length, 6));
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [[.. design.Select((x, n) => 0.5 * x + 1e-5 * own[n])], [.. design.Select((x, n) => 0.005 * x + 1e-4 * hiss[n])]]));
        var finding = Assert.Single(Said(folder));
        Assert.Equal(("loopback-weak", Severity.Caution), (finding.Id, finding.Severity));
        Assert.Contains("raise the level of the loopback", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_source_that_changes_with_its_drive_is_to_be_played_softer()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", MaskScene.Played((x, _) => 0.25 * x), "drive_db = -18.0");
        folder.Add("b.wav", MaskScene.Played((x, frequencyHz) => x * (frequencyHz < 60 ? 0.75 : 1), seed: 2), "drive_db = -6.0");
        var finding = Assert.Single(Said(folder));   // of both drives, once
        Assert.Equal(("level-dependent", Severity.Caution), (finding.Id, finding.Severity));
        Assert.Contains("(level-dependent: drives of -18 and -6 dB differ in shape by more than 1 dB); play it softer", finding.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_copy_in_the_microphone_is_said_and_its_arrival_is_not_laid_on_the_positions()
    {
        using var folder = new SmallSurvey(source: "position_m = [0, 0, 1]", seat: "position_m = [3.43, 0, 1]", top: "[room]\nlength_m = 6\nwidth_m = 4\nheight_m = 2.5\n");
        folder.Add("a.wav", [(0, 0.5), (480, 0.3)]);
        var findings = Study.Of(folder.Read()).Findings;
        Assert.Contains(findings, finding => finding.Id == "take-fault" && finding.Sentence.Contains("electrical copy of the loopback, 0 dB under the sound", StringComparison.Ordinal));
        Assert.DoesNotContain(findings, finding => finding.Id == "distance");
    }

    [Fact]
    public void Good_repeats_and_a_good_loopback_give_nothing_to_say()
    {
        using var folder = new SmallSurvey();
        folder.Add("a.wav", [(480, 0.5), (700, 0.3)]);
        folder.Add("b.wav", [(480, 0.5), (700, 0.3)], seed: 2);
        Assert.Empty(Said(folder));
    }

    [Fact]
    public void What_noise_ends_before_a_weak_loopback_does_is_not_laid_on_the_loopback()
    {
        using var folder = new SmallSurvey();
        var (design, hiss, own) = (SmallSurvey.Design.ToArray(), Signals.Noise(SmallSurvey.Design.Length, 5), Signals.Noise(SmallSurvey.Design.Length, 6));
        var bass = Sweepbook.Simulation.RecursiveFilter.LowPass(60, 4, SmallSurvey.Rate).Apply(design);
        folder.Add("a.wav", new Recording(SmallSurvey.Rate, [[.. bass.Select((x, n) => 0.5 * x + 3e-3 * own[n])], [.. design.Select((x, n) => 0.01 * x + 5e-5 * hiss[n])]]));
        var response = Assert.Single(Study.Of(folder.Read()).Responses);
        Assert.Equal(Doubt.Noise, response.LevelBand.HighReason.Doubt);
        Assert.Contains(Doubt.Loopback, response.Response.Doubts(5000, 15_000));
        Assert.Empty(Said(folder));
    }

    private static List<Finding> Said(SmallSurvey folder) => [.. Study.Of(folder.Read()).Findings.Where(finding => Ids.Contains(finding.Id))];
}
