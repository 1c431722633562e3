// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Studies;
using Sweepbook.Surveys;

namespace Sweepbook.Cli.Commands;

/// <summary>The quick loop of an evening of tuning: a few takes, their responses and trusted bands, in a moment and without the kernel.</summary>
internal sealed class LookCommand : ExampledCommand
{
    public LookCommand(Terminal terminal) : base(
        "look",
        "Shows one or more takes in a moment: response and trusted band on a light page, no report. The survey.toml above the take says what it is.",
        "sweepbook look data-demo/orchard-row/takes/sub-front_sofa-left.wav")
    {
        var takes = new Argument<string[]>("TAKE") { Description = "Recordings that a survey.toml above them names.", Arity = ArgumentArity.OneOrMore };
        var into = new Option<string>("--out") { Description = "The page to write. Default: out/look.html.", HelpName = "file" };
        Add(takes);
        Add(into);
        SetAction(async (parsed, cancellation) =>
        {
            var files = parsed.GetRequiredValue(takes);
            var page = parsed.GetValue(into) ?? SurveyFolder.UsualPlace(SurveyAbove(files[0]), "look.html");
            LookPage.RefuseStranger(page);
            var looks = await terminal.WatchAsync(files.Length == 1 ? files[0] : $"{files.Length} takes",
                progress => Task.Run(() => Studies(files, page, progress), cancellation).WaitAsync(cancellation));
            AtomicFile.Write(page, stream => LookPage.Write(stream, looks[0].Survey.Title, looks));
            Outcome.PrintTakes(terminal, looks);
            terminal.SayPath("Page: ", page);
            return looks.Any(look => look.Responses.Count > 0) ? ExitCode.Good : ExitCode.BadData;
        });
    }

    private static List<Study> Studies(IReadOnlyList<string> files, string page, IProgress<string> progress)
    {
        var surveys = new Dictionary<string, Survey>();
        var looks = new List<Study>();
        foreach (var file in files)
        {
            var folder = SurveyAbove(file);
            if (!surveys.TryGetValue(folder, out var survey)) surveys[folder] = survey = Survey.Read(folder);
            SurveyFolder.RefuseInside(survey.Folder, page);
            var named = survey.Takes.Where(take => take.Path == Path.GetFullPath(file)).ToList();
            if (named.Count == 0)
                throw new DataFault(file, null, $"the {Survey.FileName} in {folder} does not name this take", "Give it a [[take]] table there, or a name that its pattern finds.");
            looks.AddRange(named.Select(take => Study.Of(survey.Only([take]))));
            if (files.Count > 1) progress.Report(file);
        }
        return looks;
    }

    private static string SurveyAbove(string file)
    {
        if (Directory.Exists(file))
            throw new DataFault(file, null, "this is a folder, and takes are wanted", "Name one or more recordings in it, or run `sweepbook report` for a whole survey.");
        if (!File.Exists(file)) throw new DataFault(file, null, "there is no such file", "Name a recording inside a survey folder.");
        for (var folder = Directory.GetParent(Path.GetFullPath(file)); folder is not null; folder = folder.Parent)
            if (File.Exists(Path.Combine(folder.FullName, Survey.FileName))) return folder.FullName;
        throw new DataFault(file, null, $"there is no {Survey.FileName} in the folders above this take", "Start a survey with `sweepbook new` and record into its takes folder.");
    }
}
