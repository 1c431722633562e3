// SPDX-License-Identifier: MIT
using Xunit;

namespace Sweepbook.Cli.Tests;

public sealed class UsedWronglyTests
{
    public static TheoryData<string[], string> Misuses => new()
    {
        { [], "--help" },
        { ["reprot", "somewhere"], "reprot" },
        { ["report"], "report --help" },
        { ["report", "one", "two"], "two" },
        { ["report", "one", "--ouch", "two"], "--ouch" },
        { ["stimulus", "x.toml", "--from-hz", "low"], "low" },
        { ["run"], "run --help" },
    };

    [Theory, MemberData(nameof(Misuses))]
    public void A_misuse_is_named_and_points_to_the_help(string[] arguments, string named)
    {
        var ran = Ran.In(Path.GetTempPath(), arguments).Refused(2);
        Assert.Contains(named, ran.Error);
        Assert.Contains("--help", ran.Error);
    }

    [Fact]
    public void A_sweep_that_cannot_be_is_refused_with_the_allowed_interval_and_nothing_is_written()
    {
        using var work = new WorkFolder();
        var ran = Ran.In(work.Root, "stimulus", "x.toml", "--from-hz", "500", "--to-hz", "20").Refused(2);
        Assert.Contains("500", ran.Error);
        Assert.Empty(Directory.EnumerateFileSystemEntries(work.Root));
    }

    [Fact]
    public void Numbers_are_read_with_a_point_whatever_the_language()
    {
        using var work = new WorkFolder();
        using var process = Ran.Start(work.Root, [("LC_ALL", "de_DE.UTF-8")], "stimulus", "x.toml", "--from-hz", "12.5", "--sweep-s", "0.5");
        Assert.Contains("12.5 Hz", Ran.Finish(process).Succeeded().Output);
        Assert.Contains("start_hz = 12.5", File.ReadAllText(work["x.toml"]));
    }
}
