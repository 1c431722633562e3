// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Surveys;

namespace Sweepbook.Cli;

/// <summary>The range that the job needs of every microphone, in place of the one in survey.toml.</summary>
internal static class WantedOption
{
    public const string Name = "--wanted";

    public static Option<string> Create() => new(Name)
    {
        Description = "The range in hertz that the job needs of every microphone, in place of [wanted] in survey.toml.",
        HelpName = "from:to",
        CustomParser = result =>
        {
            var text = result.Tokens.Count > 0 ? result.Tokens[^1].Value : "";
            _ = WantedReader.Parse(text, out var problem);
            if (problem.Length > 0) result.AddError($"{Name}: {problem}");
            return text;
        },
    };
}
