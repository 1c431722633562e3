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
        { ["stimulus", "x.toml", "--from-hz", "1,5"], "--from-hz: `1,5` is not a number here; write 1.5." },
        { ["stimulus", "x.toml", "--to-hz", "1,500"], "write 1500 or 1.500." },
        { ["stimulus", "x.toml", "--level-dbfs", "-18,5"], "write -18.5." },
        { ["stimulus", "x.toml", "--fade-in-s", "0,01"], "write 0.01." },
        { ["stimulus", "x.toml", "--tail-s", "NaN"], "`NaN` is not a number" },
        { ["stimulus", "x.toml", "--rate-hz", "48,000"], "--rate-hz: `48,000` is not a whole number here; write 48000." },
        { ["stimulus", "x.toml", "--rate-hz", "48e3"], "whole number" },
        { ["stimulus", "x.wav"], "write x.toml" },
        { ["report", "--csv"], "`--csv` is not an option of `sweepbook report`" },
        { ["report", "one", "--out", "--notebook"], "--notebook" },
        { ["report", ""], "FOLDER is empty" },
        { ["new", "room", "--title", ""], "--title is empty" },
        { ["look", ""], "TAKE is empty" },
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

    [Theory]
    [InlineData("--from-hz", "0")]
    [InlineData("--sweep-s", "0")]
    [InlineData("--level-dbfs", "3")]
    [InlineData("--rate-hz", "0")]
    [InlineData("--to-hz", "5")]
    public void A_value_that_cannot_be_is_named_by_its_option(string option, string value)
    {
        using var work = new WorkFolder();
        var ran = Ran.In(work.Root, "stimulus", "x.toml", option, value).Refused(2);
        Assert.Contains(option, ran.Error);
        Assert.DoesNotContain("_", ran.Error);   // the keys of the file are written with one
    }

    [Fact]
    public void A_folder_may_be_called_like_a_response_file_or_a_directive_and_after_two_dashes_like_an_option()
    {
        using var work = new WorkFolder();
        foreach (var name in new[] { "@home", "[parse]" }) SmallSurvey.Make(work[name]);
        SmallSurvey.Make(work["--pdf"]);
        Ran.In(work.Root, "check", "@home").Succeeded();
        Ran.In(work.Root, "check", "[parse]").Succeeded();
        Ran.In(work.Root, "check", "--", "--pdf").Succeeded();
        Assert.Contains("[parse]", Ran.In(work.Root, "[parse]", "check", "@home").Refused(2).Error);
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
