// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class CheckTests
{
    private static string Demo(string name) => Path.Combine(WorkFolder.RepositoryRoot, "data-demo", name);

    [Fact]
    public void A_check_speaks_of_takes_and_leaves_the_room_to_the_report()
    {
        var checkedNow = Ran.In(Demo("orchard-row"), "check", ".").Succeeded();
        foreach (var aboutTheRoom in new[] { "to fall by 60 dB", "node of the predicted", "As an empty box", "seats differ by", "third-octave decay", "stays longest" })
            Assert.DoesNotContain(aboutTheRoom, checkedNow.Output, StringComparison.Ordinal);
        Assert.Contains("All 16 takes are fit for use.", checkedNow.Output, StringComparison.Ordinal);
    }
}
