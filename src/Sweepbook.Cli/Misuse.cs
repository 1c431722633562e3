// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Parsing;

namespace Sweepbook.Cli;

/// <summary>What was used wrongly in a command line, as one sentence.</summary>
internal static class Misuse
{
    /// <summary>The first misuse, or null where there is none.</summary>
    public static string? Of(ParseResult parsed, IReadOnlyList<string> words)
    {
        if (words.Count > 0 && words[0].StartsWith('[')) return $"There is no command '{words[0]}'.";   // the parser would pass over it in silence
        if (parsed.CommandResult.Command is RootCommand)
            return parsed.UnmatchedTokens.Count > 0 ? $"There is no command '{parsed.UnmatchedTokens[0]}'." : First(parsed);
        if (parsed.CommandResult.Command.Subcommands is { Count: > 0 } parts)
            return $"{(parsed.UnmatchedTokens.Count > 0 ? $"`{parsed.UnmatchedTokens[0]}` is no part of" : "Say what")} `{NameOf(parsed.CommandResult)}`{(parsed.UnmatchedTokens.Count > 0 ? "; write" : " is to do:")} {string.Join(" or ", parts.Select(part => part.Name))}.";
        if (UnknownOption(parsed, words) is { } unknown) return $"`{unknown}` is not an option of `{NameOf(parsed.CommandResult)}`.";
        foreach (var (name, word) in Given(parsed.CommandResult))
            if (word.Length == 0) return $"{name} is empty; give it a value, or leave it out where it has a usual one.";
        return First(parsed);
    }

    /// <summary>The command as it is typed: "sweepbook calibration new".</summary>
    public static string NameOf(CommandResult command) =>
        command.Command is RootCommand ? "sweepbook" : $"{(command.Parent is CommandResult parent ? NameOf(parent) : "sweepbook")} {command.Command.Name}";

    // What looks like an option and is none would otherwise be taken for a folder. After `--` alone every word is what it is.
    private static string? UnknownOption(ParseResult parsed, IReadOnlyList<string> words)
    {
        var beforeDashes = words.TakeWhile(word => word != "--").ToHashSet(StringComparer.Ordinal);
        return Given(parsed.CommandResult).Select(given => given.Word).Concat(parsed.UnmatchedTokens)
            .FirstOrDefault(word => word.StartsWith("--", StringComparison.Ordinal) && beforeDashes.Contains(word));
    }

    private static IEnumerable<(string Name, string Word)> Given(CommandResult command)
    {
        foreach (var child in command.Children)
            foreach (var token in child.Tokens)
                yield return (child switch { ArgumentResult argument => argument.Argument.Name, OptionResult option => option.Option.Name, _ => "" }, token.Value);
    }

    private static string? First(ParseResult parsed) => parsed.Errors.Count > 0 ? parsed.Errors[0].Message.Split('\n')[0].TrimEnd() : null;
}
