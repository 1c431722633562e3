// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text.RegularExpressions;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>Ctrl-C at any moment of a report: exit code 130, the old output whole, the takes untouched, no process left behind.</summary>
public sealed partial class InterruptTests : IDisposable
{
    private const int Interrupt = 2;   // SIGINT in POSIX.1-2017, signal.h, as Linux and macOS number it

    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    // The moment, as the part of the steps that has begun; below zero means at the very first words.
    [Theory]
    [InlineData(-1.0)]
    [InlineData(0.0)]
    [InlineData(0.3)]
    [InlineData(0.6)]
    [InlineData(0.9)]
    public void An_interrupted_report_leaves_everything_as_it_was(double moment)
    {
        if (OperatingSystem.IsWindows()) return;   // there is no SIGINT to send to one process; the console's Ctrl-C takes the same path
        SkipWhereIgnored();
        var survey = SmallSurvey.Make(_work["survey"], takes: 4);
        Directory.CreateDirectory(_work["out", "survey"]);
        File.WriteAllText(_work["out", "survey", "report.html"], "old");
        File.WriteAllText(_work["out", "survey", "written-by-sweepbook.txt"], "These files\nreport.html\n");
        var (before, output) = (WorkFolder.Fingerprint(survey.Folder), WorkFolder.Fingerprint(_work["out"]));

        using var process = Ran.Start(_work.Root, "report", "survey");
        List<int> children = [];
        while (process.StandardOutput.ReadLine() is { } line)
        {
            var step = Step().Match(line);
            var reached = moment < 0 || step.Success && Number(step, 1) >= Math.Max(1, moment * Number(step, 2));
            if (!reached) continue;
            children = Children(process.Id);
            Assert.Equal(0, Send(process.Id, Interrupt));
            break;
        }
        var ran = Ran.Finish(process);

        Assert.True(ran.ExitCode == 130, $"exit code {ran.ExitCode}\n{ran.Output}\n{ran.Error}");
        ran.Refused(130);
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
        Assert.Equal(output, WorkFolder.Fingerprint(_work["out"]));
        Assert.DoesNotContain(children, IsAlive);
    }

    [Fact]
    public void An_interrupted_run_leaves_the_earlier_notebook_whole()
    {
        if (OperatingSystem.IsWindows()) return;   // as above
        SkipWhereIgnored();
        File.WriteAllText(_work["slow.ipynb"], BadInputTests.Notebook("var x = 1;", "x + 1"));
        Ran.In(_work.Root, "run", "slow.ipynb", "--out", "ran").Succeeded();
        var before = WorkFolder.Fingerprint(_work["ran"]);
        File.WriteAllText(_work["slow.ipynb"], BadInputTests.Notebook("var x = 1;", "x + 1", "System.Threading.Thread.Sleep(100_000);"));
        using var process = Ran.Start(_work.Root, "run", "slow.ipynb", "--out", "ran");
        while (process.StandardOutput.ReadLine() is { } line)
        {
            if (!line.StartsWith("Step 3", StringComparison.Ordinal)) continue;
            Assert.Equal(0, Send(process.Id, Interrupt));
            break;
        }
        Ran.Finish(process).Refused(130);
        Assert.Equal(before, WorkFolder.Fingerprint(_work["ran"]));
    }

    [Fact]
    public void Two_notebooks_of_one_name_are_refused_before_anything_runs()
    {
        foreach (var folder in new[] { "a", "b" })
        {
            Directory.CreateDirectory(_work[folder]);
            File.WriteAllText(_work[folder, "same.ipynb"], BadInputTests.Notebook("var x = 1;"));
        }
        Assert.Contains("same", Ran.In(_work.Root, "run", "a/same.ipynb", "b/same.ipynb", "--out", "ran").Refused(1).Error);
        Assert.False(Directory.Exists(_work["ran"]));
    }

    [Fact]
    public void A_failing_cell_leaves_what_ran_until_then_and_nothing_else()
    {
        File.WriteAllText(_work["bad.ipynb"], BadInputTests.Notebook("var x = 1;", "x + 41", "throw new System.IO.InvalidDataException(\"no\");"));
        Ran.In(_work.Root, "run", "bad.ipynb", "--out", "ran").Refused(1);
        Assert.Contains("42", File.ReadAllText(_work["ran", "bad.ipynb"]));
        Assert.Equal(["bad.ipynb"], Directory.EnumerateFileSystemEntries(_work["ran"]).Select(Path.GetFileName));
    }

    /// <summary>A script's background job is born with the signal ignored, and so is everything it starts (POSIX.1-2017, shell command language, 2.11).</summary>
    internal static void SkipWhereIgnored()
    {
        const string Ignored = "SigIgn:";   // proc(5): a hexadecimal mask, signal n at bit n − 1
        var line = File.Exists("/proc/self/status") ? File.ReadLines("/proc/self/status").FirstOrDefault(text => text.StartsWith(Ignored, StringComparison.Ordinal)) : null;
        Assert.SkipWhen(line is not null && (Convert.ToUInt64(line[Ignored.Length..].Trim(), 16) >> (Interrupt - 1) & 1) == 1,
            "these tests were started as a background job of a script, where Ctrl-C is ignored: start them in the foreground");
    }

    private static double Number(Match step, int group) => double.Parse(step.Groups[group].Value, CultureInfo.InvariantCulture);

    private static List<int> Children(int parent) =>
        [.. Directory.EnumerateDirectories("/proc").Select(Path.GetFileName).Where(name => name!.All(char.IsAsciiDigit)).Select(name => int.Parse(name!, CultureInfo.InvariantCulture))
            .Where(child => ParentOf(child) == parent)];

    // proc(5): the fourth field of stat, counted after the name in parentheses.
    private static int ParentOf(int process)
    {
        try
        {
            var text = File.ReadAllText($"/proc/{process}/stat");
            return int.Parse(text[(text.LastIndexOf(')') + 2)..].Split(' ')[1], CultureInfo.InvariantCulture);
        }
        catch (IOException)
        {
            return -1;   // it has ended
        }
    }

    private static bool IsAlive(int process)
    {
        try
        {
            return !Process.GetProcessById(process).HasExited;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }

    [GeneratedRegex(@"^Step (\d+) of (\d+)")]
    private static partial Regex Step();

    [DllImport("libc", EntryPoint = "kill", SetLastError = true)]
    private static extern int Send(int process, int signal);
}
