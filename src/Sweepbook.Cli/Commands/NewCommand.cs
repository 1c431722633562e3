// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Surveys;

namespace Sweepbook.Cli.Commands;

/// <summary>Writes the beginnings of a survey: a commented survey.toml, a stimulus, empty folders and a checklist. Plays and records nothing.</summary>
internal sealed class NewCommand : ExampledCommand
{
    public NewCommand(Terminal terminal) : base(
        "new",
        "Starts a survey of your own: a commented survey.toml, a sweep to play and a checklist. It writes files only; nothing is played.",
        "sweepbook new my-room",
        "sweepbook new my-room-in-may --title \"My room, after moving the sofa\"")
    {
        var folder = new Argument<string>("FOLDER") { Description = "The folder to make; it must not hold anything yet." };
        var title = new Option<string>("--title") { Description = "What the report is headed by.", HelpName = "words" };
        Add(folder);
        Add(title);

        SetAction(parsed =>
        {
            var path = parsed.GetRequiredValue(folder);
            SurveyTemplate.Write(path, parsed.GetValue(title));

            terminal.SayPath("A new survey: ", path);
            terminal.SayWrapped("Next: read CHECKLIST.md, put your names into survey.toml, play stimuli/full.wav, record each take into takes/, then run:");
            terminal.Say($"  sweepbook check {path}");
            terminal.SayWrapped(Cautions.Short);
            return ExitCode.Good;
        });
    }
}
