// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>What stands in a survey or comes out of a cell cannot steer the terminal, and a closed stream ends nothing.</summary>
public sealed class TerminalTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Fact]
    public void Every_control_character_is_replaced_and_nothing_else()
    {
        // ECMA-48: C0 is 00 to 1F, C1 is 80 to 9F; DELETE is 7F.
        for (var code = 0; code < 0x300; code++)
            Assert.Equal(code is < 0x20 or (>= 0x7f and <= 0x9f) ? "a\uFFFDb" : $"a{(char)code}b", PlainWords.Of($"a{(char)code}b"));
    }

    [Fact]
    public void A_name_and_the_words_of_a_cell_reach_the_screen_without_their_control_characters()
    {
        var ran = Ran.In(_work.Root, "check", "\e]0;owned\a\u009b2J\nsurvey").Refused(1);
        Assert.StartsWith("\uFFFD]0;owned\uFFFD\uFFFD2J", ran.Error);
        File.WriteAllText(_work["bad.ipynb"], BadInputTests.Notebook("var x = 1;", "throw new System.IO.InvalidDataException(\"no \" + (char)27 + \"[2J\" + (char)7);"));
        var run = Ran.In(_work.Root, "run", "bad.ipynb");
        Assert.Contains("no \uFFFD[2J\uFFFD", run.Error);
        Assert.All([ran, run], each => Assert.DoesNotContain(each.Output + each.Error, c => char.IsControl(c) && c is not ('\n' or '\r')));
    }

    [Theory]
    [InlineData("report nowhere 2>&-", 1)]
    [InlineData("reprot 2>&-", 2)]
    public void A_closed_standard_error_leaves_the_exit_code(string arguments, int exitCode)
    {
        if (OperatingSystem.IsWindows()) return;   // a POSIX shell closes it
        using var shell = Process.Start(new ProcessStartInfo("sh", ["-c", $"dotnet exec '{Ran.Program}' {arguments}"]) { WorkingDirectory = _work.Root, RedirectStandardOutput = true, RedirectStandardError = true })!;
        Assert.Equal(exitCode, Ran.Finish(shell).ExitCode);
    }

    [Fact]
    public void A_narrow_screen_breaks_names_and_never_numbers()
    {
        var survey = SmallSurvey.Make(_work["survey"]);
        var name = "main_seat-1-with-a-name-that-goes-on-and-on-for-sixty-columns.wav";
        File.Move(survey.Take(1), Path.Combine(survey.Folder, "takes", name));
        survey.Edit("takes = \"takes/{source}_{seat}.wav\"", "");
        survey.Append($"[[take]]\nfile = \"takes/{name}\"\nsources = [\"main\"]\nseat = \"seat-1\"\n");
        var output = Ran.In(_work.Root, "check", "survey").Output;
        Assert.Contains("peak dBFS", output);
        Assert.Matches(@"\d–\d+ +good", output);
        Assert.Contains("1 take is fit for use.", output);
        Assert.All(output.Split('\n').Where(line => !line.StartsWith("Take ", StringComparison.Ordinal)), line => Assert.InRange(line.TrimEnd().Length, 0, 80));
    }
}
