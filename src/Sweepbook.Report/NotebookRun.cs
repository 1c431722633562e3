// SPDX-License-Identifier: MIT
using System.Diagnostics;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>Executes a notebook in a process of its own, cell by cell, and can stop it at any moment.</summary>
/// <remarks>
/// A process, because a kernel cannot stop a cell that never ends and a cell can end the process it runs in. The executed notebook is written
/// after every cell in one piece, so that what was computed before a failure is there to be read.
/// </remarks>
public static class NotebookRun
{
    private const int KeptErrorLines = 50;
    private const int LongestErrorLine = 10_000;
    private const int EndMs = 10_000;
    private static readonly TimeSpan LastWords = TimeSpan.FromSeconds(1);   // between the end of the child and the last line from its pipes

    /// <summary>Runs the notebook of a request to its end, its first failing cell, a time-out or a cancellation.</summary>
    /// <param name="request">What to run and where to write it.</param>
    /// <param name="progress">Told when a code cell starts.</param>
    /// <param name="cancellation">Ends the process and all it started, then the call throws.</param>
    /// <returns>How it ended; a failing cell is a result, not an exception.</returns>
    /// <exception cref="DataFault">The notebook is missing or is no notebook, or a value has no variable to go to.</exception>
    /// <exception cref="OperationCanceledException">Cancelled; the process has ended.</exception>
    public static async Task<RunResult> StartAsync(NotebookRequest request, IProgress<RunProgress>? progress = null, CancellationToken cancellation = default)
    {
        ArgumentNullException.ThrowIfNull(request);
        cancellation.ThrowIfCancellationRequested();
        var child = ToChild(request);
        NotebookFile.Read(child.Notebook, child.ShownAs).Inject(child.Parameters);   // faults are told here, before a process is started

        using var process = Process.Start(StartInfo()) ?? throw new InvalidOperationException("The process for the notebook could not be started.");
        var errors = new List<string>();
        var allSaid = new TaskCompletionSource();
        _ = HearErrorsAsync(process.StandardError, errors, allSaid);
        try
        {
            await process.StandardInput.WriteLineAsync(JsonSerializer.Serialize(child, MessageContext.Default.ChildRequest));
            await process.StandardInput.FlushAsync(cancellation);
            var (last, end) = await FollowAsync(process, request, progress, cancellation);
            if (end is { Done: true }) return new(null, last.Cell);
            if (end is { Failure: { } failure }) return new(failure, Math.Max(0, failure.Cell - 1));
            await EndAsync(process);
            await Task.WhenAny(allSaid.Task, Task.Delay(LastWords, CancellationToken.None));
            string[] said;
            lock (errors) said = [.. errors];
            return new(Mark(child.Output, last, TimedOut(end, request) ?? ProcessEnded(last, process.ExitCode, said)), Math.Max(0, last.Cell - 1));
        }
        finally
        {
            await EndAsync(process);
        }
    }

    /// <summary>Keeps the first lines from the child's standard error, and reads on so that it is never held up.</summary>
    private static async Task HearErrorsAsync(StreamReader pipe, List<string> errors, TaskCompletionSource allSaid)
    {
        try
        {
            var lines = new BoundedLines(pipe);
            while (await lines.NextAsync(CancellationToken.None) is { } line)
                lock (errors) if (errors.Count < KeptErrorLines) errors.Add(line.Length > LongestErrorLine ? line[..LongestErrorLine] : line);
        }
        catch (Exception error) when (error is IOException or ObjectDisposedException or InvalidOperationException)
        {
            // the process was ended and its pipe closed
        }
        allSaid.TrySetResult();
    }

    /// <summary>Reads what the child says until it ends, is done, or has run out of time.</summary>
    private static async Task<(RunProgress Last, ChildMessage? End)> FollowAsync(Process process, NotebookRequest request, IProgress<RunProgress>? progress, CancellationToken cancellation)
    {
        var last = default(RunProgress);
        var whole = Stopwatch.StartNew();
        // a program that a cell started may hold the pipe open when the child has long ended, so its end is watched apart from the pipe's
        using var ended = new CancellationTokenSource();
        process.Exited += (_, _) => EndSoon(ended);
        process.EnableRaisingEvents = true;
        using var limit = CancellationTokenSource.CreateLinkedTokenSource(cancellation, ended.Token);
        limit.CancelAfter(Shorter(request.CellTimeout, request.Timeout));
        try
        {
            var lines = new BoundedLines(process.StandardOutput);
            while (await lines.NextAsync(limit.Token) is { } line)
            {
                if (ChildMessage.FromLine(line) is not { } message) continue;
                if (message.Progress is not { } now) return (last, message);
                last = now;
                progress?.Report(now);
                limit.CancelAfter(Shorter(request.CellTimeout, request.Timeout - whole.Elapsed));
            }
            return (last, null);
        }
        catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
        {
            return (last, ended.IsCancellationRequested ? null : new() { Progress = last });   // the latter: out of time
        }
    }

