// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Simulation;
using Xunit;

namespace Sweepbook.Tests.Simulation;

public sealed class SimulatedTakeTests
{
    private const int Rate = 48000;

    [Fact]
    public void The_loopback_is_the_stimulus_later_by_the_latency()
    {
        const double Rounding = 1e-12;
        var take = Plans.Make(Plans.Quiet.Replace("coupling_hz = 3.0", "", StringComparison.Ordinal), "main_far");
        var stimulus = new SimulatedSystem(Plans.Read(Plans.Quiet).Survey).Stimulus;
        Assert.InRange(take.LatencySamples, 200, 500);
        Assert.Equal(stimulus.Length, take.Loopback.Length);
        var gain = Decibels.ToAmplitudeRatio(-3);
        for (var n = 0; n < stimulus.Length; n++)
            Assert.InRange(take.Loopback[n] - (n < take.LatencySamples ? 0 : gain * stimulus[n - take.LatencySamples]), -Rounding, Rounding);
    }

    [Theory]   // law: spectrum of one channel over the other is what the system is said to be; whatever both inputs share has cancelled
    [InlineData("main_near", 12000)]
    [InlineData("main_far", 12000)]
    [InlineData("sub_far", 700)]   // above, its crossover leaves nothing to compare
    public void A_quiet_take_shows_the_true_response(string name, double upToHz)
    {
        const double CutTail = 2e-4;   // the 0.6 s tail ends 140 dB down, the image part 72 dB
        var take = Plans.Make(Plans.Quiet, name);
        foreach (var hz in new[] { 30.0, 47.3, 80, 125, 180, 260, 700, 3000, 12000 }.Where(hz => hz <= upToHz))
        {
            var ratio = DirectConvolution.ResponseAt(take.Microphone, 0, Rate, hz) / DirectConvolution.ResponseAt(take.Loopback, 0, Rate, hz);
            var expected = take.UncorrectedResponseAt(hz) / Decibels.ToAmplitudeRatio(-3);
            Assert.InRange((ratio - expected).Magnitude / expected.Magnitude, 0, CutTail);
        }
    }

    [Fact]
    public void The_truth_arrives_after_distance_and_processing_delay()
    {
        var take = Plans.Make(Plans.Quiet, "main_far");
        var distance = new Position(0.5, 0.9, 1.0).DistanceMetresTo(new(3.6, 2.4, 1.1));
        Assert.Equal(distance / Air.SpeedOfSoundMetresPerSecond() + 0.0017, take.ArrivalSeconds, 12);
    }

    [Fact]
    public void The_silent_part_holds_noise_of_the_planned_level()
    {
        const double ScatterDb = 1.5;   // 0.3 s of noise whose power lies in the lowest octaves
        var take = Plans.Make(Plans.Small.Replace("mains_dbfs = [-80.0]", "", StringComparison.Ordinal), "sub_far");
        var silence = take.Microphone.Take(14000).ToArray();
        Assert.InRange(Decibels.FromPower(silence.Sum(value => value * value) / silence.Length) + 66, -ScatterDb, ScatterDb);
        var quiet = take.Loopback.Take(14000).ToArray();
        Assert.InRange(Decibels.FromPower(quiet.Sum(value => value * value) / quiet.Length) + 98, -0.2, 0.2);
    }

    [Fact]
    public void Repeats_differ_by_noise_and_latency_alone()
    {
        var (first, second) = (Plans.Make(Plans.Small, "main_near"), Plans.Make(Plans.Small, "main_near_2"));
        Assert.NotEqual(first.LatencySamples, second.LatencySamples);
        var (a, b) = (first.Microphone[first.LatencySamples..], second.Microphone[second.LatencySamples..]);
        var (difference, signal) = (0.0, 0.0);
        for (var n = 15000; n < 50000; n++)
        {
            difference += (a[n] - b[n]) * (a[n] - b[n]);
            signal += a[n] * a[n];
        }
        Assert.InRange(Decibels.FromPower(difference / signal), -60, -25);   // two noises, each some 40 dB below the sweep
    }

    [Fact]
    public void A_wrongly_wired_source_is_the_same_upside_down()
    {
        var (right, wrong) = (Plans.Make(Plans.Quiet, "sub_near"), Plans.Make(Plans.Quiet.Replace("id = \"sub\"", "id = \"sub\"\ninverted = true", StringComparison.Ordinal), "sub_near"));
        Assert.Equal(right.LatencySamples, wrong.LatencySamples);
        const double Rounding = 1e-12;
        for (var n = 0; n < right.Microphone.Length; n += 37) Assert.InRange(right.Microphone[n] + wrong.Microphone[n], -Rounding, Rounding);
    }
}
