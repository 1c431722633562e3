// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>What one run of the built command said and left.</summary>
internal sealed record Ran(int ExitCode, string Output, string Error)
{
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(3);   // a hang, not a measurement of speed

    public static string Program { get; } = Path.Combine(AppContext.BaseDirectory, "Sweepbook.Cli.dll");

    /// <summary>Runs the command in a folder and waits.</summary>
    public static Ran In(string folder, params string[] arguments)
    {
        using var process = Start(folder, arguments);
        return Finish(process);
    }

    /// <summary>Starts the command and returns at once.</summary>
    public static Process Start(string folder, params string[] arguments) => Start(folder, [], arguments);

    /// <summary>The same with environment variables.</summary>
    public static Process Start(string folder, (string Name, string Value)[] environment, params string[] arguments)
    {
        var start = new ProcessStartInfo("dotnet", ["exec", Program, .. arguments])
        {
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
        };
        start.Environment.Remove(CommandLine.DetailsVariable);
        foreach (var (name, value) in environment) start.Environment[name] = value;
        var process = Process.Start(start)!;
        process.StandardInput.Close();
        return process;
    }

    /// <summary>Waits for the end and collects both streams.</summary>
    public static Ran Finish(Process process)
    {
        var (output, error) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            Assert.Fail($"The command did not end: {process.StartInfo.ArgumentList.Aggregate((a, b) => $"{a} {b}")}");
        }
        process.WaitForExit();
        return new(process.ExitCode, output.Result, error.Result);
    }

    /// <summary>Exit code as wanted, at most <paramref name="lines"/> lines of complaint, no stack trace.</summary>
    public Ran Refused(int exitCode, int lines = 2)
    {
        Assert.True(ExitCode == exitCode, $"exit code {ExitCode} instead of {exitCode}\n{Output}\n{Error}");
        NoStackTrace();
        Assert.InRange(Error.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length, 1, lines);
        return this;
    }

    /// <summary>Exit code 0.</summary>
    public Ran Succeeded()
    {
        Assert.True(ExitCode == 0, $"exit code {ExitCode}\n{Output}\n{Error}");
        return NoStackTrace();
    }

    private Ran NoStackTrace()
    {
        Assert.DoesNotContain("   at ", Output + Error);
        Assert.DoesNotContain("Exception", Output + Error);
        return this;
    }
}
