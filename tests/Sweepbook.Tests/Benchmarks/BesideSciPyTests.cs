// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Sweepbook.Benchmarks.Cases;
using Xunit;
using static Sweepbook.Tests.Transforms.SlowFourier;

namespace Sweepbook.Tests.Benchmarks;

/// <summary>Before anybody compares times: both sides of every benchmark compute the same.</summary>
public sealed class BesideSciPyTests
{
    public static TheoryData<SideCase> Cases => [.. SideCase.Small];

    [Theory, MemberData(nameof(Cases))]
    public void Both_sides_compute_the_same(SideCase work)
    {
        Assert.SkipUnless(HasSciPy.Value, "python3 with SciPy is not installed (environment/debian-packages.txt), so there is nothing to compare with");
        var folder = Directory.CreateTempSubdirectory("beside-scipy-").FullName;
        try
        {
            work.WriteInputs(folder);
            work.Load(folder);
            work.Run();
            var theirs = Path.Combine(folder, "result.f64");
            Assert.Equal(0, Python([SciPySide.WorkScript, work.Script, folder], $"result {theirs}\n"));
            Assert.True(RelativeRms(SideCase.Read(theirs), work.Result()) <= work.Tolerance, $"{work.Name}: more than {work.Tolerance}; {work.WhyTolerance}");
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Fact]
    public void Every_kind_of_work_is_compared() =>
        Assert.Equal(SideCase.All.Select(work => work.Script).Distinct().Order(), SideCase.Small.Select(work => work.Script).Distinct().Order());

    private static readonly Lazy<bool> HasSciPy = new(() => Python(["-c", "import scipy"], "") == 0);

    private static int Python(string[] arguments, string input)
    {
        try
        {
            using var process = Process.Start(new ProcessStartInfo(SciPySide.Python, arguments) { RedirectStandardInput = true, RedirectStandardOutput = true })!;
            process.StandardInput.Write(input);
            process.StandardInput.Close();
            process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            return process.ExitCode;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return -1;   // no such program
        }
    }
}
