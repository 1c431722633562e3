// SPDX-License-Identifier: MIT
using System.CommandLine;
using System.CommandLine.Parsing;
using Sweepbook.Stimuli;

namespace Sweepbook.Cli.Commands;

/// <summary>Writes a sweep and its description.</summary>
internal sealed class StimulusCommand : ExampledCommand
{
    private const double FadeOfLinear = 0.005;   // in the usual 0.1 s a linear sweep would have passed 200 Hz
    private static readonly string[] Kinds = ["exponential", "synchronised", "linear"];   // in the order of SweepKind
    private static readonly StimulusDescription Usual = new();

    private static readonly (string Key, string Option)[] OptionNames =
    [
        ("device_outputs", "the output options"), ("sample_rate_hz", "--rate-hz"), ("start_hz", "--from-hz"), ("end_hz", "--to-hz"), ("sweep_s", "--sweep-s"), ("level_dbfs", "--level-dbfs"),
        ("lead_in_s", "--lead-in-s"), ("tail_s", "--tail-s"), ("fade_in_s", "--fade-in-s"), ("fade_out_s", "--fade-out-s"),
    ];

    public StimulusCommand(Terminal terminal) : base(
        "stimulus",
        $"Writes a sweep as a WAV file and a TOML file beside it that describes it. {Cautions.Short}",
        "sweepbook stimulus sweep.toml",
        "sweepbook stimulus bass.toml --from-hz 8 --to-hz 500 --level-dbfs -18",
        "sweepbook stimulus marked.toml --to-hz 500 --marker")
    {
        var file = new Argument<string>("FILE") { Description = "The description to write, for example stimuli/full.toml; the WAV gets the same name." };
        file.Validators.Add(result =>
        {
            var given = result.Tokens.Count > 0 ? result.Tokens[0].Value : "";
            if (given.Length > 0 && !Path.GetExtension(given).Equals(".toml", StringComparison.OrdinalIgnoreCase))
                result.AddError($"{given}: FILE is the description, which ends in .toml; write {Path.ChangeExtension(given, ".toml")}. The samples go into a WAV file beside it.");
        });
        var from = NumberOption.Of("--from-hz", "First frequency in hertz.", Usual.StartHz);
        var to = NumberOption.Of("--to-hz", "Last frequency in hertz.", Usual.EndHz);
        var sweep = NumberOption.Of("--sweep-s", "Length of the sweep in seconds; longer sweeps lie further above the noise.", Usual.SweepSeconds);
        var level = NumberOption.Of("--level-dbfs", "Peak level; 0 is full scale.", Usual.LevelDbfs);
        var before = NumberOption.Of("--lead-in-s", "Silence before the sweep in seconds; the noise is measured there.", Usual.LeadInSeconds);
        var after = NumberOption.Of("--tail-s", "Silence after the sweep in seconds; at least as long as the room rings.", Usual.TailSeconds);
        var fadeIn = NumberOption.Of("--fade-in-s", "Fade at the start of the sweep in seconds.", Usual.FadeInSeconds);
        var fadeOut = NumberOption.Of("--fade-out-s", "Fade at the end of the sweep in seconds.", Usual.FadeOutSeconds);
        var rate = NumberOption.Whole("--rate-hz", "Sample rate; the one the interface will run at.", Usual.SampleRateHz);
        var kind = new Option<SweepKind>("--kind")
        {
            Description = $"How the frequency moves: {string.Join(", ", Kinds)}. Synchronised keeps harmonics in phase, linear is for comparison. Default: {Kinds[0]}.",
            HelpName = "kind",
            CustomParser = result => Array.IndexOf(Kinds, result.Tokens[^1].Value) is var place and >= 0 ? (SweepKind)place : Unknown(result),
        };
        var marker = new Option<bool>("--marker") { Description = "Adds a short timing marker for a second loudspeaker, before and after the sweep: time zero for a microphone without a loopback." };
        var outputs = new StimulusOutputs();
        Add(file);
        foreach (var option in new Option[] { from, to, sweep, level, before, after, fadeIn, fadeOut, rate, kind, marker, outputs.Sweep, outputs.Marker, outputs.Loopback }) Add(option);
        Validators.Add(result =>
        {
            if (result.GetValue(outputs.Marker) is not null && !result.GetValue(marker)) result.AddError("--marker-output: the stimulus has no marker; add --marker, or leave this out.");
        });

        SetAction(parsed =>
        {
            var path = parsed.GetRequiredValue(file);
            var shape = parsed.GetValue(kind);
            var plain = new StimulusDescription
            {
                Kind = shape,
                SampleRateHz = parsed.GetValue(rate),
                StartHz = parsed.GetValue(from),
                EndHz = parsed.GetValue(to),
                SweepSeconds = parsed.GetValue(sweep),
                LevelDbfs = parsed.GetValue(level),
                LeadInSeconds = parsed.GetValue(before),
                TailSeconds = parsed.GetValue(after),
                FadeInSeconds = shape == SweepKind.Linear && parsed.GetResult(fadeIn) is { Implicit: true } ? FadeOfLinear : parsed.GetValue(fadeIn),
                FadeOutSeconds = parsed.GetValue(fadeOut),
            };
            var isMarked = parsed.GetValue(marker);
            var stimulus = Make(isMarked ? plain.WithMarker() : plain, outputs.Given(parsed, isMarked));
            stimulus.Write(path, outputs.Layout(parsed));
            var said = stimulus.Description;
            terminal.Say($"A sweep from {said.StartHz} Hz to {said.EndHz} Hz, {said.SweepSeconds:0.######} s, peak {said.LevelDbfs} dBFS, {said.SampleRateHz} Hz, {(double)stimulus.Length / said.SampleRateHz:0.##} s in all.");
            foreach (var sentence in StimulusWords.About(stimulus, outputs.Layout(parsed))) terminal.SayWrapped(sentence);
            terminal.SayWrapped(Cautions.Short);
            terminal.SayPath("Description: ", path);
            terminal.SayPath("Samples:     ", Path.ChangeExtension(path, ".wav"));
            return ExitCode.Good;
        });
    }

    private static SweepKind Unknown(ArgumentResult result)
    {
        result.AddError($"--kind: `{result.Tokens[^1].Value}` is no kind of sweep; write {string.Join(" or ", Kinds)}.");
        return default;
    }

    // The rules speak of the keys of the file; the person at the keyboard typed options.
    private static Stimulus Make(StimulusDescription description, IReadOnlyDictionary<string, int>? outputs)
    {
        try
        {
            return Stimulus.From(outputs is null ? description : StimulusOutputs.Named(description, outputs));
        }
        catch (ArgumentException refused)
        {
            throw new ArgumentException(OptionNames.Aggregate(refused.Message, (message, name) => message.Replace(name.Key, name.Option, StringComparison.Ordinal)), refused);
        }
    }
}
