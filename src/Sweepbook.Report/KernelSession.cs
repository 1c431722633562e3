// SPDX-License-Identifier: MIT
using System.Reflection;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using Microsoft.CodeAnalysis.Scripting;
using Microsoft.DotNet.Interactive;
using Microsoft.DotNet.Interactive.Commands;
using Microsoft.DotNet.Interactive.CSharp;
using Microsoft.DotNet.Interactive.Events;
using Microsoft.DotNet.Interactive.Formatting;

namespace Sweepbook.Report;

/// <summary>The C# kernel of a run. All that the project knows about that library is in this class and in NotebookSetup.</summary>
internal sealed partial class KernelSession : IDisposable
{
    private static readonly FieldInfo? ScriptOptionsField =
        typeof(CSharpKernel).GetField("_scriptOptions", BindingFlags.NonPublic | BindingFlags.Instance);

    private const int MostPieces = 400_000;   // the kernel keeps each piece of output until the cell ends, about 1 kB with its wrapping

    private static readonly string[] Noise = ["CS1701", "CS1702"];   // assembly versions that differ in the last place

    private readonly CompositeKernel _root = new() { DefaultKernelName = "csharp" };
    private readonly CSharpKernel _csharp;
    private readonly string _folder;

    /// <summary>A kernel whose cells find their files from <paramref name="folder"/>, which must be the current folder.</summary>
    public KernelSession(string folder)
    {
        _folder = folder;
        Formatter.DefaultMimeType = HtmlFormatter.MimeType;
        Formatter.SetPreferredMimeTypesFor(typeof(string), PlainTextFormatter.MimeType);
        _csharp = new CSharpKernel().UseKernelHelpers().UseValueSharing();
        _root.Add(_csharp, ["c#", "C#"]);
        _root.Add(new HtmlKernel());
        _root.UseImportMagicCommand();
    }

    /// <summary>Runs one cell to its end.</summary>
    /// <returns>Null, or what went wrong; the outputs hold it as well.</returns>
    public async Task<RunFailure?> RunAsync(int number, string source, CellOutputs outputs)
    {
        if (PackageLine().IsMatch(source))
        {
            var refused = new RunFailure(number, null, "NotSupported", "#r \"nuget:…\" is not supported: nothing is fetched while a notebook runs. Use #r with the path of an assembly that is there.");
            outputs.Error(refused, refused.Message);
            return refused;
        }
        NameTheCell(number);
        var command = new SubmitCode(source);
        CommandFailed? failed = null;
        var pieces = 0;
        var flooded = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        using var subscription = _root.KernelEvents.Subscribe(new Observer(raised =>
        {
            if (RootOf(raised.Command) != command || flooded.Task.IsCompleted) return;
            if (Interlocked.Increment(ref pieces) > MostPieces) flooded.TrySetResult();
            lock (outputs) Take(raised, number, outputs);
            if (raised is CommandFailed failure) failed = failure;
        }));
        var running = _root.SendAsync(command);
        if (await Task.WhenAny(running, flooded.Task) != running)
        {
            var flood = new RunFailure(number, null, "Flood", "stopped: it shows or writes more than anybody can read. Look for a loop that does not end, or write to a file instead.");
            lock (outputs) outputs.Error(flood, flood.Message);
            return flood;   // the cell goes on until the parent ends this process
        }
        var result = await running;
        failed ??= result.Events.OfType<CommandFailed>().FirstOrDefault();
        if (failed is null) return null;
        var (runFailure, trace) = Explain(failed, number);
        lock (outputs) outputs.Error(runFailure, trace);
        return runFailure;
    }

    public void Dispose() => _root.Dispose();

    /// <summary>Gives the cell a file name, so that a stack trace and a compiler message can say the line.</summary>
    /// <remarks>The library has no public switch for it; should its private field go one day, lines are not reported and all else works.</remarks>
    private void NameTheCell(int number)
    {
        if (ScriptOptionsField?.GetValue(_csharp) is ScriptOptions options)
            ScriptOptionsField.SetValue(_csharp,
                options.WithEmitDebugInformation(true).WithFilePath(Path.Combine(_folder, FileName(number))).WithFileEncoding(Encoding.UTF8));
    }

