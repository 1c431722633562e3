// SPDX-License-Identifier: MIT
using System.Text;
using Sweepbook.Files;
using Sweepbook.Simulation;
using Sweepbook.Tests.Files;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class SimulationPlanTests
{
    [Fact]
    public void Every_source_is_heard_at_every_seat_and_repeats_follow_their_take()
    {
        var plan = Plans.Read(Plans.Small);
        Assert.Equal("Two seats", plan.Title);
        Assert.Equal(["main_near", "main_near_2", "main_far", "sub_near", "sub_far"], plan.Survey.Takes.Select(take => take.Name));
        Assert.Equal(5, plan.TakeCount);
    }

    [Fact]
    public void The_planned_decay_time_is_a_straight_line_over_log_frequency_and_flat_outside()
    {
        var plan = Plans.Read(Plans.Small);
        var points = plan.Survey.Room.Decay.Points;
        foreach (var point in points) Assert.Equal(point.T60Seconds, plan.T60SecondsAt(point.FrequencyHz), 12);
        Assert.Equal(points[0].T60Seconds, plan.T60SecondsAt(points[0].FrequencyHz / 2), 12);
        Assert.Equal(points[^1].T60Seconds, plan.T60SecondsAt(points[^1].FrequencyHz * 2), 12);
        Assert.Equal((points[0].T60Seconds + points[1].T60Seconds) / 2, plan.T60SecondsAt(Math.Sqrt(points[0].FrequencyHz * points[1].FrequencyHz)), 12);
        Assert.Throws<ArgumentOutOfRangeException>(() => plan.T60SecondsAt(0));
    }

    [Theory]
    [InlineData("leak_hz = 4.0", "leek_hz = 4.0", "small.plan.toml:10: [room] has no key `leek_hz`", "leak_hz")]
    [InlineData("seed = 11", "", "has no `seed`", "Add `seed`")]
    [InlineData("length_m = 4.4", "length_m = \"4.4\"", "small.plan.toml:6: `length_m` must be a number", "Correct")]
    [InlineData("position_m = [3.6, 2.4, 1.1]", "position_m = [4.6, 2.4, 1.1]", "outside the room", "one floor corner")]
    [InlineData("position_m = [3.6, 2.4, 1.1]", "position_m = [3.6, 2.4]", "`position_m` has 2 numbers", "Write three")]
    [InlineData("id = \"sub\"", "id = \"main\"", "the source \"main\" is given twice", "id of its own")]
    [InlineData("id = \"sub\"", "id = \"../sub\"", "`id` is \"../sub\"", "letters, digits and hyphens")]
    [InlineData("frequency_hz = 2000.0", "frequency_hz = 90.0", "do not rise in frequency", "Sort them")]
    [InlineData("latency_samples = [200, 500]", "latency_samples = [500, 200]", "two whole numbers", "[240, 900]")]
    [InlineData("distortion_below_hz = 250.0", "", "fold back", "distortion_below_hz")]
    [InlineData("beam_hz = 900.0", "", "has no `beam_hz`", "Add `beam_hz`")]
    [InlineData("seat = \"near\"", "seat = \"nearer\"", "there is no take \"main_nearer\"", "main_near")]
    [InlineData("position_m = [3.6, 2.4, 1.1]", "position_m = [0.5, 0.9, 1.2]", "the seat far is 200 mm from the source main", "300 mm or more")]
    [InlineData("crossover_hz = 150.0", "crossover_hz = 2000.0", "too many modes", "Lower crossover_hz")]
    [InlineData("t60_s = 0.25", "t60_s = 2.5", "too many image sources", "Shorten the decay")]
    [InlineData("latency_samples = [200, 500]", "latency_samples = [200, 30000]", "out of the take", "28800 samples")]
    [InlineData("file = \"short.wav\"", "file = \"../short.wav\"", "`file` is \"../short.wav\"", "full.wav")]
    [InlineData("level_dbfs = -12.0", "repeats = 2\nlevel_dbfs = -12.0", "not supported yet", "several takes")]
    [InlineData("calibrated_to_hz = 20000.0", "calibrated_to_hz = 16.0", "the calibration ends where it begins", "rise")]
    [InlineData("crossover_hz = 150.0", "crossover_hz = 15000.0", "`crossover_hz` must lie in", "Correct")]
    public void A_fault_names_its_line_and_what_to_do(string from, string to, string problem, string remedy)
    {
        Assert.Contains(from, Plans.Small, StringComparison.Ordinal);
        var fault = Assert.Throws<DataFault>(() => Plans.Read(Plans.Small.Replace(from, to, StringComparison.Ordinal)));
        Assert.Contains(problem, fault.Message, StringComparison.Ordinal);
        Assert.Contains(remedy, fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("[room]")]
    [InlineData("[stimulus]")]
    [InlineData("[interface]")]
    [InlineData("[noise]")]
    [InlineData("[microphone]")]
    public void A_missing_table_is_named(string header)
    {
        var lines = Plans.Small.Split('\n').ToList();
        var first = lines.IndexOf(header);
        var count = lines.Skip(first + 1).TakeWhile(line => !line.StartsWith('[')).Count() + 1;
        lines.RemoveRange(first, count);
        Assert.Contains($"there is no table {header}", Assert.Throws<DataFault>(() => Plans.Read(string.Join('\n', lines))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_copy_takes_everything_but_its_own_choice_and_damage()
    {
        using var folder = new TemporaryFolder();
        folder.Put("small.plan.toml", Plans.Small);
        const string Copy = "format = 1\ntitle = \"Spoilt\"\ncopy_of = \"small.plan.toml\"\ntakes = [\"main_near_2\", \"sub_far\"]\n"
            + "[[damage]]\ntake = \"sub_far\"\nkind = \"clipped\"\namount = 6.0\n";
        var plan = SimulationPlan.Read(folder.Put("copy.plan.toml", Copy));
        Assert.Equal("Spoilt", plan.Title);
        Assert.Equal([("main_near_2", DamageKind.None), ("sub_far", DamageKind.Clipped)], plan.Survey.Takes.Select(take => (take.Name, take.Damage.Kind)));
        Assert.Equal(11, plan.Survey.Seed);

        Assert.Contains("a copy takes `seed` from", Assert.Throws<DataFault>(() => SimulationPlan.Read(folder.Put("copy.plan.toml", "seed = 2\n" + Copy))).Message, StringComparison.Ordinal);
        Assert.Throws<DataFault>(() => SimulationPlan.Read(folder.Put("copy.plan.toml", Copy.Replace("small", "../small", StringComparison.Ordinal))));
        Assert.Contains("is a copy itself", Assert.Throws<DataFault>(() => SimulationPlan.Read(folder.Put("copy.plan.toml", Copy.Replace("small", "copy", StringComparison.Ordinal)))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_copy_may_change_a_source_a_seat_and_the_noise()
    {
        using var folder = new TemporaryFolder();
        folder.Put("small.plan.toml", Plans.Small);
        const string Copy = "format = 1\ntitle = \"After\"\ncopy_of = \"small.plan.toml\"\nnew_seed = 12\n"
            + "[[change]]\nsource = \"sub\"\nposition_m = [0.4, 2.0, 0.2]\ngain_db = -27.0\ndelay_ms = 4.0\ninverted = true\n[[change]]\nseat = \"far\"\nposition_m = [3.62, 2.4, 1.1]\n";
        var (before, after) = (SimulationPlan.Read(folder["small.plan.toml"]).Survey, SimulationPlan.Read(folder.Put("copy.plan.toml", Copy)).Survey);
        Assert.Equal(before.Sources[1] with { Place = new(0.4, 2.0, 0.2), GainDb = -27, DelaySeconds = 0.004, IsInverted = true }, after.Sources[1]);
        Assert.Equal(before.Sources[0], after.Sources[0]);
        Assert.Equal([before.Seats[0], before.Seats[1] with { Place = new(3.62, 2.4, 1.1) }], after.Seats);
        Assert.Equal((11, 12), (before.Seed, after.Seed));
        Assert.Equal(after.Sources[1], after.Takes.First(take => take.Source.Id == "sub").Source);

        Assert.Contains("the plan has no source \"tub\"", Refused("source = \"sub\"", "source = \"tub\""), StringComparison.Ordinal);
        Assert.Contains("lies outside the room", Refused("[0.4, 2.0, 0.2]", "[9.4, 2.0, 0.2]"), StringComparison.Ordinal);
        Assert.Contains("belongs into a copy", Assert.Throws<DataFault>(() => Plans.Read(Plans.Small + "\n[[change]]\nsource = \"sub\"\n")).Message, StringComparison.Ordinal);

        string Refused(string from, string to) => Assert.Throws<DataFault>(() => SimulationPlan.Read(folder.Put("copy.plan.toml", Copy.Replace(from, to, StringComparison.Ordinal)))).Message;
    }

    [Fact]
    public void Damaged_plans_are_read_or_refused_and_nothing_else()
    {
        using var folder = new TemporaryFolder();
        var original = Encoding.UTF8.GetBytes(Plans.Small);
        var refused = Mutations.Survive([original], stream =>
        {
            var bytes = new byte[stream.Length];
            stream.ReadExactly(bytes);
            SimulationPlan.Read(folder.Put("damaged.plan.toml", bytes));
        });
        Assert.InRange(refused, Mutations.Count / 4, Mutations.Count * 999 / 1000);   // a plan is strict: few damaged ones pass
    }

    [Fact]
    public void A_plan_that_is_not_there_is_a_fault() => Assert.Throws<DataFault>(() => SimulationPlan.Read("nowhere/none.plan.toml"));
}
