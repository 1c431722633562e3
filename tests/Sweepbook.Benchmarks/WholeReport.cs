// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Globalization;
using Sweepbook.Benchmarks.Cases;

namespace Sweepbook.Benchmarks;

/// <summary>What a user waits for: the whole report of the demo, command, child process and all. Nothing in SciPy does that.</summary>
internal static class WholeReport
{
    private const int Rounds = 5;
    private const int LookEveryMs = 20;

    /// <summary>A row of the table of <see cref="BesideSciPy"/>, or a line that says what is missing.</summary>
    public static string Row()
    {
        var root = SciPySide.Root;
        var program = Path.Combine(root, "src", "Sweepbook.Cli", "bin", "Release", "net10.0", "Sweepbook.Cli.dll");
        if (!File.Exists(program)) return "| report of the demo: build src/Sweepbook.Cli first | | | | | | |";
        List<double> milliseconds = [], mebibytes = [];
        for (var round = 0; round <= Rounds; round++)
        {
            var folder = Directory.CreateTempSubdirectory("whole-report-").FullName;
            try
            {
                var (time, peak) = Once(program, Path.Combine(root, "data-demo", "orchard-row"), Path.Combine(folder, "out"));
                if (round == 0) continue;   // fills the caches of the disk
                milliseconds.Add(time);
                mebibytes.Add(peak);
            }
            finally
            {
                Directory.Delete(folder, recursive: true);
            }
        }
        return string.Create(CultureInfo.InvariantCulture,
            $"| report of the demo, all processes, two threads | {Worker.Median(milliseconds):F0} | – | – | – | {Worker.Median(mebibytes):F0} | – |");
    }

    private static (double Milliseconds, double PeakMebibytes) Once(string program, string survey, string output)
    {
        var start = Stopwatch.GetTimestamp();
        using var process = Process.Start(new ProcessStartInfo("dotnet", [program, "report", survey, "--out", output]) { RedirectStandardOutput = true, RedirectStandardError = true })
            ?? throw new InvalidOperationException("dotnet could not be started.");
        var said = Task.WhenAll(process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
        double peak = 0;
        while (!process.WaitForExit(LookEveryMs)) peak = Math.Max(peak, ResidentMebibytes(process.Id));
        var milliseconds = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        return process.ExitCode == 0 ? (milliseconds, peak) : throw new InvalidOperationException($"The report ended with {process.ExitCode}: {string.Concat(said.Result)}");
    }

    /// <summary>What a process and all below it hold at this moment, where the system has /proc; 0 elsewhere.</summary>
    private static double ResidentMebibytes(int id)
    {
        try
        {
            var kibibytes = File.ReadLines($"/proc/{id}/status").Where(line => line.StartsWith("VmRSS:", StringComparison.Ordinal))
                .Select(line => double.Parse(line["VmRSS:".Length..].Replace("kB", ""), CultureInfo.InvariantCulture)).FirstOrDefault();
            var children = Directory.GetDirectories($"/proc/{id}/task").SelectMany(task => File.ReadAllText($"{task}/children").Split(' ', StringSplitOptions.RemoveEmptyEntries));
            return kibibytes / 1024 + children.Sum(child => ResidentMebibytes(int.Parse(child, CultureInfo.InvariantCulture)));
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return 0;   // it ended while we looked
        }
    }
}
