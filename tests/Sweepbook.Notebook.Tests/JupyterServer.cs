// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Text;
using System.Text.Json;
using Xunit;

namespace Sweepbook.Notebook.Tests;

/// <summary>
/// A real Jupyter server on copies of the notebooks, as somebody has it who followed the README: with the installed kernel and, where the system allows it, in a network
/// namespace of its own that knows nothing but itself.
/// </summary>
internal sealed class JupyterServer : IAsyncDisposable
{
    private const string Program = "/usr/bin/jupyter-notebook";
    private const int Port = 8888;   // free: the namespace is the server's own; elsewhere Jupyter takes the next one
    private static readonly TimeSpan StartLimit = TimeSpan.FromMinutes(2);

    private readonly TestFolder _folder;
    private readonly Process _process;

    private JupyterServer(TestFolder folder, Process process, string address, bool cut) => (_folder, _process, Address, IsCut) = (folder, process, address, cut);

    /// <summary>Where it answers, for example <c>http://127.0.0.1:8888/</c>.</summary>
    public string Address { get; }

    /// <summary>True where the server, its kernels and a browser that joins it have no network.</summary>
    public bool IsCut { get; }

    /// <summary>The process whose network a browser joins; null where the network is not cut.</summary>
    public int? Network => IsCut ? _process.Id : null;

    /// <summary>The folder of notebooks that it serves; copies, with the demo surveys and the built library beside them.</summary>
    public string Notebooks => _folder.File("notebooks");

    /// <summary>The folder of <c>sweepbook jupyter install --into</c>.</summary>
    public static string KernelFolder => Environment.GetEnvironmentVariable("SWEEPBOOK_JUPYTER") ?? Path.Combine(TestFolder.Repository, "artifacts", "jupyter");

    /// <summary>True where all is here that it takes.</summary>
    public static bool IsHere => File.Exists(Program) && HasKernel && TestBrowser.Program is not null;

    private static bool HasKernel => Directory.Exists(Path.Combine(KernelFolder, "kernels"));

    public static void SkipWithout()
    {
        Assert.SkipUnless(File.Exists(Program), "No Jupyter Notebook here (Debian: jupyter-notebook).");
        SkipWithoutKernel();
        TestBrowser.SkipWithout();
    }

    public static void SkipWithoutKernel() => Assert.SkipUnless(HasKernel, "The kernel is not installed: run environment/sweepbook jupyter install --into artifacts/jupyter.");

    public static async Task<JupyterServer> StartAsync()
    {
        var folder = new TestFolder();
        CopyNotebooks(Path.Combine(TestFolder.Repository, "notebooks"), folder.File("notebooks"));
        foreach (var name in new[] { "data-demo", "artifacts" }) Directory.CreateSymbolicLink(folder.File(name), Path.Combine(TestFolder.Repository, name));
        Directory.CreateDirectory(folder.File("settings"));
        // what a person on an own machine needs none of: the right to run as root, no window of a browser, no token to type
        await File.WriteAllTextAsync(folder.File("settings/jupyter_notebook_config.json"),
            JsonSerializer.Serialize(new { NotebookApp = new { allow_root = true, open_browser = false, token = "", password = "", ip = "127.0.0.1", port = Port } }));

        var lines = ReadmeLines();
        LinkTool(folder);
        await RunAsync(new("sh", ["-c", lines[1]]) { WorkingDirectory = TestFolder.Repository }, folder);
        var cut = TestBrowser.CanCut();
        var start = cut ? new ProcessStartInfo("unshare", ["-n", "sh", "-c", "ip link set lo up && exec " + lines[2]]) : new ProcessStartInfo("sh", ["-c", "exec " + lines[2]]);
        start.WorkingDirectory = folder.Path;
        start.RedirectStandardError = start.RedirectStandardOutput = true;
        SetPlaces(start, folder);
        var process = Process.Start(start)!;
        return new(folder, process, await AddressAsync(process), cut);
    }

