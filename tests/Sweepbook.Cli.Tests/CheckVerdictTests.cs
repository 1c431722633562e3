// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class CheckVerdictTests
{
    [Theory]
    [InlineData(2, 2, 0, 0, 0, "All 2 takes are fit for use.")]
    [InlineData(1, 1, 0, 0, 0, "1 take is fit for use.")]
    [InlineData(1, 1, 0, 1, 0, "1 take is fit for use; 1 file was not recognised.")]
    [InlineData(4, 3, 0, 2, 0, "3 takes are fit for use; 2 files were not recognised.")]
    [InlineData(3, 3, 1, 0, 1, "1 of 3 takes has faults; each is named on a line of its own.")]
    [InlineData(1, 1, 1, 0, 1, "1 of 1 take has faults; each is named on a line of its own.")]
    [InlineData(0, 0, 0, 0, 0, "There are no takes yet. Record some into the folder that survey.toml names, then check again.")]
    [InlineData(2, 0, 0, 0, 0, "Every take is set aside in survey.toml, so there is nothing to use.")]
    public void The_verdict_counts_as_a_person_does(int takes, int inUse, int withFaults, int unrecognised, int faults, string sentence) =>
        Assert.Equal(sentence, new CheckVerdict { Takes = takes, InUse = inUse, WithFaults = withFaults, UnrecognisedFiles = unrecognised, Faults = faults }.Sentence);
}
