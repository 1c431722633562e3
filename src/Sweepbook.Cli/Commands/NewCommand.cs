// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
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
            Make(path, parsed.GetValue(title));

            terminal.SayPath("A new survey: ", path);
            terminal.SayWrapped("Next: read CHECKLIST.md, put your names into survey.toml, play stimuli/full.wav, record each take into takes/, then run:");
            terminal.Say($"  sweepbook check {ShownPath.Quoted(path)}");
            terminal.SayWrapped(Cautions.Short);
            return ExitCode.Good;
        });
    }

    // What the system says of a name that nobody typed helps nobody.
    private static void Make(string path, string? title)
    {
        for (var part = Path.GetDirectoryName(Path.TrimEndingDirectorySeparator(path)); !string.IsNullOrEmpty(part); part = Path.GetDirectoryName(part))
            if (File.Exists(part)) throw OutputFault.FileInTheWay(part);
        try
        {
            SurveyTemplate.Write(path, title);
        }
        catch (DataFault fault) when (fault.InnerException is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new DataFault(path, null, "the system permits no new folder there", "Choose another place, one where you may write.", fault.InnerException);
        }
        catch (DataFault fault) when (fault.InnerException is { } thrown && OutputFault.From(thrown, path) is { } plain)
        {
            throw plain;
        }
    }
}
