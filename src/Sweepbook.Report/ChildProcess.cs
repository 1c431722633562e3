// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using System.Text.Json;
using Sweepbook.Files;

namespace Sweepbook.Report;

/// <summary>The child's side of a run: reads one request, runs the cells in order, writes the notebook after each.</summary>
internal static class ChildProcess
{
    private const int Good = 0;
    private const int ParentGone = 130;

    public static async Task<int> RunAsync()
    {
        // the kernel swaps the console while a cell runs: our own line to the parent is opened before and never written through Console
        var toParent = Console.OpenStandardOutput();
        void Say(ChildMessage message)
        {
            toParent.Write(Encoding.UTF8.GetBytes(message.ToLine()));
            toParent.Flush();
        }

        var fromParent = new StreamReader(Console.OpenStandardInput(), Encoding.UTF8);
        if (await fromParent.ReadLineAsync() is not { Length: > 0 } line)
        {
            Console.Error.WriteLine("This program is started by sweepbook itself. Use: sweepbook report FOLDER, or: sweepbook run NOTEBOOK.");
            return 2;
        }
        new Thread(() => LeaveWithParent(fromParent)) { IsBackground = true, Name = "parent watch" }.Start();
        Console.SetIn(TextReader.Null);
        CultureInfo.DefaultThreadCurrentCulture = CultureInfo.CurrentCulture = CultureInfo.InvariantCulture;
        CultureInfo.DefaultThreadCurrentUICulture = CultureInfo.CurrentUICulture = CultureInfo.InvariantCulture;

        var request = JsonSerializer.Deserialize(line, MessageContext.Default.ChildRequest)!;
        Say(await EndOfAsync(request, Say));
        await Task.Delay(Timeout.Infinite);   // the parent ends this process together with all that its cells started
        return Good;
    }

    private static async Task<ChildMessage> EndOfAsync(ChildRequest request, Action<ChildMessage> say)
    {
        try
        {
            return await RunCellsAsync(request, say) is { } failure ? new() { Failure = failure } : new() { Done = true };
        }
        catch (Exception error) when (error is DataFault or IOException or UnauthorizedAccessException)
        {
            return new() { Failure = new(0, null, error.GetType().Name, error.Message) };
        }
    }

    private static async Task<RunFailure?> RunCellsAsync(ChildRequest request, Action<ChildMessage> say)
    {
        var notebook = NotebookFile.Read(request.Notebook, request.ShownAs);
        var injected = notebook.Inject(request.Parameters);
        var cells = notebook.Cells;
        foreach (var cell in cells.Where(cell => cell.IsCode)) (cell.Outputs, cell.ExecutionCount) = ([], null);
        var injectedSource = injected < 0 ? "" : cells[injected].Source;
        if (injected >= 0) cells[injected].Source = NotebookFile.Assignments(Shown(request));

        notebook.Write(request.Output);

        var folder = Path.GetDirectoryName(request.Notebook)!;
        Directory.SetCurrentDirectory(folder);
        using var session = new KernelSession(folder);
        var (number, of, heading) = (0, cells.Count(cell => cell.IsCode), "");
        for (var k = 0; k < cells.Count; k++)
        {
            var cell = cells[k];
            if (cell.IsMarkdown) heading = MarkdownText.LastHeading(cell.Source) ?? heading;
            if (!cell.IsCode) continue;
            number++;
            say(new() { Progress = new(number, of, heading) });
            var source = k == injected ? injectedSource : cell.Source;
            if (string.IsNullOrWhiteSpace(source)) continue;
            var outputs = new CellOutputs();
            var failure = await session.RunAsync(number, SetupScript.Found(source, folder), outputs);
            lock (outputs) cell.Outputs = outputs.ToJson();
            cell.ExecutionCount = number;
            notebook.Write(request.Output);
            if (failure is not null) return failure;
        }
        if (request.Page is { } page)
            AtomicFile.Write(page, stream => ReportPage.Write(stream, notebook, new(request.Title, request.ShownAs, request.Command) { VerifyCommand = request.VerifyCommand, Date = request.Date, Provenance = request.Provenance }));
        return null;
    }

    private static IReadOnlyDictionary<string, string> Shown(ChildRequest request) =>
        request.Parameters.ToDictionary(pair => pair.Key, pair => request.ShownParameters.GetValueOrDefault(pair.Key, pair.Value));

    /// <summary>The parent holds the other end of standard input open as long as it lives; a run without a parent would only burn a processor.</summary>
    private static void LeaveWithParent(StreamReader fromParent)
    {
        while (fromParent.Read() >= 0) { }
        Environment.Exit(ParentGone);
    }
}
