// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Report;
using Sweepbook.Surveys;

namespace Sweepbook.Cli.Commands;

/// <summary>The main job: a survey folder becomes tables, an executed notebook and a page.</summary>
internal sealed class ReportCommand : ExampledCommand
{
    private const string Page = "report.html";

    public ReportCommand(Terminal terminal) : base(
        "report",
        "Analyses a survey folder: writes a page to read, tables and the executed notebook, and prints the findings.",
        "sweepbook report data-demo/orchard-row",
        "sweepbook report data-demo/orchard-row --out results/monday --for-others")
    {
        var folder = new Argument<string>("FOLDER") { Description = "The survey: the folder that holds survey.toml. It is only read." };
        var into = new Option<string>("--out") { Description = "Where the results go; replaced as a whole when all is done. Default: out/ and the survey's name.", HelpName = "folder" };
        var notebook = new Option<string>("--notebook") { Description = "Another notebook to execute in place of the usual one.", HelpName = "file" };
        var forOthers = new Option<bool>("--for-others") { Description = "Also writes each impulse response as WAV and each response as text, with an index, for other programs." };
        var wanted = WantedOption.Create();
        Add(folder);
        Add(wanted);
        Add(into);
        Add(notebook);
        Add(forOthers);

        SetAction((parsed, cancellation) => RunAsync(terminal, parsed.GetRequiredValue(folder), parsed.GetValue(into), parsed.GetValue(notebook), parsed.GetValue(forOthers), parsed.GetValue(wanted) ?? "", cancellation));
    }

    private static async Task<int> RunAsync(Terminal terminal, string folder, string? into, string? otherNotebook, bool forOthers, string wanted, CancellationToken cancellation)
    {
        var survey = Survey.Read(folder);   // what is wrong with the survey is said before anything is started
        var notebook = otherNotebook ?? Installation.ReportNotebook;
        var target = into ?? SurveyFolder.UsualPlace(survey.Folder, SurveyFolder.NameOf(folder));
        SurveyFolder.RefuseInside(survey.Folder, target);
        var command = $"sweepbook report {Word(folder)}{(into is null ? "" : $" --out {Word(into)}")}{(otherNotebook is null ? "" : $" --notebook {Word(otherNotebook)}")}{(forOthers ? " --for-others" : "")}{(wanted.Length == 0 ? "" : $" {WantedOption.Name} {ShownPath.Quoted(wanted)}")}";
        await AtomicFolder.ReplaceAsync(target, staging => terminal.WatchAsync($"{survey.Title}: {Counted.Of(survey.Takes.Count, "take")}", async progress =>
        {
            var steps = new Steps(progress, otherNotebook is null ? "Reading the takes" : null);
            var result = await NotebookRun.StartAsync(Request(survey, command, target, staging, notebook, forOthers, wanted), steps, cancellation);
            if (result.Failure is { } failure) throw new NotebookStopped(notebook, failure, "No report was written; an earlier one is whole.");
            return result;
        }));
        Outcome.Print(terminal, target);
        terminal.SayPath("Report: ", Path.Combine(target, Page));
        if (forOthers) SayForOthers(terminal, target);
        return ExitCode.Good;
    }

    private static void SayForOthers(Terminal terminal, string target)
    {
        var index = Path.Combine(target, "handed-on.csv");
        if (File.Exists(index)) terminal.SayPath("For others: ", index);
        else terminal.SayWrapped("Nothing was written for other programs: the notebook has to do it where its parameter `forOthers` is true, by study.WriteForOthers(resultsFolder).");
    }

    private static string Word(string path) => ShownPath.Quoted(ShownPath.InCommand(path));

    // The executed notebook lies in the results folder and names both folders from there, so it runs again as it stands.
    private static NotebookRequest Request(Survey survey, string command, string target, string staging, string notebook, bool forOthers, string wanted) => new()
    {
        Notebook = notebook,
        Output = Path.Combine(staging, Path.GetFileName(notebook)),
        Page = Path.Combine(staging, Page),
        Title = survey.Title,
        Command = command,
        Parameters = new Dictionary<string, object> { ["surveyFolder"] = survey.Folder, ["resultsFolder"] = staging }
            .Concat(forOthers ? [new("forOthers", true)] : Array.Empty<KeyValuePair<string, object>>())
            .Concat(wanted.Length > 0 ? [new("wanted", wanted)] : Array.Empty<KeyValuePair<string, object>>()).ToDictionary(),
        ShownParameters = new Dictionary<string, object> { ["surveyFolder"] = ShownPath.From(target, survey.Folder), ["resultsFolder"] = "." },
    };
}
