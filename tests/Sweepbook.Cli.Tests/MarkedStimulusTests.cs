// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class MarkedStimulusTests
{
    [Fact]
    public void A_marked_stimulus_says_when_and_where_it_plays_and_what_a_subwoofer_cannot_do()
    {
        using var work = new WorkFolder();
        var ran = Ran.In(work.Root, "stimulus", "m.toml", "--to-hz", "500", "--sweep-s", "1", "--tail-s", "0.5", "--marker", "--sweep-output", "3", "--marker-output", "6", "--loopback-output", "4").Succeeded();
        foreach (var words in new[] { "2000 Hz to 12000 Hz", "plays 0.5 s and 3.4 s", "on channel 6", "channel 3 and 4", "A subwoofer cannot play it", "10 dB louder", "mind your ears" })
            Assert.Contains(words, string.Join(' ', ran.Output.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.True(Stimulus.Read(Path.Combine(work.Root, "m.toml")).HasMarker);
    }

    [Theory]
    [InlineData("--marker-output: the stimulus has no marker", "--marker-output", "3")]
    [InlineData("--kind: `slow` is no kind of sweep; write exponential or synchronised or linear.", "--kind", "slow")]
    [InlineData("--sweep-output: `0` is not a channel here", "--sweep-output", "0")]
    public void Wrong_use_is_one_sentence(string words, params string[] options)
    {
        using var work = new WorkFolder();
        Assert.Contains(words, Ran.In(work.Root, ["stimulus", "m.toml", .. options]).Refused(2).Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_synchronised_stimulus_says_its_own_length()
    {
        // Fact sheet 5.6: 20 to 200 Hz asked for in 5 s.
        using var work = new WorkFolder();
        Assert.Contains("4.950558 s", Ran.In(work.Root, "stimulus", "s.toml", "--kind", "synchronised", "--from-hz", "20", "--to-hz", "200", "--sweep-s", "5").Succeeded().Output, StringComparison.Ordinal);
    }
}
