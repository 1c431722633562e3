// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Studies;

namespace Sweepbook.Cli.Commands;

/// <summary>Computes a report's tables again and says whether its numbers still hold.</summary>
internal sealed class VerifyCommand : ExampledCommand
{
    public VerifyCommand(Terminal terminal) : base(
        "verify",
        "Computes the tables of a survey again, with the options that the results state, and says whether the numbers still agree: table by table, with the worst differences in words, and which input files and versions are not as they were. Writes nothing. Exit code 0 where the numbers agree, 1 where they do not.",
        "sweepbook verify out/orchard-row data-demo/orchard-row")
    {
        var results = new Argument<string>("OUT") { Description = "The results: the folder that `sweepbook report` wrote." };
        var folder = new Argument<string>("FOLDER") { Description = "The survey that they were computed from: the folder that holds survey.toml." };
        Add(results);
        Add(folder);
        SetAction(async (parsed, cancellation) =>
        {
            var written = parsed.GetRequiredValue(results);
            var verification = StudyVerification.Prepare(written, parsed.GetRequiredValue(folder));
            VerifyWords.SayWhatChanged(terminal, verification);   // the most likely reason is said first, before the numbers are there
            await terminal.WatchAsync($"{verification.Survey.Title}: {Counted.Of(verification.Survey.Takes.Count, "take")}", progress => Task.Run(() =>
            {
                verification.Compare(written, progress);
                return true;
            }, cancellation).WaitAsync(cancellation));
            VerifyWords.SayTables(terminal, verification);
            return verification.Agrees ? ExitCode.Good : ExitCode.BadData;
        });
    }
}
