// SPDX-License-Identifier: MIT
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>What the lists of a study say when a cell ends in one of them.</summary>
public sealed class ShownListTests(ViewStudies views) : IClassFixture<ViewStudies>
{
    [Fact]
    public void A_list_of_decays_gives_the_decay_time_of_each_octave()
    {
        var decays = Enumerable.Repeat(views.Timed.Decays[0], 5).ToArray();
        var html = Shown.Html(decays);
        Assert.Contains("<th scope=\"col\">octaves</th>", html);
        Assert.Matches(@"<td>(0\.\d\d s at [\d.]+ Hz(, )?)+</td>", html);
        Assert.DoesNotContain("third octaves", html);
        var given = decays[0].Octaves.First(decay => decay.T30.IsValid);
        Assert.Contains(FormattableString.Invariant($"{given.T30.Value:0.00} s at {given.Band.Label} Hz"), html);
    }

    [Fact]
    public void A_list_of_takes_gives_no_time_that_nobody_can_know()
    {
        Assert.Contains("<td>under 0.000000001 s</td>", ShownFacts.Of(new Timed(7.48e-12, 33.7084)).ToHtml());
        Assert.Contains("<th scope=\"row\">signal over noise</th><td>33.71 dB</td>", ShownFacts.Of(new Timed(7.48e-12, 33.7084)).ToHtml());
        Assert.Contains("<td>0 s</td>", ShownFacts.Of(new Timed(0, 1)).ToHtml());
        Assert.Contains("<td>0.00125 s</td>", ShownFacts.Of(new Timed(0.00125, 1)).ToHtml());
        Assert.DoesNotMatch(@"E[-−]1\d", Shown.Html(views.Timed.Takes));
    }

    private sealed record Timed(double UncertaintySeconds, double SnrDb);
}
