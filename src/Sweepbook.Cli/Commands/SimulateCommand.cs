// SPDX-License-Identifier: MIT
using System.CommandLine;
using Sweepbook.Simulation;

namespace Sweepbook.Cli.Commands;

/// <summary>Computes an invented survey from a plan.</summary>
internal sealed class SimulateCommand : ExampledCommand
{
    public SimulateCommand(Terminal terminal) : base(
        "simulate",
        "Computes the survey of an invented room from a plan: stimulus, calibration file, takes. The folder is new; nothing is overwritten.",
        "sweepbook simulate data-demo/orchard-row.plan.toml --out simulated")
    {
        var plan = new Argument<string>("PLAN") { Description = "The plan, a TOML file; those in data-demo explain every key." };
        var into = new Option<string>("--out") { Description = "The survey folder to make.", Required = true, HelpName = "folder" };
        Add(plan);
        Add(into);
        SetAction(async (parsed, cancellation) =>
        {
            var (read, folder) = (SimulationPlan.Read(parsed.GetRequiredValue(plan)), parsed.GetRequiredValue(into));
            await terminal.WatchAsync($"{read.Title}: {Counted.Of(read.TakeCount, "take")}", progress => Task.Run(() =>
            {
                Simulator.Write(read, folder, progress, cancellation);
                return true;
            }, cancellation));
            terminal.SayPath("Survey: ", folder);
            terminal.Say($"  sweepbook report {ShownPath.Quoted(folder)}");
            return ExitCode.Good;
        });
    }
}
