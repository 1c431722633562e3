// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class MarkedTakeTests
{
    private const int Rate = 48_000;

    [Theory]
    [InlineData(40, -173.3, 0.0123456789)]
    [InlineData(1_000, 200, -0.0123456789)]
    [InlineData(12_000, 41.7, 0.1)]
    [InlineData(20_000, -2_000, 0.00001)]
    public void A_recorder_reads_a_tone_at_its_own_instants(double frequencyHz, double fastPpm, double startSeconds)
    {
        const double Error = 1e-7;   // −140 dB
        var sound = new double[Rate / 2];
        for (var n = 0; n < sound.Length; n++) sound[n] = Math.Sin(2 * Math.PI * frequencyHz * n / Rate + 0.3);
        var recorded = RecorderClock.Record(sound, Rate, startSeconds, fastPpm, 18_000);
        for (var k = 700; k < recorded.Length; k++)   // before, the tone's own beginning is within reach
        {
            var seconds = startSeconds + k / (Rate * (1 + fastPpm * 1e-6));
            Assert.InRange(recorded[k] - Math.Sin(2 * Math.PI * frequencyHz * seconds + 0.3), -Error, Error);
        }
    }

    [Fact]
    public void A_right_clock_that_starts_later_hears_the_same_earlier()
    {
        const double Rounding = 1e-12;
        var (prompt, late) = (Make(Quiet(0, 0), "main_far"), Make(Quiet(0, 0.1), "main_far"));
        Assert.Equal(prompt.Microphone.Length - 4_800, late.Microphone.Length);
        for (var n = 0; n < late.Microphone.Length; n += 7) Assert.InRange(late.Microphone[n] - prompt.Microphone[n + 4_800], -Rounding, Rounding);
    }

    [Fact]
    public void Sweep_and_marker_add_up_at_the_seat()
    {
        // Law: superposition. A source that is turned down leaves the marker; the marker turned down leaves the sweep; both are the sum of the two.
        const double Rounding = 1e-9;   // what was turned down is 200 dB down
        var both = Make(Quiet(50, -0.05), "sub_near");
        var sweep = Make(Quiet(50, -0.05).Replace("position_m = [1.0, 0.4, 1.5]\ngain_db = -20.0", "position_m = [1.0, 0.4, 1.5]\ngain_db = -200.0", StringComparison.Ordinal), "sub_near");
        var marker = Make(Quiet(50, -0.05).Replace("gain_db = -24.0", "gain_db = -200.0", StringComparison.Ordinal), "sub_near");
        for (var n = 0; n < both.Microphone.Length; n++) Assert.InRange(both.Microphone[n] - sweep.Microphone[n] - marker.Microphone[n], -Rounding, Rounding);
        var first = (int)((0.35 + both.Recorder!.Value.MarkerArrivalSeconds + 0.05) * Rate * (1 + 50e-6)) + both.LatencySamples;
        Assert.InRange(Level(marker.Microphone, first, first + 9_000), -60, -10);
        Assert.InRange(Level(marker.Microphone, 0, first - 4_000), -400, -150);   // silence before it
    }

    [Fact]
    public void Each_take_draws_its_own_clock_and_start_between_the_planned_ends()
    {
        var plan = Plans.Read(Plans.Marked(0, 0).Replace("[0, 0]\nrecorder_start", "[-86, 131]\nrecorder_start", StringComparison.Ordinal).Replace("recorder_start_s = [0, 0]", "recorder_start_s = [-0.28, 0.24]", StringComparison.Ordinal));
        var system = new SimulatedSystem(plan.Survey);
        var truths = plan.Survey.Takes.Select(take => system.Make(take).Recorder!.Value).ToList();
        Assert.All(truths, truth => Assert.True(truth.FastPpm is >= -86 and <= 131 && truth.StartSeconds is >= -0.28 and <= 0.24));
        Assert.Equal(truths.Count, truths.Select(truth => truth.FastPpm).Distinct().Count());
        Assert.Equal(truths[0].MarkerArrivalSeconds, truths[1].MarkerArrivalSeconds);   // the marker's loudspeaker and the seat stay where they are
        Assert.Equal(new Position(1.0, 0.4, 1.5).DistanceMetresTo(new(2.2, 1.8, 1.1)) / Air.SpeedOfSoundMetresPerSecond(), truths[0].MarkerArrivalSeconds, 12);
    }

    [Fact]
    public void Its_survey_is_timed_by_marker_and_its_files_have_one_channel()
    {
        using var folder = new TemporaryFolder();
        Simulator.Write(Plans.Read(Plans.Marked(100, -0.2)), folder["marked"]);
        var survey = Survey.Read(folder["marked"]);
        Assert.Empty(survey.Notes);
        Assert.All(survey.Takes, take => Assert.Equal((TimeZero.Marker, (int?)null), (take.TimeZero, take.ReferenceChannel)));
        Assert.All(survey.Takes, take => Assert.Equal(1, WavFile.Read(take.Path).ChannelCount));
    }

    [Theory]
    [InlineData("exponential")]
    [InlineData("synchronised")]
    [InlineData("linear")]
    public void Markers_are_no_fault_of_a_take_and_no_part_of_its_noise(string kind)
    {
        using var folder = new TemporaryFolder();
        Simulator.Write(Plans.Read(Plans.Marked(0, -0.2).Replace("level_dbfs = -12.0", $"kind = \"{kind}\"\nlevel_dbfs = -12.0", StringComparison.Ordinal)), folder["marked"]);
        var text = Path.Combine(folder["marked"], "survey.toml");   // the same recordings, read without their time zero
        var lines = File.ReadAllLines(text).Where(line => !line.StartsWith("marker_distance_m", StringComparison.Ordinal));
        File.WriteAllText(text, string.Join('\n', lines).Replace("time_zero = \"marker\"", "time_zero = \"unknown\"", StringComparison.Ordinal));
        var study = Study.Of(Survey.Read(folder["marked"]));
        foreach (var take in study.Takes.Where(take => kind != "linear" || take.Take.SourceName == "main"))   // a subwoofer plays a hundredth of a full-range linear sweep, and its noise the rest
        {
            Assert.True(take.WhyNot is null or "", $"{take.Take.File}: {take.WhyNot}");
            Assert.True(take.Named.Count == 0, $"{take.Take.File}: {string.Join("; ", take.Named.Select(fault => fault.Problem))}");
            if (take.Take.SourceName == "main") Assert.True(take.SnrDb > 25, $"{take.Take.File}: {take.SnrDb} dB");   // with the marker in the silent block it would be below 15; a subwoofer hears too little of a full-range sweep
        }
    }

    [Theory]
    [InlineData("[stimulus.marker]", "[stimulus.maker]", "no key `maker`")]
    [InlineData("[marker-loudspeaker]\nposition_m = [1.0, 0.4, 1.5]\ngain_db = -20.0\nhigh_pass_hz = 120.0\n", "", "the stimulus has a marker, and no loudspeaker plays it")]
    [InlineData("recorder_ppm = [0, 0]", "recorder_ppm = [10, 0]", "two numbers, the lower first")]
    [InlineData("recorder_start_s = [0, 0]", "recorder_start_s = [0, 0.4]", "the recorder may start after the marker")]
    [InlineData("recorder_ppm = [0, 0]", "loopback_gain_db = -3.0", "a recorder that needs a marker has no loopback")]
    [InlineData("position_m = [1.0, 0.4, 1.5]", "id = \"x\"\nposition_m = [1.0, 0.4, 1.5]", "no key `id`")]
    [InlineData("position_m = [1.0, 0.4, 1.5]", "position_m = [2.2, 1.8, 1.2]", "100 mm from the source")]
    [InlineData("takes = 2", "takes = 2\n[[damage]]\ntake = \"sub_far\"\nkind = \"silent-loopback\"", "no loopback to damage")]
    public void A_marked_plan_that_cannot_be_meant_is_refused(string from, string to, string problem)
    {
        var text = Plans.Marked(0, 0);
        Assert.Contains(from, text, StringComparison.Ordinal);
        Assert.Contains(problem, Assert.Throws<DataFault>(() => Plans.Read(text.Replace(from, to, StringComparison.Ordinal))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_recorder_of_its_own_needs_a_marker() =>
        Assert.Contains("is for a recorder beside the player", Assert.Throws<DataFault>(() => Plans.Read(Plans.Small.Replace("coupling_hz = 3.0", "recorder_ppm = [1, 2]", StringComparison.Ordinal))).Message, StringComparison.Ordinal);

    /// <summary>
    /// Truth: the plan's distance and the recorder's start. The marker's loudspeaker stands off its axis, so that its sound is no clean pulse; these three takes once were
    /// explained by two pulses of opposite sign less than a sample apart, and their arrival was off by up to 0.9 sample.
    /// </summary>
    [Theory]
    [InlineData(1, "main-right_bench")]
    [InlineData(10, "main-right_corner-chair")]
    [InlineData(5, "main-right_desk")]
    public void A_loudspeaker_off_its_axis_is_timed_within_a_fifth_of_a_sample(int seed, string name)
    {
        const double Promised = 0.2;       // design, numerical promises: marker
        const double MostDeviations = 3;   // of what the timing states for itself
        var text = File.ReadAllText(Path.Combine(HouseRules.Repository.Root, "data-demo", "ferry-lane.plan.toml"));
        var plan = Plans.Read(System.Text.RegularExpressions.Regex.Replace(text, @"(?m)^seed.*$", $"seed = {seed}").Replace("[61.5, 63.0]", "[-90.0, 130.0]", StringComparison.Ordinal));
        var system = new SimulatedSystem(plan.Survey);
        var take = system.Make(plan.Survey.Takes.Single(planned => planned.Name == name));
        var found = MarkerTiming.Find(system.Stimulus, take.ToRecording().Channel(1));
        var truth = take.Recorder!.Value;
        var error = (found.ArrivalSeconds - (truth.MarkerArrivalSeconds + (double)take.LatencySamples / Rate - truth.StartSeconds)) * Rate;
        Assert.InRange(error, -Promised, Promised);
        Assert.InRange(Math.Abs(error), 0, MostDeviations * found.UncertaintySeconds * Rate);
        Assert.InRange(found.UncertaintySeconds * Rate, 0, Promised);
        Assert.InRange(found.Clock.Ppm - truth.FastPpm, -3 * found.Clock.UncertaintyPpm, 3 * found.Clock.UncertaintyPpm);
    }

    private static string Quiet(double fastPpm, double startSeconds) => Plans.Marked(fastPpm, startSeconds).Replace("room_dbfs = -66.0", "room_dbfs = -300.0", StringComparison.Ordinal)
        .Replace("self_dbfs = -90.0", "self_dbfs = -300.0", StringComparison.Ordinal).Replace("mains_dbfs = [-80.0]", "", StringComparison.Ordinal);

    private static SimulatedTake Make(string text, string name) => Plans.Make(text, name);

    private static double Level(double[] samples, int first, int end)
    {
        var sum = 0.0;
        for (var n = first; n < end; n++) sum += samples[n] * samples[n];
        return Decibels.FromPower(sum / (end - first));
    }
}
