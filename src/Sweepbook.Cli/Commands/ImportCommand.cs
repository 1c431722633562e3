// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.Globalization;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Trust;

namespace Sweepbook.Cli.Commands;

/// <summary>Brings into a survey what was recorded or measured elsewhere.</summary>
internal sealed class ImportCommand : ExampledCommand
{
    private static readonly string[] TextEndings = [".txt", ".csv", ".tsv", ".dat"];

    private readonly Argument<string[]> _files = new("RECORDING") { Description = "WAV files of any length; with --impulse, impulse responses; or text files with frequency, level in dB and phase in degrees.", Arity = ArgumentArity.OneOrMore };
    private readonly Option<string> _survey = new("--survey") { Description = "The survey to add to: the folder that holds survey.toml.", Required = true, HelpName = "folder" };
    private readonly Option<string> _source = new("--source") { Description = "What played; several that played together are joined by commas.", Required = true, HelpName = "id[,id]" };
    private readonly Option<string> _seat = new("--seat") { Description = "Where the microphone stood.", HelpName = "id" };
    private readonly Option<string> _seats = new("--seats") { Description = "In place of --seat: one seat for each sweep, in the order of time.", HelpName = "id,id,…" };
    private readonly Option<string> _setting = new("--setting") { Description = "State of the system. Default: as-found, or what the survey says.", HelpName = "id" };
    private readonly Option<string> _microphone = new("--microphone") { Description = "Which microphone, where the survey has several.", HelpName = "id" };
    private readonly Option<string> _stimulus = new("--stimulus") { Description = "What was played, where the survey has several.", HelpName = "id" };
    private readonly Option<int?> _channel = NumberOption.Channel("--microphone-channel", "Channel of the microphone, counted from 1. Default: 1, or what the survey says.");
    private readonly Option<int?> _reference = NumberOption.Channel("--reference-channel", "Channel of the loopback, counted from 1, where there is one.");
    private readonly Option<string> _field = new("--field") { Description = "room, near or free. Default: room, or what the survey says.", HelpName = "word" };
    private readonly Option<double?> _distance = NumberOption.OrNone("--distance-mm", "Near or free field: distance from the source in millimetres.");
    private readonly Option<double?> _angle = NumberOption.OrNone("--angle-deg", "Near or free field: angle from the source's axis in degrees.");
    private readonly Option<string> _group = new("--time-group") { Description = "Name shared by takes whose time zeros are the same; only they may be added.", HelpName = "name" };
    private readonly Option<bool> _impulse = new("--impulse") { Description = "The WAV files are impulse responses (or claps), not recordings of a stimulus." };
    private readonly Option<double?> _zero = NumberOption.OrNone("--time-zero-s", "Impulse responses: where time zero lies, in seconds from the start of the file. Text: how long after the sound left the moment lies that its phase counts from; 0 for none.");

    public ImportCommand(Terminal terminal) : base(
        "import",
        "Adds to a survey what was recorded elsewhere: finds every play of the stimulus in recordings of any length, by any recorder, cuts each out unchanged, and writes the take and its entry in survey.toml. "
        + "With --impulse it takes over impulse responses, and from text files responses.",
        "sweepbook import evening.wav --survey den --source sub --seat sofa-left",
        "sweepbook import one.wav two.wav --survey den --source main --seat sofa-left",
        "sweepbook import clap.wav --survey den --source sub --seat sofa-left --impulse")
    {
        Add(_files);
        foreach (var option in new Option[] { _survey, _source, _seat, _seats, _setting, _microphone, _stimulus, _channel, _reference, _field, _distance, _angle, _group, _impulse, _zero }) Add(option);
        _field.AcceptOnlyFromAmong("room", "near", "free");
        Validators.Add(result =>
        {
            var (files, impulse) = (result.GetValue(_files) ?? [], result.GetValue(_impulse));
            if (result.GetValue(_seat) is not null && result.GetValue(_seats) is not null) result.AddError("--seat and --seats exclude each other: name one seat for all sweeps, or one for each.");
            else if (files.Any(IsText) && !files.All(IsText)) result.AddError("Recordings and text files are imported one kind at a time.");
            else if (files.Any(IsText) && result.GetResult(_zero) is null) result.AddError("A response as text needs --time-zero-s: write 0 where its phase counts from the moment the sound left, or the delay in seconds that was taken out of it.");
            else if (result.GetResult(_zero) is not null && !impulse && !files.Any(IsText)) result.AddError("--time-zero-s is for impulse responses: add --impulse, or leave it out. Recordings get their time zero from a loopback or a marker.");
        });
        SetAction(async (parsed, cancellation) =>
        {
            var files = parsed.GetRequiredValue(_files);
            var (survey, entry, seats) = (parsed.GetRequiredValue(_survey), Entry(parsed), Ids(parsed.GetValue(_seats)));
            var takes = await terminal.WatchAsync(files.Length == 1 ? files[0] : Counted.Of(files.Length, "file"), progress => Task.Run(() =>
                files.Any(IsText) ? ImpulseImport.Texts(survey, files, entry, seats, cancellation)
                : parsed.GetValue(_impulse) ? ImpulseImport.Files(survey, files, entry, seats, cancellation)
                : TakeImport.Sweeps(survey, files, entry, seats, progress, cancellation), CancellationToken.None));
            Tell(terminal, takes, survey);
            return ExitCode.Good;
        });
    }

    private static void Tell(Terminal terminal, IReadOnlyList<ImportedTake> takes, string survey)
    {
        foreach (var take in takes)
        {
            terminal.SayWrapped($"{take.File}: {(double.IsNaN(take.AtSeconds) ? $"made from {take.Recording}" : string.Create(CultureInfo.InvariantCulture, $"from {take.Recording}, sweep at {take.AtSeconds:0.00} s"))}; {ZeroOf(take)}", "- ", "  ");
            foreach (var remark in take.Remarks) terminal.SayWrapped(remark, "  ", "  ");
        }
        terminal.SayWrapped($"{Counted.Of(takes.Count, "take")} added to survey.toml, the samples as they were recorded. Next: are they good?");
        terminal.Say($"  sweepbook check {ShownPath.Quoted(survey)}");
    }

    private static string ZeroOf(ImportedTake take) => take.TimeZero switch
    {
        TimeZero.Loopback => "time zero from the loopback.",
        TimeZero.Marker => "time zero from the marker.",
        TimeZero.Stated => "time zero as stated.",
        _ => "time zero unknown, so levels only.",
    };

    private TakeEntry Entry(ParseResult parsed) => new()
    {
        Sources = Ids(parsed.GetRequiredValue(_source)),
        Seat = parsed.GetValue(_seat),
        Setting = parsed.GetValue(_setting),
        Microphone = parsed.GetValue(_microphone),
        Stimulus = parsed.GetValue(_stimulus),
        MicrophoneChannel = parsed.GetValue(_channel),
        ReferenceChannel = parsed.GetValue(_reference),
        TimeGroup = parsed.GetValue(_group),
        Field = parsed.GetValue(_field) switch { "near" => SoundField.Near, "free" => SoundField.Free, "room" => SoundField.Room, _ => null },
        DistanceMm = parsed.GetValue(_distance),
        AngleDeg = parsed.GetValue(_angle),
        TimeZeroSeconds = parsed.GetValue(_zero),
    };

    private static bool IsText(string file) => TextEndings.Contains(Path.GetExtension(file), StringComparer.OrdinalIgnoreCase);

    private static string[] Ids(string? list) => list?.Split(',', StringSplitOptions.TrimEntries) ?? [];
}
