// SPDX-License-Identifier: MIT
using Sweepbook.Stimuli;
using Sweepbook.Studies;
using Xunit;

namespace Sweepbook.Tests.Studies;

/// <summary>Where the sweeps are is known, because the recordings are made here; what must not be found is talk, bangs, and other sweeps.</summary>
public sealed class SweepSearchTests
{
    // One frame of the search is 5.3 ms; a clock that is off moves the top octave of a 3 s sweep by 3 ms a thousandth, and the place is told by that octave.
    private const double PlaceSeconds = 0.02;

    // Of a sweep that ends after 1.6 s of 3 s only the octaves below 600 Hz are left, the last of them in part: it tells time the worse.
    private const double LowOctaveSeconds = 0.07;

    private static readonly (int, double)[] Subwoofer = BandPass(20, 100);

    [Theory]
    [InlineData(0)]
    [InlineData(200)]
    [InlineData(-200)]
    [InlineData(1000)]
    [InlineData(-1000)]
    public void Sweeps_between_talk_and_bangs_are_found_on_any_clock(double ppm)
    {
        var recording = new LongRecording(50).Talk(0.5, 9).Bang(9.5).Play(Design, 12.3).Talk(17, 24).Play(Design, 25.1, (0, 0.1), (400, 0.08), (1100, -0.05)).Bang(30.2).Play(Design, 38.7).Talk(42.5, 49);
        var found = Search(Design, recording.RecordedAt(ppm)).Found;
        Assert.Equal(3, found.Count);
        foreach (var (place, at) in found.Zip([12.3, 25.1, 38.7]))
            Assert.True(Math.Abs(Seconds(place.SweepStart) - at * (1 + ppm * 1e-6)) < PlaceSeconds, $"{Seconds(place.SweepStart)} s instead of {at} s");
    }

    [Fact]
    public void Talk_bangs_and_noise_alone_hold_no_sweep()
    {
        var recording = new LongRecording(60).Talk(1, 20).Bang(22).Bang(30).Bang(30.4).Talk(35, 59, amplitude: 0.3, seed: 9);
        var result = Search(Design, recording.RecordedAt(0));
        Assert.Empty(result.Found);
        Assert.True(result.MissingDb > 0);
    }

    // The chance of a false find grows with the time searched; what decides are the lowest octaves, which a low rate searches quickly.
    [Theory]
    [InlineData(3)]
    [InlineData(10)]
    public void An_hour_of_noise_holds_no_sweep(double sweepSeconds)
    {
        const int Rate = 2000;
        var stimulus = Stimulus.From(new() { SampleRateHz = Rate, StartHz = 10, EndHz = 900, SweepSeconds = sweepSeconds });
        for (ulong seed = 1; seed <= 4; seed++) Assert.Empty(Search(stimulus, Signals.Noise(3600 * Rate, seed)).Found);
    }

    [Fact]
    public void A_subwoofer_that_plays_three_octaves_of_the_sweep_is_found()
    {
        var recording = new LongRecording(30).Talk(1, 8).Play(Design, 14.2, Subwoofer).Talk(20, 29);
        var place = Assert.Single(Search(Design, recording.RecordedAt(-150)).Found);
        Assert.InRange(Seconds(place.SweepStart), 14.2 - PlaceSeconds, 14.2 + 0.1);   // two periods of 20 Hz: what a band-pass delays
    }

    [Fact]
    public void Another_sweep_is_not_taken_for_this_one()
    {
        var longer = Stimulus.From(Design.Description with { SweepSeconds = 5 });
        var fewer = Stimulus.From(Design.Description with { StartHz = 40, SweepSeconds = 3 });
        Assert.Empty(Search(Design, new LongRecording(20).Play(longer, 6).RecordedAt(0)).Found);
        Assert.Empty(Search(Design, new LongRecording(20).Play(fewer, 6).RecordedAt(0)).Found);
    }

    // Noise as loud as the sweep in the whole band: after correlation an octave of 3 · lg 2 / lg 2000 = 0.27 s and some 100 Hz or more still stands 14 dB above it.
    [Fact]
    public void A_sweep_as_soft_as_the_noise_is_found_and_one_much_softer_is_not()
    {
        const double Rms = 0.2 * 0.5 * 0.7071;   // gain times level of −6 dBFS, sine
        Assert.Single(Search(Design, new LongRecording(20, noise: Rms).Play(Design, 7).RecordedAt(50)).Found);
        var lost = Search(Design, new LongRecording(20, noise: 100 * Rms).Play(Design, 7).RecordedAt(50));
        Assert.Empty(lost.Found);
        Assert.InRange(lost.MissingDb, 1, 40);
    }

    [Fact]
    public void Plays_that_follow_each_other_at_once_are_told_apart_and_those_cut_off_are_told_with_their_place()
    {
        var recording = new LongRecording(14).Play(Design, -1.0).Play(Design, 3.8).Play(Design, 8.1).Play(Design, 12.4);
        var found = Search(Design, recording.RecordedAt(0)).Found.Select(place => Seconds(place.SweepStart)).ToList();
        Assert.Equal(4, found.Count);
        foreach (var (place, at) in found.Zip([-1.0, 3.8, 8.1])) Assert.InRange(place, at - PlaceSeconds, at + PlaceSeconds);
        Assert.InRange(found[3], 12.4 - LowOctaveSeconds, 12.4 + LowOctaveSeconds);
    }

    private static Stimulus Design => SmallSurvey.Design;

    private static double Seconds(long frame) => frame / (double)SmallSurvey.Rate;

    private static SweepSearchResult Search(Stimulus stimulus, double[] samples) => new SweepSearch(stimulus).Find((first, part) =>
    {
        part.Clear();
        var (from, to) = (Math.Max(0, first), Math.Min(samples.Length, first + part.Length));
        if (to > from) samples.AsSpan((int)from, (int)(to - from)).CopyTo(part[(int)(from - first)..]);
    }, samples.Length, null, default);

    /// <summary>A resonant band-pass of first order on either side, as pairs of sample and value.</summary>
    private static (int, double)[] BandPass(double fromHz, double toHz)
    {
        var (low, high, lows, highs, values) = (Math.Exp(-2 * Math.PI * toHz / SmallSurvey.Rate), Math.Exp(-2 * Math.PI * fromHz / SmallSurvey.Rate), 0.0, 0.0, new List<(int, double)>());
        for (var n = 0; n < 6000; n += 1)
        {
            lows = low * lows + (n == 0 ? 1 - low : 0);
            highs = high * highs + (1 - high) * lows;
            if (n % 40 == 0) values.Add((n, 40 * 0.5 * (lows - highs)));   // sparse: 1200 values a second carry 100 Hz
        }
        return [.. values];
    }
}
