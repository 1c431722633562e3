// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Stimuli;

namespace Sweepbook.Cli.Commands;

/// <summary>Writes a sweep and its description.</summary>
internal sealed class StimulusCommand : ExampledCommand
{
    private static readonly StimulusDescription Usual = new();

    public StimulusCommand(Terminal terminal) : base(
        "stimulus",
        $"Writes a sweep as a WAV file and a TOML file beside it that describes it. {Cautions.Short}",
        "sweepbook stimulus sweep.toml",
        "sweepbook stimulus bass.toml --from-hz 8 --to-hz 500 --level-dbfs -18")
    {
        var file = new Argument<string>("FILE") { Description = "The description to write, for example stimuli/full.toml; the WAV gets the same name." };
        var from = Number("--from-hz", "First frequency in hertz.", Usual.StartHz);
        var to = Number("--to-hz", "Last frequency in hertz.", Usual.EndHz);
        var sweep = Number("--sweep-s", "Length of the sweep in seconds; longer sweeps lie further above the noise.", Usual.SweepSeconds);
        var level = Number("--level-dbfs", "Peak level; 0 is full scale.", Usual.LevelDbfs);
        var before = Number("--lead-in-s", "Silence before the sweep in seconds; the noise is measured there.", Usual.LeadInSeconds);
        var after = Number("--tail-s", "Silence after the sweep in seconds; at least as long as the room rings.", Usual.TailSeconds);
        var fadeIn = Number("--fade-in-s", "Fade at the start of the sweep in seconds.", Usual.FadeInSeconds);
        var fadeOut = Number("--fade-out-s", "Fade at the end of the sweep in seconds.", Usual.FadeOutSeconds);
        var rate = new Option<int>("--rate-hz") { Description = "Sample rate; the one the interface will run at.", DefaultValueFactory = _ => Usual.SampleRateHz, HelpName = "rate" };
        Add(file);
        foreach (var option in new Option[] { from, to, sweep, level, before, after, fadeIn, fadeOut, rate }) Add(option);

        SetAction(parsed =>
        {
            var path = parsed.GetRequiredValue(file);
            var stimulus = Stimulus.From(new()
            {
                SampleRateHz = parsed.GetValue(rate),
                StartHz = parsed.GetValue(from),
                EndHz = parsed.GetValue(to),
                SweepSeconds = parsed.GetValue(sweep),
                LevelDbfs = parsed.GetValue(level),
                LeadInSeconds = parsed.GetValue(before),
                TailSeconds = parsed.GetValue(after),
                FadeInSeconds = parsed.GetValue(fadeIn),
                FadeOutSeconds = parsed.GetValue(fadeOut),
            });
            stimulus.Write(path);
            var said = stimulus.Description;
            terminal.Say($"A sweep from {said.StartHz} Hz to {said.EndHz} Hz, {said.SweepSeconds} s, peak {said.LevelDbfs} dBFS, {said.SampleRateHz} Hz, {(double)stimulus.Length / said.SampleRateHz:0.##} s in all.");
            terminal.SayWrapped(Cautions.Short);
            terminal.SayPath("Description: ", path);
            terminal.SayPath("Samples:     ", Path.ChangeExtension(path, ".wav"));
            return ExitCode.Good;
        });
    }

    private static Option<double> Number(string name, string description, double usual) =>
        new(name) { Description = description, DefaultValueFactory = _ => usual, HelpName = "number" };
}
