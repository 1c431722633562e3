// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Stimuli;

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
            if (File.Exists(path) || Directory.Exists(path) && Directory.EnumerateFileSystemEntries(path).Any())
                throw new DataFault(path, null, "this exists already and is not an empty folder", "Choose another name; nothing is ever overwritten.");

            var name = SurveyFolder.NameOf(path);
            Directory.CreateDirectory(Path.Combine(path, "takes"));
            Directory.CreateDirectory(Path.Combine(path, "microphones"));
            Directory.CreateDirectory(Path.Combine(path, "stimuli"));
            Stimulus.From(new()).Write(Path.Combine(path, "stimuli", "full.toml"));
            Text(Path.Combine(path, "survey.toml"), SurveyTemplate.Survey(parsed.GetValue(title) ?? name, DateOnly.FromDateTime(DateTime.Today)));
            Text(Path.Combine(path, "CHECKLIST.md"), SurveyTemplate.Checklist());

            terminal.SayPath("A new survey: ", path);
            terminal.SayWrapped("Next: read CHECKLIST.md, put your names into survey.toml, play stimuli/full.wav, record each take into takes/, then run:");
            terminal.Say($"  sweepbook check {path}");
            terminal.SayWrapped(Cautions.Short);
            return ExitCode.Good;
        });
    }

    private static void Text(string path, string text) =>
        AtomicFile.Write(path, stream => stream.Write(System.Text.Encoding.UTF8.GetBytes(text)));
}
