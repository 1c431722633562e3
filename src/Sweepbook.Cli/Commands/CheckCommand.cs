// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Cli.Commands;

/// <summary>Judges a survey while the microphone still stands there.</summary>
internal sealed class CheckCommand : ExampledCommand
{
    public CheckCommand(Terminal terminal) : base(
        "check",
        "Reads a survey and judges every take: levels, clipping, lost or repeated samples, bumps, hum, noise, channels that are silent, exchanged, copied or leaking, noise suppression and level riding, a wrong rate, faults of the file, age of the calibration, where each microphone can be believed and whether it serves the wanted range. Writes nothing. Exit code 1 where something has to be done again or a microphone does not serve.",
        "sweepbook check data-demo/orchard-row",
        "sweepbook check data-demo/orchard-row --wanted 12:160")
    {
        var folder = new Argument<string>("FOLDER") { Description = "The survey: the folder that holds survey.toml." };
        var wanted = WantedOption.Create();
        Add(folder);
        Add(wanted);
        SetAction(async (parsed, cancellation) =>
        {
            var survey = Survey.Read(parsed.GetRequiredValue(folder)).Wanting(parsed.GetValue(wanted) ?? "");
            var study = await terminal.WatchAsync($"{survey.Title}: {Counted.Of(survey.Takes.Count, "take")}", progress => Task.Run(() => Study.Of(survey, progress), cancellation).WaitAsync(cancellation));
            return Judge(terminal, study);
        });
    }

    private static int Judge(Terminal terminal, Study study)
    {
        var shared = SharedFolder(study.Takes);
        if (study.Takes.Count > 0) terminal.Show(["take", "peak dBFS", "SNR dB", "trusted Hz", "verdict"], study.Takes.Select(take => Row(take, take.Take.File[shared..])));
        var details = study.RecordingFindings.ToList();   // what the room does is the report's business
        var faults = details.Where(finding => finding.Severity == Severity.Fault).ToList();
        foreach (var finding in details.Except(faults)) terminal.SayWrapped(finding.Sentence, "- ", "  ");
        foreach (var fault in faults) terminal.Complain(fault.Sentence);
        terminal.SayWrapped(new CheckVerdict
        {
            Takes = study.Takes.Count,
            InUse = study.Takes.Count(take => take.Take.Use),
            WithFaults = study.Takes.Count(take => take.Take.Use && (!take.IsUsed || take.Faults.Count > 0)),
            UnrecognisedFiles = study.Findings.Count(finding => finding.Id == "file-not-recognised"),
            Faults = faults.Count,
        }.Sentence);
        return faults.Count == 0 ? ExitCode.Good : ExitCode.BadData;
    }

    private static IReadOnlyList<string> Row(TakeResult result, string name) =>
    [
        name, Number(result.PeakDbfs), Number(result.SnrDb),
        result.LevelBand.IsEmpty ? "" : $"{result.LevelBand.FromHz.ToString("0", CultureInfo.InvariantCulture)}–{result.LevelBand.ToHz.ToString("0", CultureInfo.InvariantCulture)}",
        (result.Take.Use, result.IsUsed, result.Faults.Count) switch { (false, _, _) => "set aside", (_, false, _) => "left out", (_, _, > 0) => "has faults", _ => "good" },
    ];

    /// <summary>Length of the folder name that all takes share.</summary>
    private static int SharedFolder(IReadOnlyList<TakeResult> takes)
    {
        var folders = takes.Select(take => take.Take.File[..(take.Take.File.LastIndexOf('/') + 1)]).Distinct().ToList();
        return folders.Count == 1 ? folders[0].Length : 0;
    }

    private static string Number(double valueDb) => double.IsFinite(valueDb) ? valueDb.ToString("0.0", CultureInfo.InvariantCulture) : "";
}
