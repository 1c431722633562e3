// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>Help says only what works: every command that it lists has an example, and every example runs.</summary>
public sealed class HelpTests
{
    public static TheoryData<string> Commands => [.. Listed()];

    [Fact]
    public void The_help_lists_the_commands_that_work() =>
        Assert.Equal(["report", "look", "check", "stimulus", "import", "simulate", "run", "export", "jupyter", "new", "compare", "calibration", "verify"], Listed());

    [Theory, MemberData(nameof(Commands))]
    public void Every_example_of_a_command_runs_as_it_stands(string command)
    {
        var help = Ran.In(Path.GetTempPath(), command, "--help").Succeeded().Output;
        var examples = help.Split('\n').Select(line => line.Trim()).SkipWhile(line => !line.StartsWith("Example", StringComparison.Ordinal)).Skip(1).Where(line => line.Length > 0).ToList();
        Assert.NotEmpty(examples);
        using var work = new WorkFolder();
        var isSmall = command is "report" or "compare" or "verify";
        foreach (var folder in new[] { "data-demo", "notebooks", "artifacts" })   // what a clone has once it is built
            if (folder != "data-demo" || !isSmall) Directory.CreateSymbolicLink(work[folder], Path.Combine(WorkFolder.RepositoryRoot, folder));
        if (isSmall)
            foreach (var name in new[] { "orchard-row", "ferry-lane" }) SmallSurvey.Make(work["data-demo", name]);   // under the names of the demos, which other tests and the lines of the README run in whole
        if (command == "import") Record(work);
        if (command == "jupyter") JupyterTests.PutTool(work["my-kernel"]);   // fetched once, so that no network is needed
        if (command == "calibration") CalibrationTests.Prepare(work);
        if (command == "compare") CompareTests.Prepare(work);
        if (command == "verify") Study.Of(Survey.Read(work["data-demo", "orchard-row"])).WriteTables(work["out", "orchard-row"]);   // as a report does
        foreach (var example in examples.Where(example => PrintedReport.HasBrowser || !example.Contains("--pdf")))
        {
            var words = ShellWords.Split(example);
            Assert.Equal("sweepbook", words[0]);
            Ran.In(work.Root, words[1..]).Succeeded();
        }
    }

    /// <summary>A survey as `new` makes it, and what a recorder brought home: the examples of `import` have to find something.</summary>
    private static void Record(WorkFolder work)
    {
        Ran.In(work.Root, "new", "den").Succeeded();
        var stimulus = Stimulus.Read(work["den", "stimuli", "full.toml"]);
        ImportTests.Record(work["evening.wav"], stimulus, 20, [4.0]);
        ImportTests.Record(work["one.wav"], stimulus, 20, [3.0]);
        ImportTests.Record(work["two.wav"], stimulus, 20, [5.0]);
        WavFile.Write(work["clap.wav"], new Recording(48_000, [[.. new double[9_600], 0.5, .. new double[9_600]]]), WavEncoding.Integer16);
    }

    [Theory, MemberData(nameof(Commands))]
    public void The_help_is_readable_in_eighty_columns(string command) =>
        Assert.All(Ran.In(Path.GetTempPath(), command, "--help").Output.Split('\n'), line => Assert.InRange(line.TrimEnd().Length, 0, 80));

    private static List<string> Listed() =>
        [.. Ran.In(Path.GetTempPath(), "--help").Output.Split('\n')
            .SkipWhile(line => line.TrimEnd() != "Commands:").Skip(1)
            .TakeWhile(line => line.Trim().Length > 0)
            .Where(line => line.StartsWith("  ", StringComparison.Ordinal) && line[2] != ' ')
            .Select(line => line.Trim().Split(' ')[0])];
}
