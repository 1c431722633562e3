// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class StepsTests : IProgress<string>
{
    private readonly List<string> _said = [];

    void IProgress<string>.Report(string value) => _said.Add(value);

    [Fact]
    public void Steps_under_one_heading_are_told_once_and_those_under_the_title_by_what_is_done()
    {
        var steps = new Steps(this, "Reading the takes");
        foreach (var (cell, heading) in new[] { "A title", "A title", "A title", "What can be believed", "What can be believed", "What to change" }.Index()) steps.Report(new(cell + 1, 6, heading));
        Assert.Equal(["Step 1 of 6: Reading the takes", "Step 4 of 6: What can be believed", "Step 6 of 6: What to change"], _said);
    }

    [Fact]
    public void Without_headings_every_step_is_told()
    {
        var steps = new Steps(this);
        for (var cell = 1; cell <= 3; cell++) steps.Report(new(cell, 3, ""));
        Assert.Equal(["Step 1 of 3", "Step 2 of 3", "Step 3 of 3"], _said);
    }

    [Fact]
    public void A_long_heading_has_one_ellipsis_however_long_it_takes()
    {
        new Steps(this).Report(new(1, 1, new string('w', 70)));
        Assert.EndsWith("w…", _said[0]);
        Assert.InRange(_said[0].Length, 0, 70);
    }
}
