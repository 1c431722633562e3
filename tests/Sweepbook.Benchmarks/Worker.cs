// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Globalization;
using Sweepbook.Benchmarks.Cases;

namespace Sweepbook.Benchmarks;

/// <summary>One case on our side, in a process of its own, with the same orders and answers as <c>scipy/work.py</c>.</summary>
internal static class Worker
{
    private const double SecondsPerRun = 0.15;
    private const int MostCalls = 200;

    public static void Serve(string caseName, string folder)
    {
        var work = SideCase.All.Single(some => some.Name == caseName);
        work.Load(folder);
        while (Console.ReadLine() is { } order)
            Console.WriteLine(order switch
            {
                "run" => Median(Times(work)).ToString("R", CultureInfo.InvariantCulture),
                "memory" => PeakMebibytes().ToString("R", CultureInfo.InvariantCulture),
                _ => $".NET {Environment.Version}",
            });
    }

    internal static double Median(IEnumerable<double> values)
    {
        double[] sorted = [.. values.Order()];
        return (sorted[(sorted.Length - 1) / 2] + sorted[sorted.Length / 2]) / 2;
    }

    private static List<double> Times(SideCase work)
    {
        var times = new List<double>();
        do
        {
            var start = Stopwatch.GetTimestamp();
            work.Run();
            times.Add(Stopwatch.GetElapsedTime(start).TotalSeconds);
        }
        while (times.Sum() < SecondsPerRun && times.Count < MostCalls);
        return times;
    }

    private static double PeakMebibytes()
    {
        const string Peak = "VmHWM:";
        foreach (var line in File.Exists("/proc/self/status") ? File.ReadAllLines("/proc/self/status") : [])
            if (line.StartsWith(Peak, StringComparison.Ordinal)) return double.Parse(line[Peak.Length..].Replace("kB", ""), CultureInfo.InvariantCulture) / 1024;
        using var self = Process.GetCurrentProcess();
        return self.PeakWorkingSet64 / 1048576.0;
    }
}