    /// <summary>The three lines that the README gives to somebody who wants to work in the notebooks: build, install the kernel, start Jupyter. They are run word for word.</summary>
    private static string[] ReadmeLines()
    {
        var readme = File.ReadAllLines(Path.Combine(TestFolder.Repository, "README.md"));
        var first = Array.FindIndex(readme, line => line.Contains("jupyter install", StringComparison.Ordinal)) - 1;
        var lines = readme[first..(first + 3)].Select(line => line.Trim()).ToArray();
        return lines is ["dotnet build", _, _] && lines[2].StartsWith("jupyter notebook ", StringComparison.Ordinal) ? lines : throw new InvalidOperationException($"The README's way into Jupyter is another one: {string.Join(" / ", lines)}");
    }

    /// <summary>The kernel's program as it was fetched once, in the place where the README's line looks for it, so that no network is needed here.</summary>
    private static void LinkTool(TestFolder folder)
    {
        var place = folder.File(Path.Combine("own", "sweepbook", "kernel"));
        Directory.CreateDirectory(place);
        var version = Path.GetFileName(Directory.GetDirectories(Path.Combine(KernelFolder, "tool", ".store", "microsoft.dotnet-interactive")).Single());
        Directory.CreateSymbolicLink(Path.Combine(place, version), Path.Combine(KernelFolder, "tool"));
    }

    /// <summary>Waits until the server says where it answers, and keeps reading so that it is never held up.</summary>
    private static async Task<string> AddressAsync(Process process)
    {
        var (said, found) = (new StringBuilder(), new TaskCompletionSource<string>(TaskCreationOptions.RunContinuationsAsynchronously));
        process.ErrorDataReceived += (_, line) =>
        {
            said.AppendLine(line.Data);
            if (line.Data?.Split(' ').FirstOrDefault(word => word.StartsWith("http://127.0.0.1:", StringComparison.Ordinal)) is { } address) found.TrySetResult(address.TrimEnd('/') + "/");
            if (line.Data is null) found.TrySetException(new InvalidOperationException(said.ToString()));
        };
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return await found.Task.WaitAsync(StartLimit);
    }

    private static async Task RunAsync(ProcessStartInfo start, TestFolder folder)
    {
        start.RedirectStandardError = start.RedirectStandardOutput = true;
        SetPlaces(start, folder);
        using var process = Process.Start(start)!;
        var (said, complained) = (process.StandardOutput.ReadToEndAsync(), process.StandardError.ReadToEndAsync());
        await process.WaitForExitAsync();
        if (process.ExitCode != 0) throw new InvalidOperationException(await said + await complained);
    }

    /// <summary>Nothing of it touches the settings, the trust or the kernels of the person who runs the tests.</summary>
    private static void SetPlaces(ProcessStartInfo start, TestFolder folder)
    {
        foreach (var (name, value) in new[]
        {
            ("HOME", folder.Path), ("JUPYTER_CONFIG_DIR", folder.File("settings")), ("JUPYTER_DATA_DIR", folder.File("data")), ("JUPYTER_RUNTIME_DIR", folder.File("running")),
            ("XDG_DATA_HOME", folder.File("own")), ("DOTNET_CLI_HOME", folder.Path),
        }) start.Environment[name] = value;
    }

    private static void CopyNotebooks(string from, string to)
    {
        Directory.CreateDirectory(to);
        foreach (var file in Directory.GetFiles(from)) File.Copy(file, Path.Combine(to, Path.GetFileName(file)));
        foreach (var inner in Directory.GetDirectories(from).Where(inner => Path.GetFileName(inner)[0] != '.')) CopyNotebooks(inner, Path.Combine(to, Path.GetFileName(inner)));
    }

    public async ValueTask DisposeAsync()
    {
        _process.Kill(entireProcessTree: true);
        await _process.WaitForExitAsync();
        _process.Dispose();
        _folder.Dispose();
    }
}
