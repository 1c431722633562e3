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

    /// <summary>True where all is here that it takes.</summary>
    public static bool IsHere => File.Exists(Program) && NotebookInJupyterTests.IsHere && TestBrowser.Program is not null;

    public static void SkipWithout()
    {
        Assert.SkipUnless(File.Exists(Program), "No Jupyter Notebook here (Debian: jupyter-notebook).");
        NotebookInJupyterTests.SkipWithout();
        TestBrowser.SkipWithout();
    }

    public static async Task<JupyterServer> StartAsync()
    {
        var folder = new TestFolder();
        CopyNotebooks(Path.Combine(TestFolder.Repository, "notebooks"), folder.File("notebooks"));
        foreach (var name in new[] { "data-demo", "artifacts" }) Directory.CreateSymbolicLink(folder.File(name), Path.Combine(TestFolder.Repository, name));
        Directory.CreateDirectory(folder.File("settings"));
        // what a person on an own machine needs none of: the right to run as root, no window of a browser, no token to type
        await File.WriteAllTextAsync(folder.File("settings/jupyter_notebook_config.json"),
            JsonSerializer.Serialize(new { NotebookApp = new { allow_root = true, open_browser = false, token = "", password = "", ip = "127.0.0.1", port = Port } }));

        var cut = TestBrowser.CanCut();
        var start = cut ? new ProcessStartInfo("unshare", ["-n", "sh", "-c", "ip link set lo up && exec \"$0\" \"$@\"", Program, folder.File("notebooks")])
            : new ProcessStartInfo(Program, [folder.File("notebooks")]);
        start.RedirectStandardError = start.RedirectStandardOutput = true;
        foreach (var (name, value) in new[]
        {
            ("HOME", folder.Path), ("JUPYTER_CONFIG_DIR", folder.File("settings")), ("JUPYTER_DATA_DIR", folder.File("data")), ("JUPYTER_RUNTIME_DIR", folder.File("running")),
            ("JUPYTER_PATH", NotebookInJupyterTests.KernelFolder), ("DOTNET_CLI_HOME", folder.Path),
        }) start.Environment[name] = value;
        var process = Process.Start(start)!;
        return new(folder, process, await AddressAsync(process), cut);
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
