// SPDX-License-Identifier: MIT
using System.Buffers.Binary;
using Sweepbook.Files;
using Sweepbook.Simulation;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class SimulatorTests
{
    private static readonly string OneTake = "takes = [\"main_near\"]\n" + Plans.Small;

    [Fact]
    public void The_survey_reads_back_as_planned()
    {
        using var folder = new TemporaryFolder();
        var told = new Told();
        Simulator.Write(Plans.Read(Plans.Small), folder["two-seats"], told);
        var survey = Survey.Read(folder["two-seats"]);
        Assert.Equal("Two seats", survey.Title);
        Assert.Equal(new DateOnly(2026, 10, 18), survey.Date);
        Assert.Equal(4.4, survey.Room?.LengthMetres);
        Assert.Equal(["main", "sub"], survey.Sources.Select(source => source.Id));
        Assert.Equal(["near", "far"], survey.Seats.Select(seat => seat.Id));
        Assert.Equal(5, survey.Takes.Count);
        Assert.Equal(5, told.Sentences.Count);
        Assert.Contains("Take 5 of 5", string.Concat(told.Sentences), StringComparison.Ordinal);
        Assert.Empty(survey.Notes);
        var stimulus = Stimulus.Read(Path.Combine(survey.Folder, survey.Stimuli[0].File));
        foreach (var take in survey.Takes)
        {
            var recording = WavFile.Read(take.Path);
            Assert.Equal((2, stimulus.Length, 48000), (recording.ChannelCount, recording.Length, recording.SampleRateHz));
        }
        Assert.Equal(survey.Takes[0].RepeatKey, survey.Takes[1].RepeatKey);
    }

    [Fact]
    public void Two_runs_give_equal_bytes_whatever_order_the_takes_finish_in()
    {
        using var folder = new TemporaryFolder();
        var plan = Plans.Read(Plans.Small);
        Simulator.Write(plan, folder["a"]);
        Simulator.Write(plan, folder["b"]);
        var files = Directory.GetFiles(folder["a"], "*", SearchOption.AllDirectories).Select(file => Path.GetRelativePath(folder["a"], file)).Order(StringComparer.Ordinal).ToList();
        Assert.Equal(9, files.Count);   // five takes, stimulus and its description, calibration, survey
        foreach (var file in files) Assert.Equal(File.ReadAllBytes(Path.Combine(folder["a"], file)), File.ReadAllBytes(Path.Combine(folder["b"], file)));

        var alone = new SimulatedSystem(plan.Survey);   // one take after another, in the opposite order
        foreach (var take in plan.Survey.Takes.Reverse())
        {
            WavFile.Write(folder["alone.wav"], alone.Make(take).ToRecording(), WavEncoding.Integer24);
            Assert.Equal(File.ReadAllBytes(folder["alone.wav"]), File.ReadAllBytes(Path.Combine(folder["a"], take.File)));
            File.Delete(folder["alone.wav"]);
        }
    }

    [Fact]
    public void A_folder_that_holds_files_is_left_alone()
    {
        using var folder = new TemporaryFolder();
        Directory.CreateDirectory(folder["mine"]);
        File.WriteAllText(Path.Combine(folder["mine"], "take.wav"), "precious");
        var fault = Assert.Throws<DataFault>(() => Simulator.Write(Plans.Read(OneTake), folder["mine"]));
        Assert.Contains("never overwritten", fault.Message, StringComparison.Ordinal);
        Assert.Equal("precious", File.ReadAllText(Path.Combine(folder["mine"], "take.wav")));
        Assert.Contains("in the way", Assert.Throws<DataFault>(() => Simulator.Write(Plans.Read(OneTake), folder.Put("file", "x"))).Message, StringComparison.Ordinal);
        Assert.Equal(["file", "mine"], folder.Names);
    }

    [Fact]
    public void Cancelling_leaves_nothing_behind()
    {
        using var folder = new TemporaryFolder();
        using var cancel = new CancellationTokenSource();
        Assert.ThrowsAny<OperationCanceledException>(() => Simulator.Write(Plans.Read(Plans.Small), folder["survey"], new Told(cancel.Cancel), cancel.Token));
        Assert.Empty(folder.Names);
    }

    [Fact]
    public void Spoilt_takes_are_spoilt_in_the_way_that_was_planned_and_only_so()
    {
        const string Damage = """

            [[damage]]
            take = "main_near"
            kind = "clipped"
            amount = 6.0
            [[damage]]
            take = "main_near_2"
            kind = "silent-loopback"
            [[damage]]
            take = "main_far"
            kind = "cut-short"
            amount = 0.5
            [[damage]]
            take = "sub_near"
            kind = "wrong-rate"
            amount = 44100
            [[damage]]
            take = "sub_far"
            kind = "length-zero"
            """;
        using var folder = new TemporaryFolder();
        Simulator.Write(Plans.Read(Plans.Small), folder["good"]);
        Simulator.Write(Plans.Read(Plans.Small + Damage), folder["bad"]);
        string Bad(string name) => Path.Combine(folder["bad"], "takes", name + ".wav");
        byte[] Good(string name) => File.ReadAllBytes(Path.Combine(folder["good"], "takes", name + ".wav"));

        var clipped = WavFile.Read(Bad("main_near")).Channel(1);
        Assert.InRange(clipped.Count(value => Math.Abs(value) > 1 - 1e-6), 100, clipped.Length / 2);
        var silent = WavFile.Read(Bad("main_near_2"));
        Assert.InRange(silent.Channel(2).Max(Math.Abs), 0, 1e-4);
        Assert.Equal(WavFile.Read(Path.Combine(folder["good"], "takes", "main_near_2.wav")).Channel(1), silent.Channel(1));

        var cut = File.ReadAllBytes(Bad("main_far"));
        Assert.Equal(44 + (Good("main_far").Length - 44) / 2, cut.Length);
        Assert.Equal(Good("main_far").AsSpan(0, cut.Length).ToArray(), cut);
        var rate = File.ReadAllBytes(Bad("sub_near"));
        Assert.Equal(44100, BinaryPrimitives.ReadInt32LittleEndian(rate.AsSpan(24)));
        Assert.Equal(Good("sub_near").AsSpan(44).ToArray(), rate.AsSpan(44).ToArray());
        var zero = File.ReadAllBytes(Bad("sub_far"));
        Assert.Equal(0, BinaryPrimitives.ReadInt32LittleEndian(zero.AsSpan(40)));
        Assert.Equal(Good("sub_far").Length, zero.Length);
    }

    [Fact]
    public void Lost_samples_are_missing_from_both_channels()
    {
        const string Damage = "\n[[damage]]\ntake = \"main_near\"\nkind = \"lost-samples\"\namount = 2.0\n";
        var (good, bad) = (Plans.Make(Plans.Small, "main_near"), Plans.Make(Plans.Small + Damage, "main_near"));
        var (half, lost) = (good.Microphone.Length / 2, 96);
        Assert.Equal(good.Microphone.Length, bad.Microphone.Length);
        Assert.Equal(good.Loopback[half - 1], bad.Loopback[half - 1]);
        Assert.Equal(good.Loopback[half + lost], bad.Loopback[half]);
        Assert.Equal(good.Microphone[half + lost], bad.Microphone[half]);
    }

    private sealed class Told(Action? then = null) : IProgress<string>
    {
        public List<string> Sentences { get; } = [];

        public void Report(string value)
        {
            lock (Sentences) Sentences.Add(value);
            then?.Invoke();
        }
    }
}
