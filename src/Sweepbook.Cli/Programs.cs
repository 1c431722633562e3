// SPDX-License-Identifier: MIT
using System.Diagnostics;

namespace Sweepbook.Cli;

/// <summary>Other programs and what they say.</summary>
internal static class Programs
{
    /// <summary>Runs a program to its end; a cancellation ends it with all it started.</summary>
    /// <returns>Its exit code and the lines of both its outputs, in the order in which they came.</returns>
    public static async Task<(int Code, IReadOnlyList<string> Said)> RunAsync(string program, IEnumerable<string> arguments, CancellationToken cancellation)
    {
        var start = new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true, RedirectStandardInput = true, UseShellExecute = false, CreateNoWindow = true };
        foreach (var quiet in new[] { "DOTNET_CLI_TELEMETRY_OPTOUT", "DOTNET_NOLOGO", "DOTNET_SKIP_FIRST_TIME_EXPERIENCE" }) start.Environment[quiet] = "1";
        start.Environment["DOTNET_CLI_UI_LANGUAGE"] = "en";
        var said = new List<string>();
        using var process = new Process { StartInfo = start };
        void Hear(object sender, DataReceivedEventArgs line)
        {
            lock (said) if (line.Data is { } text) said.Add(text);
        }
        process.OutputDataReceived += Hear;
        process.ErrorDataReceived += Hear;
        process.Start();
        process.StandardInput.Close();
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        try
        {
            await process.WaitForExitAsync(cancellation);
        }
        catch (OperationCanceledException)
        {
            process.Kill(entireProcessTree: true);
            await process.WaitForExitAsync(CancellationToken.None);
            throw;
        }
        lock (said) return (process.ExitCode, [.. said]);
    }
}
