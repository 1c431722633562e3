// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>What looks like a sweep at another speed and is none.</summary>
public sealed class WrongRateTests
{
    private const int Rate = SmallSurvey.Rate;

    [Fact]
    public void A_marker_alone_is_no_sweep_at_another_speed()
    {
        var stimulus = Stimulus.From(new StimulusDescription { StartHz = 20, EndHz = 20_000, SweepSeconds = 4 }.WithMarker());   // at twice the speed it passes the marker's band in about the marker's time
        var recording = Signals.Noise(stimulus.Length, 3);
        var marker = stimulus.MarkerToArray();
        for (var n = 0; n < recording.Length; n++) recording[n] = 1e-4 * recording[n] + 0.4 * marker[n];
        Assert.Null(WrongRate.Find(stimulus, recording));
    }

    [Fact]
    public void A_marked_stimulus_at_a_wrong_rate_is_still_found()
    {
        var stimulus = Stimulus.From(new StimulusDescription { StartHz = 20, EndHz = 20_000, SweepSeconds = 4 }.WithMarker());
        var both = stimulus.ToArray();
        var marker = stimulus.MarkerToArray();
        for (var n = 0; n < both.Length; n++) both[n] = 0.5 * (both[n] + marker[n]);
        var fault = WrongRate.Find(stimulus, Resampling.ToRate(both, 48_000, 44_100));
        Assert.Contains("runs 8.8 % too fast", fault?.Words);
    }

    /// <summary>20 to 100 Hz pass in 0.16 s of such a sweep: eight cycles, which a room's modes stretch as much as another speed would.</summary>
    [Fact]
    public void A_subwoofer_that_plays_a_short_sweep_at_the_right_rate_is_not_accused()
    {
        var stimulus = Stimulus.From(new StimulusDescription { Kind = SweepKind.Synchronised, StartHz = 20, EndHz = 20_000, SweepSeconds = 0.69, LeadInSeconds = 0.5, TailSeconds = 1 });
        var random = new Random(3);   // fixed seed; two of its rooms reach 1.5 times the right speed's peak
        for (var room = 0; room < 40; room++)
        {
            var channel = Played(stimulus, random);
            Assert.Null(WrongRate.Find(stimulus, channel)?.Words);
        }
    }

    /// <summary>Fourth-order high-pass and low-pass, and four strong modes, by multiplication in the frequency domain.</summary>
    private static double[] Played(Stimulus stimulus, Random random)
    {
        var length = 2 * FourierTransform.NextFastLength(stimulus.Length);
        var bins = FourierTransform.OfReal(stimulus.ToArray(), length);
        var (highPassHz, lowPassHz) = (18 + 17 * random.NextDouble(), 80 + 80 * random.NextDouble());
        var modes = Enumerable.Range(0, 4).Select(_ => (Hz: 22 + 68 * random.NextDouble(), Width: 2.2 / (0.3 + 0.7 * random.NextDouble()), Height: 12 * random.NextDouble() - 6)).ToArray();
        for (var k = 1; k < bins.Length; k++)
        {
            var hz = (double)k * Rate / length;
            Complex high = Complex.ImaginaryOne * hz / highPassHz, low = Complex.ImaginaryOne * hz / lowPassHz;
            bins[k] *= Complex.Pow(high * high / (high * high + Math.Sqrt(2) * high + 1), 2) / Complex.Pow(low * low + Math.Sqrt(2) * low + 1, 2);
            foreach (var mode in modes) bins[k] *= 1 + mode.Height * Complex.ImaginaryOne * hz * mode.Width / (mode.Hz * mode.Hz - hz * hz + Complex.ImaginaryOne * hz * mode.Width);
        }
        return FourierTransform.ToReal(bins, length)[..stimulus.Length];
    }
}
