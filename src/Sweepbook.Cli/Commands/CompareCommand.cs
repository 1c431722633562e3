// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Report;
using Sweepbook.Studies;
using Sweepbook.Surveys;

namespace Sweepbook.Cli.Commands;

/// <summary>Before and after: two surveys, or two settings of one, become a page, a table and sentences about what really changed.</summary>
internal sealed class CompareCommand : ExampledCommand
{
    private const string Page = "comparison.html", Settings = "--settings", Untouched = "--untouched";

    public CompareCommand(Terminal terminal) : base(
        "compare",
        "Compares two surveys, or two settings of one: what changed at each seat, and what of it is more than noise and a microphone put back explain. Writes a page to read, tables and the executed notebook, and prints the findings.",
        "sweepbook compare data-demo/orchard-row after",
        "sweepbook compare my-room --settings as-found,corrected --out results/tuned")
    {
        var before = new Argument<string>("BEFORE") { Description = "The survey before: the folder that holds survey.toml. It is only read." };
        var after = new Argument<string>("AFTER") { Description = "The survey after. Leave it out to compare two settings of BEFORE.", Arity = ArgumentArity.ZeroOrOne };
        var settings = new Option<string>(Settings) { Description = "The setting before and the one after, with a comma between. Needed where a survey has several.", HelpName = "before,after" };
        var untouched = new Option<bool>(Untouched) { Description = "The microphone stood untouched at each place from before to after, so its place explains no change." };
        var into = new Option<string>("--out") { Description = "Where the results go; replaced as a whole when all is done. Default: out/ and the names of both.", HelpName = "folder" };
        Add(before);
        Add(after);
        Add(settings);
        Add(untouched);
        Add(into);
        SetAction((parsed, cancellation) => RunAsync(terminal, parsed.GetRequiredValue(before), parsed.GetValue(after), parsed.GetValue(settings), parsed.GetValue(untouched), parsed.GetValue(into), cancellation));
    }

    private static async Task<int> RunAsync(Terminal terminal, string beforeFolder, string? afterFolder, string? settings, bool untouched, string? into, CancellationToken cancellation)
    {
        var before = Survey.Read(beforeFolder);   // what is wrong with the surveys is said before anything is started
        var after = afterFolder is null ? before : Survey.Read(afterFolder);
        var (first, second) = StudyComparison.SettingsOf(before, after, Named(settings, 0), Named(settings, 1));
        var target = into ?? SurveyFolder.UsualPlace(before.Folder, UsualName(before, after, beforeFolder, afterFolder, first, second));
        SurveyFolder.RefuseInside(before.Folder, target);
        SurveyFolder.RefuseInside(after.Folder, target);
        var notebook = Path.Combine(Installation.Root, "notebooks", "before-and-after.ipynb");
        var command = $"sweepbook compare {ShownPath.Word(beforeFolder)}{(afterFolder is null ? "" : $" {ShownPath.Word(afterFolder)}")}{(settings is null ? "" : $" {Settings} {ShownPath.Quoted(settings)}")}{(untouched ? $" {Untouched}" : "")}{(into is null ? "" : $" --out {ShownPath.Word(into)}")}";
        var title = before.Folder == after.Folder ? $"{before.Title}: {first} and {second}" : $"{before.Title}: before and after";
        await AtomicFolder.ReplaceAsync(target, staging => terminal.WatchAsync(title, async progress =>
        {
            var request = new NotebookRequest
            {
                Notebook = notebook,
                Output = Path.Combine(staging, Path.GetFileName(notebook)),
                Page = Path.Combine(staging, Page),
                Title = title,
                Command = command,
                Parameters = Parameters(before.Folder, after.Folder, first, second, untouched, staging),
                ShownParameters = Parameters(ShownPath.From(target, before.Folder), ShownPath.From(target, after.Folder), first, second, untouched, "."),
            };
            var result = await NotebookRun.StartAsync(request, new Steps(progress, "Reading the takes"), cancellation);
            if (result.Failure is { } failure) throw new NotebookStopped(notebook, failure, "No comparison was written; an earlier one is whole.");
            return result;
        }));
        Outcome.PrintHeadlines(terminal, ResultTables.Findings(target));
        terminal.SayPath("Comparison: ", Path.Combine(target, Page));
        return ExitCode.Good;
    }

    private static Dictionary<string, object> Parameters(string before, string after, string beforeSetting, string afterSetting, bool untouched, string results) => new()
    {
        ["beforeFolder"] = before,
        ["afterFolder"] = after,
        ["beforeSetting"] = beforeSetting,
        ["afterSetting"] = afterSetting,
        ["untouched"] = untouched,
        ["resultsFolder"] = results,
    };

    private static string? Named(string? settings, int which)
    {
        if (settings is null) return null;
        var names = settings.Split(',', StringSplitOptions.TrimEntries);
        return names.Length == 2 && names.All(name => name.Length > 0) ? names[which]
            : throw new ArgumentException($"{Settings} takes two settings with a comma between, the one before first: {Settings} as-found,corrected");
    }

    private static string UsualName(Survey before, Survey after, string beforeFolder, string? afterFolder, string first, string second) => before.Folder == after.Folder
        ? $"{SurveyFolder.NameOf(beforeFolder)}-{first}-{second}" : $"{SurveyFolder.NameOf(beforeFolder)}-{SurveyFolder.NameOf(afterFolder!)}";
}
