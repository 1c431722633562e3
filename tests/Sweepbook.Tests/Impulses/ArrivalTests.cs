// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class ArrivalTests
{
    private const int Rate = 48_000;

    [Theory]
    [InlineData(1000.0)]
    [InlineData(1000.25)]
    [InlineData(1000.5)]
    [InlineData(1000.9)]
    public void The_peak_of_a_band_limited_pulse_is_found_to_a_hundredth_of_a_sample(double centreSamples)
    {
        const double HundredthOfASample = 0.01;   // half of what design promises for a full-band arrival
        var pulse = Signals.BandLimited(4000, Rate, (0, centreSamples / Rate, 3.0 / Rate));
        var arrival = Arrival.AtFirstPeak(Response(pulse, 100));
        Assert.Equal(centreSamples - 100, arrival.Seconds * Rate, HundredthOfASample);
        Assert.Equal(1, arrival.Polarity);
    }

    [Fact]
    public void A_later_and_louder_reflection_does_not_become_the_arrival()
    {
        var pulse = Signals.BandLimited(4000, Rate, (0, 1000.0 / Rate, 3.0 / Rate), (0, 1500.0 / Rate, 3.0 / Rate), (0, 1501.0 / Rate, 3.0 / Rate));
        Assert.Equal(1000, Arrival.AtFirstPeak(Response(pulse, 0)).Seconds * Rate, 0.02);
    }

    [Fact]
    public void A_reversed_cone_shows_as_negative_polarity()
    {
        var pulse = Signals.BandLimited(4000, Rate, (0, 1000.0 / Rate, 3.0 / Rate)).Select(x => -x).ToArray();
        var arrival = Arrival.AtFirstPeak(Response(pulse, 0));
        Assert.Equal(-1, arrival.Polarity);
        Assert.True(arrival.PolarityConfidenceDb > 20);
    }

    [Fact]
    public void The_onset_comes_before_the_peak_where_the_pulse_has_risen_to_a_tenth()
    {
        const double Sigma = 20;
        var arrival = Arrival.AtOnset(Response(Signals.BandLimited(4000, Rate, (0, 1000.0 / Rate, Sigma / Rate)), 0));
        Assert.Equal(1000 - Sigma * Math.Sqrt(2 * Math.Log(10)), arrival.Seconds * Rate, 1.0);   // exp(−x²/2σ²) = 0.1; one sample of rounding
        Assert.Equal(ArrivalMethod.Onset, arrival.Method);
    }

    [Fact]
    public void Silence_has_no_arrival()
    {
        var arrival = Arrival.AtFirstPeak(Response(new double[100], 0));
        Assert.Equal(0, arrival.Polarity);
        Assert.True(double.IsNaN(arrival.Seconds));
    }

    private static ImpulseResponse Response(double[] samples, double timeZeroSamples) =>
        new(samples, Rate, timeZeroSamples, TimeZero.Loopback, new("g"), "test");
}
