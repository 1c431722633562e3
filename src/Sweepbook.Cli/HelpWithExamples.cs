// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Help;
using System.CommandLine.Invocation;

namespace Sweepbook.Cli;

/// <summary>A command that shows how it is used: each example runs as it stands.</summary>
internal abstract class ExampledCommand(string name, string description, params string[] examples) : Command(name, description)
{
    public IReadOnlyList<string> Examples { get; } = examples;
}

/// <summary>The usual help with the examples below it.</summary>
internal sealed class HelpWithExamples(HelpAction help) : SynchronousCommandLineAction
{
    public override bool ClearsParseErrors => true;

    public override int Invoke(ParseResult parseResult)
    {
        var exitCode = help.Invoke(parseResult);
        if (parseResult.CommandResult.Command is not ExampledCommand command) return exitCode;
        var output = parseResult.InvocationConfiguration.Output;
        output.WriteLine(command.Examples.Count == 1 ? "Example:" : "Examples:");
        foreach (var example in command.Examples) output.WriteLine($"  {example}");
        output.WriteLine();
        return exitCode;
    }
}
