// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Files;
using Sweepbook.Microphones;
using Sweepbook.Studies;
using Sweepbook.Surveys;

namespace Sweepbook.Cli.Commands;

/// <summary>Writes the calibration of a microphone that was compared with a reference.</summary>
internal sealed class CalibrationNewCommand : ExampledCommand
{
    internal const string Example = "sweepbook calibration new den --microphone pocket --out pocket.txt";

    private readonly Argument<string> _folder = new("FOLDER") { Description = "The survey: the folder that holds survey.toml." };
    private readonly Option<string> _microphone = new("--microphone") { Description = "The microphone that gets the calibration.", Required = true, HelpName = "id" };
    private readonly Option<string> _reference = new("--reference") { Description = "The microphone to judge by. Default: the one that the survey marks with reference = true.", HelpName = "id" };
    private readonly Option<string> _source = new("--source") { Description = "Which source, where they were compared with several. Default: where the widest band may be believed.", HelpName = "id" };
    private readonly Option<string> _seat = new("--seat") { Description = "Which seat, likewise.", HelpName = "id" };
    private readonly Option<string> _setting = new("--setting") { Description = "Which setting, likewise.", HelpName = "id" };
    private readonly Option<double?> _from = NumberOption.OrNone("--match-from-hz", "Lower end of the middle band over which the two are matched. Default: that of the survey, or 300.");
    private readonly Option<double?> _to = NumberOption.OrNone("--match-to-hz", "Upper end of it. Default: that of the survey, or 3000.");
    private readonly Option<string> _out = new("--out") { Description = "The file to write. An existing one is never overwritten.", Required = true, HelpName = "file" };

    public CalibrationNewCommand(Terminal terminal) : base(
        "new", "Makes a calibration file for a microphone that took the same place as a reference: the reference's own calibration and the smoothed difference, where both may be believed, with its uncertainty.", Example)
    {
        Add(_folder);
        foreach (var option in new Option[] { _microphone, _reference, _source, _seat, _setting, _from, _to, _out }) Add(option);
        SetAction(async (parsed, cancellation) =>
        {
            var (folder, path) = (parsed.GetRequiredValue(_folder), parsed.GetRequiredValue(_out));
            SurveyFolder.RefuseInside(folder, path);
            var survey = Survey.Read(folder);
            var microphone = survey.Microphone(parsed.GetRequiredValue(_microphone));
            var reference = survey.Microphone(Reference(survey, folder, parsed.GetValue(_reference)));
            var takes = survey.Takes.Where(take => take.Microphone == microphone.Id || take.Microphone == reference.Id).ToList();
            var study = await terminal.WatchAsync($"{survey.Title}: {Counted.Of(takes.Count, "take")}", progress => Task.Run(() => Study.Of(survey, takes, progress), cancellation).WaitAsync(cancellation));
            var comparison = Compared(study, folder, microphone.Id, () => study.Microphone(microphone.Id).ComparedWith(
                reference.Id, parsed.GetValue(_source), parsed.GetValue(_seat), parsed.GetValue(_setting), parsed.GetValue(_from), parsed.GetValue(_to)));
            var calibration = Compared(study, folder, microphone.Id, comparison.Calibration);
            calibration.Write(path);
            Tell(terminal, comparison, calibration, path);
            return ExitCode.Good;
        });
    }

    private static string Reference(Survey survey, string folder, string? given) => given ?? survey.Microphones.FirstOrDefault(microphone => microphone.IsReference)?.Id
        ?? throw new DataFault(folder, null, "no microphone of the survey is marked as the reference", "Write reference = true into its [[microphone]], or name it with --reference.");

    /// <summary>What two microphones cannot give is a matter of the survey, not of the command line.</summary>
    private static T Compared<T>(Study study, string folder, string microphone, Func<T> work)
    {
        try
        {
            return work();
        }
        catch (Exception refused) when (refused is (ArgumentException and not ArgumentOutOfRangeException) or InvalidOperationException)
        {
            var leftOut = study.Takes.Count(take => !take.IsUsed);
            throw new DataFault(folder, null, refused.Message.Split(" (Parameter '")[0].TrimEnd('.'),
                leftOut > 0 ? $"{Counted.Of(leftOut, "take")} of the two could not be used: see `sweepbook check`." : $"No calibration of {microphone} was written.", refused);
        }
    }

    private static void Tell(Terminal terminal, MicrophoneComparison comparison, TransferCalibration calibration, string path)
    {
        terminal.SayWrapped($"{calibration.Microphone} by {calibration.Reference}: {comparison.Place}, {calibration.Band.Words}.");
        terminal.Show(["octave Hz", "adds dB", "± dB"], calibration.Octaves.Select(octave => (IReadOnlyList<string>)
            [octave.Band.Label, CalibrationCompareCommand.Signed(octave.DeviationDb), double.IsNaN(octave.RepeatabilityDb) ? "not known" : FormattableString.Invariant($"{octave.RepeatabilityDb:0.0}")]));
        if (comparison.IsNoiseOnly) terminal.SayWrapped($"{calibration.Reference} was read only once, so what setting a microphone up again does is not in the uncertainty: repeat it, moved away and set up again in between.");
        terminal.SayPath("Calibration: ", path);
    }
}