    private static void EndSoon(CancellationTokenSource ended)
    {
        try
        {
            ended.CancelAfter(LastWords);
        }
        catch (ObjectDisposedException)
        {
            // its last words were heard already
        }
    }

    private static TimeSpan Shorter(TimeSpan one, TimeSpan other)
    {
        var shorter = one < other ? one : other;
        return shorter > TimeSpan.Zero ? shorter : TimeSpan.Zero;
    }

    private static RunFailure? TimedOut(ChildMessage? end, NotebookRequest request) => end?.Progress is not { } last ? null
        : new(last.Cell, null, "Timeout", $"stopped: it was not finished within {Shorter(request.CellTimeout, request.Timeout).TotalSeconds:0.#} s. Give it more time, or look for a loop that does not end.");

    private static RunFailure ProcessEnded(RunProgress last, int exitCode, string[] said)
    {
        var first = said.FirstOrDefault(line => line.Trim().Length > 0);
        return new(last.Cell, null, "ProcessEnded", $"the cell ended the process it ran in (exit code {exitCode}){(first is null ? "" : $": {first.Trim()}")}");
    }

    /// <summary>Writes the failure that the child could not write into the notebook as it stands.</summary>
    private static RunFailure Mark(string output, RunProgress last, RunFailure failure)
    {
        if (last.Cell == 0 || !File.Exists(output)) return failure;
        var notebook = NotebookFile.Read(output);
        var cell = notebook.Cells.Where(cell => cell.IsCode).ElementAtOrDefault(last.Cell - 1);
        if (cell is null) return failure;
        cell.Outputs.Add(CellOutputs.ErrorOutput(failure, failure.Message));
        notebook.Write(output);
        return failure;
    }

    /// <summary>Ends the child and all that its cells started; one that is done waits for this, so that nothing it started outlives the run.</summary>
    private static async Task EndAsync(Process process)
    {
        try
        {
            if (!process.HasExited) process.Kill(entireProcessTree: true);
        }
        catch (InvalidOperationException)
        {
            return;   // it ended between the two calls
        }
        await Task.Run(() => process.WaitForExit(EndMs));   // unlike WaitForExitAsync it does not wait for the ends of pipes that others may hold
    }

    private static ChildRequest ToChild(NotebookRequest request) => new()
    {
        Notebook = Path.GetFullPath(request.Notebook),
        ShownAs = request.Notebook,
        Output = Path.GetFullPath(request.Output),
        Page = request.Page is null ? null : Path.GetFullPath(request.Page),
        Title = request.Title,
        Command = request.Command,
        VerifyCommand = request.VerifyCommand,
        Date = request.Date,
        Provenance = request.Provenance is null ? null : Path.GetFullPath(request.Provenance),
        Parameters = Literals(request.Parameters),
        ShownParameters = Literals(request.ShownParameters),
    };

    private static IReadOnlyDictionary<string, string> Literals(IReadOnlyDictionary<string, object> values) =>
        values.ToDictionary(pair => pair.Key, pair => NotebookFile.Literal(pair.Value));

    internal static ProcessStartInfo StartInfo()
    {
        var assembly = typeof(NotebookRun).Assembly.Location;
        var host = Path.Combine(RuntimeEnvironment.GetRuntimeDirectory(), "..", "..", "..", OperatingSystem.IsWindows() ? "dotnet.exe" : "dotnet");
        var start = new ProcessStartInfo(File.Exists(host) ? Path.GetFullPath(host) : "dotnet")
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            StandardInputEncoding = new UTF8Encoding(false),
            StandardOutputEncoding = Encoding.UTF8,
            StandardErrorEncoding = Encoding.UTF8,
            UseShellExecute = false,
            CreateNoWindow = true,
        };
        start.ArgumentList.Add("exec");
        start.ArgumentList.Add(assembly);
        start.Environment["DOTNET_EnableDiagnostics"] = "0";   // a process that is ended from outside would leave the pipes of the debugger behind
        return start;
    }
}
