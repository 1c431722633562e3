// SPDX-License-Identifier: MIT
using Sweepbook.Files;
using Sweepbook.Nearfield;
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Sweepbook.Tests.Files;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class BoxPlanTests
{
    private const int Rate = 48_000;
    private static readonly string Demo = HouseRules.Repository.Path("data-demo", "tannery-bench");
    private static readonly string Text = File.ReadAllText(Demo + ".plan.toml");

    [Theory]   // law: channel over channel is the truth of the take, box, distances, microphone and gains together
    [InlineData("cone_near_omni-1")]
    [InlineData("port_near_omni-1")]
    [InlineData("whole-box_front_omni-1")]
    public void A_quiet_take_shows_the_true_response(string name)
    {
        const double CutTail = 2e-3;   // the sweep's own end, and what the box rings on after the file
        var take = Plans.Make(Quiet(), name);
        foreach (var hz in new[] { 20.0, 31, 47.3, 120, 400 })
        {
            var ratio = DirectConvolution.ResponseAt(take.Microphone, 0, Rate, hz) / DirectConvolution.ResponseAt(take.Loopback, 0, Rate, hz);
            var expected = take.UncorrectedResponseAt(hz) / Decibels.ToAmplitudeRatio(-3);
            Assert.InRange((ratio - expected).Magnitude / expected.Magnitude, 0, CutTail);
        }
    }

    [Fact]
    public void The_response_of_the_box_is_that_of_its_filters_with_the_gains_of_the_interface()
    {
        const double Rounding = 1e-9;
        var plan = SimulationPlan.Read(Demo + ".plan.toml");
        var box = new BoxModel(plan.Survey.Boxes[0], Rate);
        foreach (var hz in new[] { 10.0, 31, 200 })
            Assert.InRange((plan.BoxResponseAt("box-1", hz) / box.Far(BoxPart.Whole).ResponseAt(hz) / Decibels.ToAmplitudeRatio(-38 + 10 + 3) - 1).Magnitude, 0, Rounding);
        Assert.Contains("no box \"box-2\"; it has box-1.", Assert.Throws<ArgumentException>(() => plan.BoxResponseAt("box-2", 50)).Message);
        Assert.Throws<ArgumentOutOfRangeException>(() => plan.BoxResponseAt("box-1", 0));
        Assert.Contains("is part of a box", Assert.Throws<ArgumentException>(() => plan.ResponseAt("cone", "front", 50)).Message);
        Assert.Throws<InvalidOperationException>(() => plan.T60SecondsAt(100));
    }

    private static readonly Lazy<Study> OnTheBench = new(() =>
    {
        var survey = Survey.Read(Demo);
        return Study.Of(survey, [.. survey.Takes.Where(take => take.Microphone == "omni-1" && take.SourceName is "cone" or "port")]);
    });

    [Fact]   // a loopback of its own level and ringing close to a cone: nothing of it is a room, and no plug crackles
    public void Takes_close_to_cone_and_port_have_no_faults()
    {
        Assert.Equal(4, OnTheBench.Value.Takes.Count);
        Assert.All(OnTheBench.Value.Takes, take => Assert.Empty(take.Faults));
    }

    [Fact]   // the whole chain on the demo: takes, loopback, calibration, distances, crosstalk and sum against the circuit (design, numerical promises)
    public void The_sum_of_cone_and_port_is_the_fourth_order_response_that_was_planned()
    {
        const double PromisedDb = 0.25, PromisedDegrees = 3;
        const double FromTuningRatio = 0.8, TuningHz = 31;
        var study = OnTheBench.Value;
        var plan = SimulationPlan.Read(Demo + ".plan.toml");
        var far = study.Box("box-1").Sum.FarField(1, FieldSpace.Half);
        var errors = far.Points().Where(point => point.TrustedLevel && point.FrequencyHz > FromTuningRatio * TuningHz && point.FrequencyHz < 200)
            .Select(point => point.LevelDb - Decibels.FromAmplitude(plan.BoxResponseAt("box-1", point.FrequencyHz).Magnitude)).ToList();
        TestContext.Current.TestOutputHelper?.WriteLine($"{errors.Count} points, from {errors.Min():0.000} to {errors.Max():0.000} dB");
        Assert.True(errors.Count > 200);
        var microphone = new SimulatedSystem(plan.Survey).Microphone;   // its calibration file states levels only
        var phases = far.Points().Where(point => point.TrustedPhase && point.FrequencyHz > FromTuningRatio * TuningHz && point.FrequencyHz < 200)
            .Select(point => Math.IEEERemainder(point.PhaseDegrees - (plan.BoxResponseAt("box-1", point.FrequencyHz) * microphone.ResponseAt(point.FrequencyHz)).Phase * 180 / Math.PI
                + 360 * point.FrequencyHz / study.SpeedOfSoundMetresPerSecond, 360)).ToList();
        TestContext.Current.TestOutputHelper?.WriteLine($"{phases.Count} phases, from {phases.Min():0.00}° to {phases.Max():0.00}°");
        Assert.True(phases.Count > 200 && phases.TrueForAll(error => Math.Abs(error) <= PromisedDegrees), $"from {phases.Min():0.00}° to {phases.Max():0.00}°");
        Assert.True(errors.TrueForAll(error => Math.Abs(error - Level(study)) <= PromisedDb), $"from {errors.Min():0.000} to {errors.Max():0.000} dB");
    }

    /// <summary>dB re 20 µPa of the sweep over the loopback: one constant of the survey, since its microphone's sensitivity is known.</summary>
    private static double Level(Study study) => study.Responses[0].Response.LevelReference.Contains("20 µPa", StringComparison.Ordinal) ? -14 - 3 + 34 + 94 : 0;

    [Theory]
    [InlineData("part_of = \"box-1\"\narea_cm2 = 55.0", "part_of = \"box-2\"\narea_cm2 = 55.0", "there is no box \"box-2\"", "box-1")]
    [InlineData("area_cm2 = 55.0", "area_cm2 = 5500.0", "larger than the front of its box", "Correct area_cm2")]
    [InlineData("area_cm2 = 55.0\n", "", "has no `area_cm2`", "effective area")]
    [InlineData("kind = \"port\"", "kind = \"cone\"", "has 2 sources of the kind cone", "one cone and one port")]
    [InlineData("baffle_position_m = [0.17, 0.09]", "baffle_position_m = [0.57, 0.09]", "no point on the front", "0.34 and 0.52")]
    [InlineData("distance_mm = 3.0\n", "", "has no `distance_mm`", "how far")]
    [InlineData("driver_q = 0.36", "driver_qts = 0.36", "no key `driver_qts`", "driver_q")]
    public void A_fault_of_a_box_names_what_to_do(string from, string to, string problem, string remedy)
    {
        Assert.Contains(from, Text, StringComparison.Ordinal);
        var fault = Assert.Throws<DataFault>(() => Plans.Read(Text.Replace(from, to, StringComparison.Ordinal)));
        Assert.Contains(problem, fault.Message, StringComparison.Ordinal);
        Assert.Contains(remedy, fault.Message, StringComparison.Ordinal);
    }

    private static string Quiet() => Text.Replace("room_dbfs = -88.0", "room_dbfs = -300.0", StringComparison.Ordinal).Replace("self_dbfs = -102.0", "self_dbfs = -300.0", StringComparison.Ordinal)
        .Replace("loopback_noise_dbfs = -98.0", "loopback_noise_dbfs = -300.0", StringComparison.Ordinal).Replace("mains_dbfs = [-100.0, -110.0, -104.0]", "", StringComparison.Ordinal)
        .Replace("tail_s = 0.8", "tail_s = 1.6", StringComparison.Ordinal);
}
