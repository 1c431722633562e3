// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class LookLevelsTests
{
    [Theory]
    [InlineData("relative", "Level (dB, relative)")]
    [InlineData("re 20 µPa", "Level (dB re 20 ")]
    public void The_axis_of_a_quick_look_says_what_0_dB_means(string levels, string title) =>
        Assert.Contains(title, LookDrawing.Svg([new("a", [20, 200, 2000], [0, 1, 2], [true, true, true])], "A", levels), StringComparison.Ordinal);
}
