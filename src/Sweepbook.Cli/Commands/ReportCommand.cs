// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Report;
using Sweepbook.Surveys;

namespace Sweepbook.Cli.Commands;

/// <summary>The main job: a survey folder becomes tables, an executed notebook and a page.</summary>
internal sealed class ReportCommand : ExampledCommand
{
    private const string Page = "report.html", Printed = "report.pdf";

    public ReportCommand(Terminal terminal) : base(
        "report",
        "Analyses a survey folder: writes a page to read, tables and the executed notebook, and prints the findings.",
        "sweepbook report data-demo/orchard-row",
        "sweepbook report data-demo/ferry-lane --out results/monday --for-others --pdf")
    {
        var folder = new Argument<string>("FOLDER") { Description = "The survey: the folder that holds survey.toml. It is only read." };
        var into = new Option<string>("--out") { Description = "Where the results go; replaced as a whole when all is done. Default: out/ and the survey's name.", HelpName = "folder" };
        var notebook = new Option<string>("--notebook") { Description = "Another notebook to execute in place of the usual one.", HelpName = "file" };
        var forOthers = new Option<bool>("--for-others") { Description = "Also writes each impulse response as WAV and each response as text, with an index, for other programs." };
        var pdf = new Option<bool>("--pdf") { Description = "Also prints the page into report.pdf, with page numbers; needs a browser built on Chromium." };
        var wanted = WantedOption.Create();
        Add(folder);
        Add(wanted);
        Add(into);
        Add(notebook);
        Add(forOthers);
        Add(pdf);

        SetAction((parsed, cancellation) => RunAsync(terminal, parsed.GetRequiredValue(folder), parsed.GetValue(into), parsed.GetValue(notebook), new(parsed.GetValue(forOthers), parsed.GetValue(pdf), parsed.GetValue(wanted) ?? ""), cancellation));
    }

    private readonly record struct Wishes(bool ForOthers, bool Pdf, string Wanted)
    {
        public override string ToString() => $"{(ForOthers ? " --for-others" : "")}{(Pdf ? " --pdf" : "")}{(Wanted.Length == 0 ? "" : $" {WantedOption.Name} {ShownPath.Quoted(Wanted)}")}";
    }

    private static async Task<int> RunAsync(Terminal terminal, string folder, string? into, string? otherNotebook, Wishes wishes, CancellationToken cancellation)
    {
        var browser = wishes.Pdf ? PageBrowser.Find() : null;   // where there is none, nothing is computed in vain
        var survey = Survey.Read(folder);   // what is wrong with the survey is said before anything is started
        var notebook = otherNotebook ?? Installation.ReportNotebook;
        var target = into ?? SurveyFolder.UsualPlace(survey.Folder, SurveyFolder.NameOf(folder));
        SurveyFolder.RefuseInside(survey.Folder, target);
        var command = $"sweepbook report {ShownPath.Word(folder)}{(into is null ? "" : $" --out {ShownPath.Word(into)}")}{(otherNotebook is null ? "" : $" --notebook {ShownPath.Word(otherNotebook)}")}{wishes}";
        var verify = otherNotebook is null ? $"sweepbook verify {ShownPath.Word(target)} {ShownPath.Word(folder)}" : null;   // another notebook may write other tables, or none
        DataFault? notPrinted = null;
        await AtomicFolder.ReplaceAsync(target, staging => terminal.WatchAsync($"{survey.Title}: {Counted.Of(survey.Takes.Count, "take")}", async progress =>
        {
            var steps = new Steps(progress, otherNotebook is null ? "Reading the takes" : null);
            var result = await NotebookRun.StartAsync(Request(survey, command, verify, target, staging, notebook, wishes), steps, cancellation);
            if (result.Failure is { } failure) throw new NotebookStopped(notebook, failure, "No report was written; an earlier one is whole.");
            if (browser is not null)
            {
                progress.Report($"Printing {Printed}");
                try
                {
                    await browser.PrintAsync(Path.Combine(staging, Page), Path.Combine(staging, Printed), cancellation);
                }
                catch (DataFault fault)
                {
                    notPrinted = fault;   // page and tables are good without it
                }
            }
            return result;
        }));
        Outcome.Print(terminal, target);
        terminal.SayPath("Report: ", Path.Combine(target, Page));
        if (browser is not null && notPrinted is null) terminal.SayPath("Printed: ", Path.Combine(target, Printed));
        if (wishes.ForOthers) SayForOthers(terminal, target);
        if (notPrinted is null) return ExitCode.Good;
        terminal.Complain(notPrinted.Message);
        return ExitCode.BadData;
    }

    private static void SayForOthers(Terminal terminal, string target)
    {
        var index = Path.Combine(target, "handed-on.csv");
        if (File.Exists(index)) terminal.SayPath("For others: ", index);
        else terminal.SayWrapped("Nothing was written for other programs: the notebook has to do it where its parameter `forOthers` is true, by study.WriteForOthers(resultsFolder).");
    }

    // The executed notebook lies in the results folder and names both folders from there, so it runs again as it stands.
    private static NotebookRequest Request(Survey survey, string command, string? verify, string target, string staging, string notebook, Wishes wishes) => new()
    {
        Notebook = notebook,
        Output = Path.Combine(staging, Path.GetFileName(notebook)),
        Page = Path.Combine(staging, Page),
        Title = survey.Title,
        Command = command,
        VerifyCommand = verify,
        Date = survey.Date,
        Provenance = Path.Combine(staging, "provenance.json"),
        Parameters = new Dictionary<string, object> { ["surveyFolder"] = survey.Folder, ["resultsFolder"] = staging }
            .Concat(wishes.ForOthers ? [new("forOthers", true)] : Array.Empty<KeyValuePair<string, object>>())
            .Concat(wishes.Wanted.Length > 0 ? [new("wanted", wishes.Wanted)] : Array.Empty<KeyValuePair<string, object>>()).ToDictionary(),
        ShownParameters = new Dictionary<string, object> { ["surveyFolder"] = ShownPath.From(target, survey.Folder), ["resultsFolder"] = "." },
    };
}
