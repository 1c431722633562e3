// SPDX-License-Identifier: MIT
using System.Runtime.InteropServices;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Cli.Tests;

/// <summary>The command that brings recordings made elsewhere into a survey: what it says, its exit codes, and that Ctrl-C leaves the survey as it was.</summary>
public sealed class ImportTests : IDisposable
{
    private const int Interrupt = 2;   // SIGINT in POSIX.1-2017, signal.h

    private readonly WorkFolder _work = new();

    public void Dispose() => _work.Dispose();

    [Fact]
    public void A_recording_becomes_a_take_that_the_check_finds_good()
    {
        var survey = Survey();
        Record(_work["evening.wav"], survey.Stimulus, 5, [2.0]);
        var ran = Ran.In(_work.Root, "import", "evening.wav", "--survey", "survey", "--source", "main", "--seat", "seat-1").Succeeded();
        Assert.Contains("takes/main_seat-1_2.wav: from evening.wav, sweep at 2.0", ran.Output);   // the first is there already
        Assert.Contains("time zero unknown, so levels only", string.Join(' ', ran.Output.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)));   // broken between words
        Assert.Contains("sweepbook check survey", ran.Output);
        Assert.Contains("good", Ran.In(_work.Root, "check", "survey").Output);
        Assert.All(ran.Output.Split('\n'), line => Assert.InRange(line.TrimEnd().Length, 0, 80));

        var before = WorkFolder.Fingerprint(survey.Folder);
        Assert.Contains("already imported as takes/main_seat-1_2.wav", Ran.In(_work.Root, "import", "evening.wav", "--survey", "survey", "--source", "main", "--seat", "seat-1").Refused(1).Error);
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    [Theory]
    [InlineData("--seat and --seats exclude", "a.wav", "--seat", "seat-1", "--seats", "seat-1")]
    [InlineData("--survey", "a.wav", "--seat", "seat-1")]
    [InlineData("add --impulse", "a.wav", "--seat", "seat-1", "--time-zero-s", "0.1")]
    [InlineData("needs --time-zero-s", "a.txt", "--seat", "seat-1")]
    [InlineData("one kind at a time", "a.txt", "b.wav", "--seat", "seat-1", "--time-zero-s", "0")]
    [InlineData("`0,1` is not a number here; write 0.1", "a.wav", "--impulse", "--time-zero-s", "0,1")]
    public void Used_wrongly_it_says_how(string words, params string[] arguments)
    {
        string[] rest = words == "--survey" ? [] : ["--survey", "survey"];
        Assert.Contains(words, Ran.In(_work.Root, ["import", "--source", "main", .. arguments, .. rest]).Refused(2).Error);
    }

    [Fact]
    public void What_is_not_in_the_survey_or_not_in_the_recording_is_said_with_exit_code_1_and_nothing_is_written()
    {
        var survey = Survey();
        Record(_work["talk.wav"], survey.Stimulus, 6, []);
        var before = WorkFolder.Fingerprint(survey.Folder);
        Assert.Contains("Did you mean `main`?", Import("talk.wav", "--source", "mian", "--seat", "seat-1").Refused(1).Error);
        Assert.Contains("was not found on channel 1", Import("talk.wav", "--source", "main", "--seat", "seat-1").Refused(1).Error);
        Assert.Contains("no such file", Import("nowhere.wav", "--source", "main", "--seat", "seat-1").Refused(1).Error);
        File.WriteAllText(_work["levels.txt"], "20 -3\n30 -4\n");
        Assert.Contains("levels but no phase", Import("levels.txt", "--source", "main", "--seat", "seat-1", "--time-zero-s", "0").Refused(1).Error);
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    [Fact]
    public void Handed_on_responses_come_back_as_wav_and_as_text()
    {
        Survey();
        Ran.In(_work.Root, "report", "survey", "--for-others", "--out", "results").Succeeded();
        Assert.True(File.Exists(_work["results", "handed-on.csv"]));
        var rows = File.ReadAllLines(_work["results", "handed-on.csv"]);
        var zero = rows[1].Split(',')[Array.IndexOf(rows[0].Split(','), "time_zero_s")];
        var survey = SmallSurvey.Make(_work["other"]);
        var ran = Ran.In(_work.Root, "import", "results/impulse-responses/main_seat-1_as-found.wav", "--survey", "other", "--source", "main", "--seat", "seat-1", "--impulse", "--time-zero-s", zero).Succeeded();
        Assert.Contains("time zero as stated", ran.Output);
        Assert.Contains("impulse = true", File.ReadAllText(survey.Toml));
        Assert.StartsWith("# Small: main at seat-1, as-found, microphone mic", File.ReadAllText(_work["results", "responses-as-text", "main_seat-1_as-found.txt"]));
    }

    [Fact]
    public void Ctrl_C_during_the_search_leaves_the_survey_as_it_was()
    {
        if (OperatingSystem.IsWindows()) return;   // there is no SIGINT to send to one process
        InterruptTests.SkipWhereIgnored();
        var survey = Survey();
        Record(_work["long.wav"], survey.Stimulus, 900, [3.0]);
        var before = WorkFolder.Fingerprint(survey.Folder);
        using var process = Ran.Start(_work.Root, "import", "long.wav", "--survey", "survey", "--source", "main", "--seat", "seat-1");
        while (process.StandardOutput.ReadLine() is { } line)
        {
            if (!line.Contains("searched to")) continue;
            Assert.Equal(0, Send(process.Id, Interrupt));
            break;
        }
        Ran.Finish(process).Refused(130);
        Assert.Equal(before, WorkFolder.Fingerprint(survey.Folder));
    }

    private SmallSurvey Survey() => SmallSurvey.Make(_work["survey"]);

    private Ran Import(string file, params string[] options) => Ran.In(_work.Root, ["import", file, "--survey", "survey", .. options]);

    /// <summary>A recorder's file of one channel: noise, and the sweep begins at each of some moments.</summary>
    internal static void Record(string path, Stimulus stimulus, double seconds, double[] sweepsAt)
    {
        var random = new Random(4);   // fixed seed
        var samples = new double[(int)(seconds * stimulus.SampleRateHz)];
        for (var n = 0; n < samples.Length; n++) samples[n] = 1e-4 * (2 * random.NextDouble() - 1);
        foreach (var at in sweepsAt)
            for (var n = 0; n < stimulus.Length; n++)
                if ((int)(at * stimulus.SampleRateHz) - stimulus.SweepStart + n is var place && place >= 0 && place < samples.Length) samples[place] += 0.3 * stimulus[n];
        WavFile.Write(path, new Recording(stimulus.SampleRateHz, [samples]), WavEncoding.Integer24);
    }

    [DllImport("libc", EntryPoint = "kill", SetLastError = true)]
    private static extern int Send(int process, int signal);
}
