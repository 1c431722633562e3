// SPDX-License-Identifier: MIT
using System.Text.Json;
using System.Text.Json.Nodes;

namespace Sweepbook.Cli;

/// <summary>Where the kernel's program and its description for Jupyter lie, and what is there now.</summary>
/// <param name="Tool">The folder of the program; nothing else is in it.</param>
/// <param name="Kernels">The folder in which Jupyter looks for kernels.</param>
/// <param name="JupyterPath">What JUPYTER_PATH has to name; null where Jupyter looks anyway.</param>
/// <remarks>Source of the folders: the documentation of jupyter_core, "Common Directories and File Locations"; of the description: the documentation of jupyter_client, "Kernel specs".</remarks>
internal sealed record KernelPlaces(string Tool, string Kernels, string? JupyterPath)
{
    /// <summary>The package; upstream has ended it, so that the version stays.</summary>
    public const string Package = "Microsoft.dotnet-interactive";

    public const string Version = "1.0.712001";

    public const string Name = "sweepbook";

    public const string DisplayName = "Sweepbook (C#)";

    private const string ProgramFile = "Microsoft.DotNet.Interactive.App.dll";

    public string Folder => Path.Combine(Kernels, Name);

    public string Description => Path.Combine(Folder, "kernel.json");

    /// <summary>The program where the package puts it.</summary>
    public string Program => ProgramIn(Tool);

    public static string ProgramIn(string tool) =>
        Path.Combine(tool, ".store", Package.ToLowerInvariant(), Version, Package.ToLowerInvariant(), Version, "tools", "net10.0", "any", ProgramFile);

    /// <summary>True where the folder of the program is there and was made by the installer of .NET tools, whole or not.</summary>
    public bool IsToolFolder => Directory.Exists(Path.Combine(Tool, ".store", Package.ToLowerInvariant())) || (Directory.Exists(Tool) && !Directory.EnumerateFileSystemEntries(Tool).Any());

    public bool IsToolWhole => File.Exists(Program) && File.Exists(Path.ChangeExtension(Program, ".runtimeconfig.json")) && File.Exists(Path.ChangeExtension(Program, ".deps.json"));

    public static KernelPlaces Of(string? into)
    {
        if (into is not null) return new(Path.GetFullPath(Path.Combine(into, "tool")), Path.GetFullPath(Path.Combine(into, "kernels")), Path.GetFullPath(into));
        var own = Environment.GetFolderPath(Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.DoNotVerify);
        return new(Path.Combine(own, "sweepbook", "kernel", Version), Path.Combine(JupyterData(), "kernels"), null);
    }

    private static string JupyterData()
    {
        if (Environment.GetEnvironmentVariable("JUPYTER_DATA_DIR") is { Length: > 0 } named) return Path.GetFullPath(named);
        var home = Environment.GetFolderPath(Environment.SpecialFolder.UserProfile, Environment.SpecialFolderOption.DoNotVerify);
        if (OperatingSystem.IsWindows()) return Path.Combine(Environment.GetFolderPath(Environment.SpecialFolder.ApplicationData), "jupyter");
        if (OperatingSystem.IsMacOS()) return Path.Combine(home, "Library", "Jupyter");
        return Environment.GetEnvironmentVariable("XDG_DATA_HOME") is { Length: > 0 } data ? Path.Combine(data, "jupyter") : Path.Combine(home, ".local", "share", "jupyter");
    }

    /// <summary>
    /// Jupyter's stop button sends SIGINT, which would end the kernel and lose all variables: it ignores that signal and gets SIGURG in its place, which stops the work that
    /// runs and does nothing else. An interrupt sent as a message would wait behind the running cell. On Windows the page's server sets an event instead.
    /// A watcher ends the kernel where Jupyter itself, whose process JPY_PARENT_PID names, or this launcher was ended by force: nobody else would.
    /// </summary>
    private const string Launcher =
        """(trap "" INT; exec "$@") & k=$!; """
        + """(kill -0 "$JPY_PARENT_PID" || exit; while kill -0 $k; do kill -0 "$JPY_PARENT_PID" && kill -0 $$ || { kill -KILL $k; exit; }; sleep 2; done) </dev/null >/dev/null 2>&1 & """
        + """trap "kill -URG $k" INT; trap "kill -TERM $k" TERM; while kill -0 $k 2>/dev/null; do wait $k; done""";

    /// <summary>The description that Jupyter reads: the tool by its whole path, no telemetry, its web interface on this machine only, a stop that the kernel survives.</summary>
    /// <param name="host">The <c>dotnet</c> that runs it.</param>
    public string Text(string host)
    {
        string[] start = [host, Program, "jupyter", "--http-local-only", "--default-kernel", "csharp", "{connection_file}"];
        if (!OperatingSystem.IsWindows()) start = ["sh", "-c", Launcher, "sweepbook-kernel", .. start];
        return new JsonObject
        {
            ["argv"] = new JsonArray([.. start.Select(word => (JsonNode)word)]),
            ["display_name"] = DisplayName,
            ["language"] = "C#",
            ["env"] = new JsonObject
            {
                ["SWEEPBOOK_STOP_SIGNAL"] = "URG",
                ["DOTNET_INTERACTIVE_CLI_TELEMETRY_OPTOUT"] = "1",
                ["DOTNET_CLI_TELEMETRY_OPTOUT"] = "1",
                ["DOTNET_gcServer"] = "0",
                ["DOTNET_TieredPGO"] = "0",
            },
        }.ToJsonString(new() { WriteIndented = true, NewLine = "\n", Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping }) + "\n";
    }

    /// <summary>The program that the description in its place starts; null where there is no description, empty where it starts something else.</summary>
    public string? Described()
    {
        if (!File.Exists(Description)) return null;
        try
        {
            var argv = JsonNode.Parse(File.ReadAllText(Description))?["argv"] as JsonArray;
            return argv?.Select(word => (string?)word).FirstOrDefault(word => word?.EndsWith(ProgramFile, StringComparison.Ordinal) == true) ?? "";
        }
        catch (Exception unreadable) when (unreadable is JsonException or InvalidOperationException)
        {
            return "";
        }
    }
}
