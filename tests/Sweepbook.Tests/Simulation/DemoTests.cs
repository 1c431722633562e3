// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Simulation;
using Sweepbook.Stimuli;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class DemoTests
{
    private const double OneStep = 1.0 / (1 << 23);       // sine and exponential differ in the last bit between machines: one step of 24 bits
    private const long MostBytes = 30_000_000;

    private static string Demo => Path.Combine(Root(), "data-demo");

    [Theory]
    [InlineData("orchard-row")]
    [InlineData("orchard-row-damaged")]
    [InlineData("ferry-lane")]
    [InlineData("harbour-loft")]
    [InlineData("tannery-bench")]
    public void The_demo_comes_out_of_its_plan_again(string name)
    {
        using var folder = new TemporaryFolder();
        Simulator.Write(SimulationPlan.Read(Path.Combine(Demo, $"{name}.plan.toml")), folder["again"]);
        var kept = Path.Combine(Demo, name);
        var files = Names(kept);
        Assert.Equal(Names(folder["again"]), files);
        foreach (var file in files)
        {
            var (old, again) = (Path.Combine(kept, file), Path.Combine(folder["again"], file));
            Assert.Equal(new FileInfo(old).Length, new FileInfo(again).Length);
            if (Path.GetExtension(file) == ".wav") AssertWithinOneStep(old, again);
            else if (!file.StartsWith("stimuli/", StringComparison.Ordinal)) Assert.Equal(File.ReadAllText(old), File.ReadAllText(again));
            else Assert.Equal(StimulusDescription.Read(old) with { Sha256 = null }, StimulusDescription.Read(again) with { Sha256 = null });
        }
    }

    [Fact]
    public void The_demo_is_a_survey_with_sixteen_takes_and_a_stimulus_that_is_what_it_says()
    {
        var survey = Survey.Read(Path.Combine(Demo, "orchard-row"));
        Assert.Equal((16, 5, 3), (survey.Takes.Count, survey.Seats.Count, survey.Sources.Count));
        Assert.Empty(survey.Notes);
        Assert.Equal(240_000, Stimulus.Read(survey.Stimuli[0].Path).Length);
    }

    [Fact]
    public void The_marked_demo_has_six_takes_of_one_channel_and_a_stimulus_with_a_marker()
    {
        const long MostMarkedBytes = 12_000_000;
        var survey = Survey.Read(Path.Combine(Demo, "ferry-lane"));
        Assert.Equal((6, 3, 2), (survey.Takes.Count, survey.Seats.Count, survey.Sources.Count));
        Assert.Empty(survey.Notes);
        Assert.All(survey.Takes, take => Assert.Equal(1, WavFile.Read(take.Path).ChannelCount));
        Assert.True(Stimulus.Read(survey.Stimuli[0].Path).HasMarker);
        Assert.InRange(new DirectoryInfo(survey.Folder).EnumerateFiles("*", SearchOption.AllDirectories).Sum(file => file.Length), 1_000_000, MostMarkedBytes);
    }

    [Theory]
    [InlineData("harbour-loft", 14, 5, 26_000_000)]
    [InlineData("tannery-bench", 7, 2, 12_000_000)]
    public void The_demos_of_microphones_hold_what_they_say_and_stay_small(string name, int takes, int microphones, long mostBytes)
    {
        var survey = Survey.Read(Path.Combine(Demo, name));
        Assert.Equal((takes, microphones, microphones), (survey.Takes.Count, survey.Microphones.Count, survey.Calibrators.Count));
        Assert.Empty(survey.Notes);
        Assert.Empty(survey.UnmatchedFiles);
        Assert.InRange(new DirectoryInfo(survey.Folder).EnumerateFiles("*", SearchOption.AllDirectories).Sum(file => file.Length), 1_000_000, mostBytes);
    }

    [Fact]
    public void The_good_take_of_the_damaged_evening_is_the_same_take() =>
        Assert.Equal(File.ReadAllBytes(Path.Combine(Demo, "orchard-row/takes/sub-front_sofa-centre.wav")),
            File.ReadAllBytes(Path.Combine(Demo, "orchard-row-damaged/takes/sub-front_sofa-centre.wav")));

    [Fact]
    public void The_demo_stays_small() =>
        Assert.InRange(new DirectoryInfo(Demo).EnumerateFiles("orchard-row*", SearchOption.AllDirectories)
            .Concat(Directory.GetDirectories(Demo, "orchard-row*").SelectMany(folder => new DirectoryInfo(folder).EnumerateFiles("*", SearchOption.AllDirectories)))
            .Sum(file => file.Length), 1_000_000, MostBytes);

    /// <summary>Bytes behind the header as 24-bit samples, so that files which are damaged on purpose can be compared too.</summary>
    private static void AssertWithinOneStep(string old, string again)
    {
        const int Header = 44;
        var (a, b) = (File.ReadAllBytes(old), File.ReadAllBytes(again));
        Assert.Equal(a.AsSpan(0, Header).ToArray(), b.AsSpan(0, Header).ToArray());
        for (var at = Header; at + 3 <= a.Length; at += 3)
            if (Math.Abs(Sample(a, at) - Sample(b, at)) > OneStep * 1.001) Assert.Fail($"{Path.GetFileName(old)}: sample {(at - Header) / 3} is {Sample(a, at)}, again {Sample(b, at)}");
    }

    private static double Sample(byte[] bytes, int at) => (bytes[at] | bytes[at + 1] << 8 | (sbyte)bytes[at + 2] << 16) * OneStep;

    private static string[] Names(string folder) =>
        [.. Directory.GetFiles(folder, "*", SearchOption.AllDirectories).Select(file => Path.GetRelativePath(folder, file).Replace('\\', '/')).Order(StringComparer.Ordinal)];

    private static string Root()
    {
        var folder = new DirectoryInfo(AppContext.BaseDirectory);
        while (!File.Exists(Path.Combine(folder.FullName, "Sweepbook.slnx"))) folder = folder.Parent ?? throw new InvalidOperationException("The repository is not above the tests.");
        return folder.FullName;
    }
}
