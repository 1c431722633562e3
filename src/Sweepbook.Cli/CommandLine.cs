// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Help;
using System.Globalization;
using System.Runtime.InteropServices;
using System.Text;
using Sweepbook.Cli.Commands;
using Sweepbook.Files;

namespace Sweepbook.Cli;

/// <summary>Parses the arguments, runs one command, and turns whatever happens into an exit code and at most two lines for a person.</summary>
internal static class CommandLine
{
    /// <summary>Set to 1 to see where an error came from.</summary>
    public const string DetailsVariable = "SWEEPBOOK_DETAILS";

    public static async Task<int> RunAsync(string[] args)
    {
        // Numbers look and read the same everywhere; the tables are equal byte for byte whatever the machine's language.
        CultureInfo.DefaultThreadCurrentCulture = CultureInfo.DefaultThreadCurrentUICulture = CultureInfo.InvariantCulture;
        if (!Console.IsOutputRedirected) Console.OutputEncoding = new UTF8Encoding(false);

        using var cancelled = new CancellationTokenSource();
        void Cancel(PosixSignalContext signal)
        {
            signal.Cancel = true;
            cancelled.Cancel();
        }
        using var interrupt = PosixSignalRegistration.Create(PosixSignal.SIGINT, Cancel);
        using var terminate = PosixSignalRegistration.Create(PosixSignal.SIGTERM, Cancel);
        using var hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, Cancel);

        var terminal = new Terminal();
        try
        {
            var parsed = Root(terminal).Parse(args, new() { ResponseFileTokenReplacer = null });   // a folder may be called @home
            if (parsed.Action is not (HelpAction or HelpWithExamples) && Misuse.Of(parsed, args) is { } misuse)
                return UsedWrongly(terminal, parsed, misuse);
            return await parsed.InvokeAsync(new() { EnableDefaultExceptionHandler = false, ProcessTerminationTimeout = null }, cancelled.Token);
        }
        catch (OperationCanceledException) when (cancelled.IsCancellationRequested)
        {
            terminal.Complain("Cancelled. Nothing unfinished is kept; earlier results are whole.");
            return ExitCode.Cancelled;
        }
        catch (Exception exception)
        {
            return Explain(terminal, exception);
        }
    }

    private static RootCommand Root(Terminal terminal)
    {
        var root = new RootCommand("A measurement notebook for rooms and subwoofers: which part of a measurement can be believed, what the room does, what to change.")
        {
            HelpName = "sweepbook",
        };
        root.Directives.Clear();   // and another [diagram]
        foreach (var command in All(terminal)) root.Add(command);
        foreach (var help in root.Options.OfType<HelpOption>())
        {
            var usual = (HelpAction)help.Action!;
            usual.MaxWidth = terminal.Width;
            help.Action = new HelpWithExamples(usual);
        }
        return root;
    }

    private static IEnumerable<Command> All(Terminal terminal) =>
    [
        new ReportCommand(terminal), new LookCommand(terminal), new CheckCommand(terminal), new StimulusCommand(terminal), new ImportCommand(terminal),
        new SimulateCommand(terminal), new RunCommand(terminal), new ExportCommand(terminal), new JupyterCommand(terminal), new NewCommand(terminal),
        new CompareCommand(terminal),
        new CalibrationCommand(terminal),
        new VerifyCommand(terminal),
    ];

    private static int UsedWrongly(Terminal terminal, ParseResult parsed, string misuse)
    {
        var name = Misuse.NameOf(parsed.CommandResult);
        terminal.Complain(misuse);
        terminal.Complain($"See '{name} --help'.");
        return ExitCode.UsedWrongly;
    }

    private static int Explain(Terminal terminal, Exception exception)
    {
        switch (exception)
        {
            case DataFault fault:
                terminal.Complain(fault.Message);
                break;
            case NotebookStopped { Failure.Kind: nameof(DataFault) } stopped:
                terminal.Complain(FirstLine(stopped.Failure.Message));   // it already says what, where and what to do
                break;
            case NotebookStopped stopped:
                terminal.Complain($"{stopped.Notebook}: {FirstLine(stopped.Failure.ToString())}");
                terminal.Complain(stopped.WhatIsLeft);
                break;
            case ArgumentException argument:
                terminal.Complain(WithoutParameter(FirstLine(argument.Message)));
                break;
            case UnauthorizedAccessException or IOException:
                terminal.Complain($"The system refuses: {FirstLine(exception.Message).TrimEnd('.')}. Check the name, the disk and your rights there, then try again.");
                break;
            default:
                terminal.Complain($"Something went wrong that should not: {FirstLine(exception.Message)}");
                terminal.Complain($"Please report it with the command you gave and what {DetailsVariable}=1 adds to this message.");
                break;
        }
        if (Environment.GetEnvironmentVariable(DetailsVariable) == "1")
            foreach (var line in exception.ToString().Split(['\r', '\n'], StringSplitOptions.RemoveEmptyEntries)) terminal.Complain(line);
        return exception is ArgumentException ? ExitCode.UsedWrongly : ExitCode.BadData;
    }

    // " (Parameter 'x')" helps a programmer; the person at the keyboard knows the option by another name.
    private static string WithoutParameter(string message) =>
        message.LastIndexOf(" (Parameter '", StringComparison.Ordinal) is var at and > 0 ? message[..at] : message;

    private static string FirstLine(string text) => text.Split('\n')[0].TrimEnd();
}