    private static string FileName(int number) => $"cell{number}.cs";

    private static void Take(KernelEvent raised, int number, CellOutputs outputs)
    {
        switch (raised)
        {
            case StandardOutputValueProduced text: outputs.Stream("stdout", PlainText(text)); break;
            case StandardErrorValueProduced text: outputs.Stream("stderr", PlainText(text)); break;
            case ErrorProduced error: outputs.Stream("stderr", error.Message + "\n"); break;
            case DiagnosticsProduced diagnostics:
                foreach (var one in diagnostics.Diagnostics)
                    if (one.Severity == Microsoft.CodeAnalysis.DiagnosticSeverity.Warning && !Noise.Contains(one.Code))
                        outputs.Stream("stderr", $"({one.LinePositionSpan.Start.Line + 1},{one.LinePositionSpan.Start.Character + 1}): {one.Code}: {one.Message}\n");
                break;
            case DisplayedValueUpdated changed: outputs.Update(changed.ValueId, Data(changed)); break;
            case ReturnValueProduced { Value: DisplayedValue }: break;   // already shown by its own event
            case ReturnValueProduced result: outputs.Result(result.ValueId, number, Data(result)); break;
            case DisplayedValueProduced shown: outputs.Display(shown.ValueId, Data(shown)); break;
        }
    }

    private static string PlainText(DisplayEvent shown) => shown.FormattedValues.FirstOrDefault()?.Value ?? $"{shown.Value}";

    private static JsonObject Data(DisplayEvent shown)
    {
        var data = new JsonObject();
        foreach (var value in shown.FormattedValues)
            data[value.MimeType] = IsJson(value.MimeType) ? Parsed(value.Value) : value.Value;
        return data;
    }

    private static bool IsJson(string mimeType) => mimeType == "application/json" || mimeType.EndsWith("+json", StringComparison.Ordinal);

    private static JsonNode? Parsed(string text)
    {
        try
        {
            return JsonNode.Parse(text);
        }
        catch (JsonException)
        {
            return text;
        }
    }

    private (RunFailure Failure, string Trace) Explain(CommandFailed failed, int number)
    {
        var exception = failed.Exception;
        while (exception is AggregateException { InnerExceptions.Count: 1 } or TargetInvocationException { InnerException: not null })
            exception = exception.InnerException!;
        if (exception is null or CodeSubmissionCompilationErrorException)
        {
            var message = failed.Message.Replace(_folder + Path.DirectorySeparatorChar, "");
            return (new(number, Line(CompilerLine().Match(message)), exception is null ? "Error" : "CompilationError", message.Trim()), message);
        }
        var trace = exception.ToString().Replace(_folder + Path.DirectorySeparatorChar, "");
        var line = TraceLine().Matches(trace).LastOrDefault(match => match.Groups[1].Value == FileName(number));
        return (new(number, line is null ? null : Line(line), exception.GetType().Name, exception.Message), trace);
    }

    private static int? Line(Match match) =>
        match.Success && int.TryParse(match.Groups["line"].Value, out var line) ? line : null;

    [GeneratedRegex(@"\((?<line>\d+),\d+\): error")]
    private static partial Regex CompilerLine();

    [GeneratedRegex(@"^\s*#r\s+""nuget:", RegexOptions.Multiline | RegexOptions.IgnoreCase)]
    private static partial Regex PackageLine();

    [GeneratedRegex(@"(cell\d+\.cs):line (?<line>\d+)")]
    private static partial Regex TraceLine();

    private static KernelCommand? RootOf(KernelCommand? command)
    {
        while (command?.Parent is { } parent) command = parent;
        return command;
    }

    private sealed class Observer(Action<KernelEvent> onNext) : IObserver<KernelEvent>
    {
        public void OnNext(KernelEvent value) => onNext(value);

        public void OnError(Exception error) { }

        public void OnCompleted() { }
    }
}
