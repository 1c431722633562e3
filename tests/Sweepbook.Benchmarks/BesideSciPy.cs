// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Globalization;
using System.Runtime.InteropServices;
using Sweepbook.Benchmarks.Cases;

namespace Sweepbook.Benchmarks;

/// <summary>The same work by Sweepbook and by SciPy, in alternation, each in a process of its own and on one thread: medians, ratio and peak memory.</summary>
internal static class BesideSciPy
{
    private const int Rounds = 7;       // the median of these; five at least
    private const int WarmUpRounds = 4; // compilers, caches and plans; not counted

    public static void Run()
    {
        Console.WriteLine($"machine: {Processor()}, {Environment.ProcessorCount} processors, {RuntimeInformation.OSDescription.Split('#')[0].Trim()}");
        Console.WriteLine($"medians of {Rounds} runs in alternation, one thread on either side");
        var versions = "";
        Console.WriteLine("\n| work | Sweepbook ms | SciPy ms | ratio | goal | Sweepbook MiB | SciPy MiB |\n|---|---|---|---|---|---|---|");
        foreach (var work in SideCase.All)
        {
            var folder = Directory.CreateTempSubdirectory("beside-scipy-").FullName;
            try
            {
                work.WriteInputs(folder);
                using Side ours = Side.Ours(work, folder), theirs = Side.SciPy(work, folder);
                versions = $"{ours.Ask("versions")}; {theirs.Ask("versions")}";
                List<double> ourTimes = [], theirTimes = [];
                for (var round = 0; round < WarmUpRounds + Rounds; round++)
                {
                    var (our, their) = (ours.AskNumber("run"), theirs.AskNumber("run"));
                    if (round < WarmUpRounds) continue;
                    ourTimes.Add(our);
                    theirTimes.Add(their);
                }
                var (a, b) = (1e3 * Worker.Median(ourTimes), 1e3 * Worker.Median(theirTimes));
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
                    $"| {work.Name} | {a:F2} | {b:F2} | {a / b:F2} | {work.GoalRatio} | {ours.AskNumber("memory"):F0} | {theirs.AskNumber("memory"):F0} |"));
            }
            finally
            {
                Directory.Delete(folder, recursive: true);
            }
        }
        Console.WriteLine(WholeReport.Row());
        Console.WriteLine($"\n{versions}");
    }

    private static string Processor()
    {
        const string Key = "model name";
        var line = File.Exists("/proc/cpuinfo") ? File.ReadLines("/proc/cpuinfo").FirstOrDefault(text => text.StartsWith(Key, StringComparison.Ordinal)) : null;
        return line is null ? RuntimeInformation.ProcessArchitecture.ToString() : line[(line.IndexOf(':') + 1)..].Trim();
    }

    /// <summary>A process that answers every line with a line.</summary>
    private sealed class Side : IDisposable
    {
        private readonly Process _process;

        private Side(string program, params ReadOnlySpan<string> arguments)
        {
            ProcessStartInfo start = new(program) { RedirectStandardInput = true, RedirectStandardOutput = true };
            foreach (var argument in arguments) start.ArgumentList.Add(argument);
            foreach (var name in (string[])["OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"]) start.Environment[name] = "1";
            _process = Process.Start(start) ?? throw new InvalidOperationException($"{program} could not be started.");
        }

        public static Side Ours(SideCase work, string folder) => new("dotnet", typeof(BesideSciPy).Assembly.Location, "worker", work.Name, folder);

        public static Side SciPy(SideCase work, string folder) => new(SciPySide.Python, SciPySide.WorkScript, work.Script, folder);

        public string Ask(string order)
        {
            _process.StandardInput.WriteLine(order);
            return _process.StandardOutput.ReadLine() ?? throw new InvalidOperationException($"{_process.StartInfo.FileName} ended without an answer to \"{order}\".");
        }

        public double AskNumber(string order) => double.Parse(Ask(order), CultureInfo.InvariantCulture);

        public void Dispose()
        {
            _process.StandardInput.Close();
            if (!_process.WaitForExit(5000)) _process.Kill(entireProcessTree: true);
            _process.Dispose();
        }
    }
}
