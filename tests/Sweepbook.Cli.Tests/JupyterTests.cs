// SPDX-License-Identifier: MIT
using System.Diagnostics;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>The kernel goes in and out; what is not ours stays; whatever is missing is said with the way to get it. No test fetches anything.</summary>
public sealed class JupyterTests : IDisposable
{
    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    /// <summary>The program as the package leaves it, for as much as the command looks at.</summary>
    internal static void PutTool(string into)
    {
        var program = KernelPlaces.Of(into).Program;
        Directory.CreateDirectory(Path.GetDirectoryName(program)!);
        foreach (var name in new[] { program, Path.ChangeExtension(program, ".runtimeconfig.json"), Path.ChangeExtension(program, ".deps.json") }) File.WriteAllText(name, "");
    }

    [Fact]
    public void A_second_install_changes_nothing_and_uninstall_takes_out_what_was_put_in()
    {
        PutTool(_work["k"]);
        File.WriteAllText(_work["k", "mine.txt"], "mine");
        var said = Ran.In(_work.Root, "jupyter", "install", "--into", "k").Succeeded().Output;
        Assert.Contains("Made known to Jupyter: ", said);
        Assert.Contains($"JUPYTER_PATH={_work["k"]} jupyter notebook ", said);
        var before = WorkFolder.Fingerprint(_work.Root);
        Assert.Contains("Known to Jupyter already", Ran.In(_work.Root, "jupyter", "install", "--into", "k").Succeeded().Output);
        Assert.Equal(before, WorkFolder.Fingerprint(_work.Root));
        var description = File.ReadAllText(_work["k", "kernels", "sweepbook", "kernel.json"]);
        Assert.Contains("--http-local-only", description);
        Assert.Contains("\"SWEEPBOOK_STOP_SIGNAL\": \"URG\"", description);
        Ran.In(_work.Root, "jupyter", "uninstall", "--into", "k").Succeeded();
        Assert.Equal(["mine.txt"], Directory.EnumerateFileSystemEntries(_work["k"]).Select(Path.GetFileName));
        Assert.Contains("nothing was removed", Ran.In(_work.Root, "jupyter", "uninstall", "--into", "k").Succeeded().Output);
    }

    [Fact]
    public void A_kernel_of_somebody_else_is_named_and_left_alone()
    {
        PutTool(_work["k"]);
        Directory.CreateDirectory(_work["k", "kernels", "sweepbook"]);
        File.WriteAllText(_work["k", "kernels", "sweepbook", "kernel.json"], """{ "argv": ["python3"] }""");
        Assert.Contains("kernel.json", Ran.In(_work.Root, "jupyter", "install", "--into", "k").Refused(ExitCode.BadData).Error);
        Assert.Contains("left alone", Ran.In(_work.Root, "jupyter", "uninstall", "--into", "k").Succeeded().Error);
        Assert.True(File.Exists(_work["k", "kernels", "sweepbook", "kernel.json"]));
        Directory.CreateDirectory(_work["other", "tool"]);
        File.WriteAllText(_work["other", "tool", "theirs"], "");
        Assert.Contains("holds something else", Ran.In(_work.Root, "jupyter", "install", "--into", "other").Refused(ExitCode.BadData).Error);
    }

    [Fact]
    public void Without_a_network_it_is_said_that_one_is_needed_once_and_the_old_folder_stays()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The stand-in is a shell script.");
        PutTool(_work["k"]);
        File.Delete(KernelPlaces.Of(_work["k"]).Program);   // half an install
        var before = WorkFolder.Fingerprint(_work["k"]);
        var refused = In("k", Stand("dotnet", "case $1 in --list-sdks) echo '10.0.100 [/x]';; *) echo 'error NU1301: Unable to load the index'; exit 1;; esac")).Refused(ExitCode.BadData).Error;
        Assert.Contains("NU1301", refused);
        Assert.Contains("needed this once", refused);
        Assert.Equal(before, WorkFolder.Fingerprint(_work["k"]));
    }

    [Fact]
    public void Half_an_install_is_made_whole()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The stand-in is a shell script.");
        PutTool(_work["k"]);
        PutTool(_work["store"]);
        File.Delete(KernelPlaces.Of(_work["k"]).Program);
        var stand = Stand("dotnet", $"case $1 in --list-sdks) echo '10.0.100 [/x]';; *) for last; do :; done; cp -r '{_work["store", "tool"]}' \"$last\";; esac");
        var ran = In("k", stand).Succeeded();
        Assert.Contains("made anew", ran.Output);
        Assert.Contains("apt install jupyter-notebook", ran.Error);   // the search path holds the stand-in alone
        Assert.True(KernelPlaces.Of(_work["k"]).IsToolWhole);
        Assert.Equal(["kernels", "tool"], Directory.EnumerateFileSystemEntries(_work["k"]).Select(Path.GetFileName).Order());
    }

    [Fact]
    public void With_a_runtime_alone_it_is_said_where_the_sdk_is()
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The stand-in is a shell script.");
        Assert.Contains("dotnet-sdk-10.0", In("k", Stand("dotnet", "exit 0")).Refused(ExitCode.BadData).Error);
        Assert.False(Directory.Exists(_work["k"]));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_kernel_whose_page_server_or_launcher_is_killed_ends_too(bool server)
    {
        Assert.SkipWhen(OperatingSystem.IsWindows(), "The launcher is for POSIX systems.");
        var description = System.Text.Json.Nodes.JsonNode.Parse(KernelPlaces.Of(_work["k"]).Text("sleep"))!["argv"]!.AsArray().Select(word => (string)word!).ToArray();
        using var parent = Process.Start("sleep", "60");
        var start = new ProcessStartInfo(description[0], [.. description[1..5], "60"]) { RedirectStandardOutput = true };
        start.Environment["JPY_PARENT_PID"] = parent.Id.ToString(System.Globalization.CultureInfo.InvariantCulture);
        using var launcher = Process.Start(start)!;
        var kernel = launcher.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);   // held open by the kernel as long as it lives
        await Task.Delay(WhileItStarts, TestContext.Current.CancellationToken);
        Assert.False(kernel.IsCompleted);
        (server ? parent : launcher).Kill();
        await kernel.WaitAsync(WatchedEvery * 3, TestContext.Current.CancellationToken);
        parent.Kill();
    }

    private static readonly TimeSpan WhileItStarts = TimeSpan.FromMilliseconds(100), WatchedEvery = TimeSpan.FromSeconds(2);   // as the launcher has it

    private string Stand(string name, string script)
    {
        Directory.CreateDirectory(_work["bin"]);
        File.WriteAllText(_work["bin", name], $"#!/bin/sh\nPATH=/usr/bin:/bin\n{script}\n");
        if (!OperatingSystem.IsWindows()) File.SetUnixFileMode(_work["bin", name], UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
        return _work["bin"];
    }

    private Ran In(string into, string searchPath)
    {
        using var process = Ran.Start(_work.Root, [("PATH", searchPath)], "jupyter", "install", "--into", into);
        return Ran.Finish(process);
    }
}
