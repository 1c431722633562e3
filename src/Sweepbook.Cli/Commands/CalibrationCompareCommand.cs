// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Microphones;
using Sweepbook.Quantities;

namespace Sweepbook.Cli.Commands;

/// <summary>By how much a microphone changed between two of its calibrations.</summary>
internal sealed class CalibrationCompareCommand : ExampledCommand
{
    internal const string Example = "sweepbook calibration compare old.txt pocket.txt --older-date 2021-03-01";

    private readonly Argument<string> _older = new("OLDER") { Description = "The older calibration: lines of frequency in Hz and level in dB." };
    private readonly Argument<string> _newer = new("NEWER") { Description = "The newer one." };
    private readonly Option<DateOnly?> _olderDate = DateOption.Of("--older-date", "Day of the older one. Default: what the header of a file of `calibration new` says.");
    private readonly Option<DateOnly?> _newerDate = DateOption.Of("--newer-date", "Day of the newer one, likewise.");
    private readonly Option<string> _olderSign = Sign("--older-sign", "older");
    private readonly Option<string> _newerSign = Sign("--newer-sign", "newer");
    private readonly Option<double> _from = NumberOption.Of("--match-from-hz", "Lower end of the middle band over which the two are matched.", MicrophoneComparison.UsualMatchFromHz);
    private readonly Option<double> _to = NumberOption.Of("--match-to-hz", "Upper end of it.", MicrophoneComparison.UsualMatchToHz);

    public CalibrationCompareCommand(Terminal terminal) : base(
        "compare", "Lays two calibrations of one microphone side by side: its change in each octave, in dB and, where the dates are known, in dB a year.", Example)
    {
        Add(_older);
        Add(_newer);
        foreach (var option in new Option[] { _olderDate, _newerDate, _olderSign, _newerSign, _from, _to }) Add(option);
        SetAction(parsed =>
        {
            var (older, newer) = (CalibrationCurve.Read(parsed.GetRequiredValue(_older)), CalibrationCurve.Read(parsed.GetRequiredValue(_newer)));
            Tell(terminal, CalibrationDrift.Between(older, newer, parsed.GetValue(_olderDate), parsed.GetValue(_newerDate), Of(parsed.GetValue(_olderSign)), Of(parsed.GetValue(_newerSign)),
                parsed.GetValue(_from), parsed.GetValue(_to)));
            return ExitCode.Good;
        });
    }

    internal static string Signed(double db) => double.IsNaN(db) ? "" : db.ToString("+0.0;-0.0;0.0", System.Globalization.CultureInfo.InvariantCulture);

    private static void Tell(Terminal terminal, CalibrationDrift drift)
    {
        terminal.SayWrapped(double.IsNaN(drift.Years) ? "The time between the two is not known: give --older-date and --newer-date for the change in a year."
            : FormattableString.Invariant($"{drift.Years:0.0} years lie between the two."));
        terminal.Show(["octave Hz", "change dB", "dB a year", ""], drift.Octaves.Where(octave => octave.IsGiven).Select(octave => (IReadOnlyList<string>)
        [
            octave.Band.Label, Signed(octave.DeviationDb), double.IsNaN(drift.PerYearDb(octave)) ? "" : drift.PerYearDb(octave).ToString("+0.00;-0.00;0.00", System.Globalization.CultureInfo.InvariantCulture),
            octave.IsSignificant ? "changed" : double.IsNaN(drift.UncertaintyDb) ? "" : "within the uncertainty",
        ]));
        terminal.SayWrapped(double.IsNaN(drift.UncertaintyDb) ? "What the two calibrations leave open is not known, so no change is called real."
            : FormattableString.Invariant($"The two together leave ± {drift.UncertaintyDb:0.0} dB open (coverage factor 2)."));
        if (drift.Reminder(DateOnly.FromDateTime(DateTime.Today)) is { Length: > 0 } reminder) terminal.SayWrapped(reminder);
    }

    private static CalibrationSign Of(string? word) => word == "correction" ? CalibrationSign.Correction : CalibrationSign.Response;

    private static Option<string> Sign(string name, string which)
    {
        var option = new Option<string>(name) { Description = $"What the {which} file states: response (what the microphone adds) or correction. Default: response.", HelpName = "word" };
        option.AcceptOnlyFromAmong("response", "correction");
        return option;
    }
}
