// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Sweepbook.Studies;
using Sweepbook.Surveys;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class PlanTruthTests
{
    private const int Rate = 48000;

    [Theory]   // law: what the samples of a take without noise say, channel over channel and with the microphone taken off, is what the plan answers without making a take
    [InlineData("main", "near", 12000)]
    [InlineData("main", "far", 12000)]
    [InlineData("sub", "far", 700)]   // above, its crossover leaves nothing to compare
    public void A_plan_knows_what_its_takes_will_show(string source, string seat, double upToHz)
    {
        const double CutTail = 2e-4;   // the 0.6 s tail ends 140 dB down, the image part 72 dB
        var plan = Plans.Read(Plans.Quiet);
        var take = Plans.Make(Plans.Quiet, $"{source}_{seat}");
        var microphone = new SimulatedSystem(plan.Survey).Microphone;
        foreach (var hz in new[] { 30.0, 47.3, 80, 125, 180, 260, 700, 3000, 12000 }.Where(hz => hz <= upToHz))
        {
            var shown = DirectConvolution.ResponseAt(take.Microphone, 0, Rate, hz) / DirectConvolution.ResponseAt(take.Loopback, 0, Rate, hz) / microphone.ResponseAt(hz);
            var told = plan.ResponseAt(source, seat, hz);
            Assert.InRange((shown - told).Magnitude / told.Magnitude, 0, CutTail);
        }
    }

    [Fact]
    public void Without_a_loopback_its_gain_is_not_in_it()
    {
        const double Rounding = 1e-12;
        var ratio = Plans.Read(Plans.Small).ResponseAt("main", "far", 63) / Plans.Read(Plans.Marked(20, 0)).ResponseAt("main", "far", 63);
        Assert.InRange((ratio - Decibels.ToAmplitudeRatio(3)).Magnitude, 0, Rounding);   // the loopback of the small plan has −3 dB
    }

    [Fact]   // two takes with different latencies, added as complex numbers, against the closed form of the room: loopback, division, window, calibration and sum together
    public void The_sum_of_two_measured_sources_is_the_one_that_was_simulated()
    {
        const double MedianDb = 0.05, NearlyAllDb = 0.15;   // 40 dB over the noise are 0.09 dB in each single bin
        var demo = Path.Combine(HouseRules.Repository.Root, "data-demo", "orchard-row");
        var survey = Survey.Read(demo);
        var study = Study.Of(survey, [.. survey.Takes.Where(take => take.Seat == "sofa-left" && take.SourceName.StartsWith("sub", StringComparison.Ordinal))]);
        var plan = SimulationPlan.Read(demo + ".plan.toml");
        var sum = study.Response("sub-front", "sofa-left").Response.Plus(study.Response("sub-rear", "sofa-left").Response);
        var errors = sum.Points().Where(point => point.TrustedPhase && point.TrustedLevel && point.FrequencyHz is > 25 and < 120).Select(point =>
            Math.Abs(point.LevelDb - Decibels.FromAmplitude((plan.ResponseAt("sub-front", "sofa-left", point.FrequencyHz) + plan.ResponseAt("sub-rear", "sofa-left", point.FrequencyHz)).Magnitude))).Order().ToArray();
        Assert.True(errors.Length > 150, $"{errors.Length} frequencies could be compared");
        Assert.InRange(errors[errors.Length / 2], 0, MedianDb);
        Assert.InRange(errors[errors.Length * 95 / 100], 0, NearlyAllDb);
    }

    [Fact]
    public void What_the_plan_does_not_have_is_refused_by_name()
    {
        var plan = Plans.Read(Plans.Small);
        Assert.Contains("no source \"rear\"; it has main, sub.", Assert.Throws<ArgumentException>(() => plan.ResponseAt("rear", "far", 50)).Message);
        Assert.Contains("no seat \"sofa\"; it has near, far.", Assert.Throws<ArgumentException>(() => plan.ResponseAt("sub", "sofa", 50)).Message);
        foreach (var hz in new[] { 0, -50, double.NaN, 24_000, double.PositiveInfinity })
            Assert.Contains("(0, 24000) Hz", Assert.Throws<ArgumentOutOfRangeException>(() => plan.ResponseAt("sub", "far", hz)).Message);
    }
}
