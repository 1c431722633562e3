// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Quantities;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class SlowPeakTests
{
    private const int RateHz = 48_000;

    // the promise of the issue for a lone resonance
    private const double DecayRatio = 0.02;

    // the line stops at the first slice below its limit, so noise lifts its end more often than it lowers it; well inside one deviation
    private const double NoisyDecayRatio = 0.05;

    // a tenth of the noise bandwidth of the window of 0.5 s, 2.3 Hz
    private const double FrequencyToleranceHz = 0.23;

    [Theory]
    [InlineData(23.4, 0.3)]
    [InlineData(31, 1.2)]
    [InlineData(57.3, 0.62)]
    [InlineData(142.8, 0.25)]
    [InlineData(333.3, 0.12)]
    public void A_lone_resonance_is_found_with_its_frequency_and_its_decay(double frequencyHz, double decaySeconds)
    {
        var peak = Assert.Single(DecayMap.Cumulative(Resonances.Response(RateHz, 4, 0, 0, new Resonance(frequencyHz, decaySeconds)), 15, 500).SlowPeaks());
        Assert.Equal(1, peak.DecaySeconds / decaySeconds, DecayRatio);
        Assert.Equal(frequencyHz, peak.FrequencyHz, FrequencyToleranceHz);
        // the spectrum at the top of a · e^(−kt) · cos is a / 2k; the fall of the window takes a little of the slow ones, and the grid a tenth of a decibel
        Assert.InRange(peak.LevelDb - Decibels.FromAmplitude(RateHz * decaySeconds / (2 * Math.Log(1000))), decaySeconds > 1 ? -1 : -0.3, 0.3);
        Assert.Equal(Reason.None, peak.Doubt);
        Assert.InRange(peak.RangeDb, 25, 30);
    }

    [Fact]
    public void Two_resonances_five_hertz_apart_are_two()
    {
        var peaks = DecayMap.Cumulative(Resonances.Response(RateHz, 4, 0, 0, new(40, 0.8), new(45, 0.8, 0.9)), 15, 500).SlowPeaks();
        Assert.True(peaks.Count == 2, string.Join("\n", peaks));
        Assert.Equal(40, peaks.Min(peak => peak.FrequencyHz), 2 * FrequencyToleranceHz);
        Assert.Equal(45, peaks.Max(peak => peak.FrequencyHz), 2 * FrequencyToleranceHz);
        Assert.All(peaks, peak => Assert.Equal(1, peak.DecaySeconds / 0.8, 5 * DecayRatio));   // each beats with the other's skirt, 10 dB below it
    }

    [Fact]
    public void A_slow_one_stands_out_of_a_quick_crowd_and_the_crowd_is_not_listed()
    {
        var crowd = Enumerable.Range(0, 30).Select(n => new Resonance(20 * Math.Pow(2, n / 8.0) + n % 3, 0.2, n % 2 == 0 ? 0.5 : -0.5));
        var peaks = DecayMap.Cumulative(Resonances.Response(RateHz, 4, 1e-5, 4, [new(43, 0.9), .. crowd]), 15, 300).SlowPeaks();
        Assert.Equal(43, peaks[0].FrequencyHz, 2 * FrequencyToleranceHz);
        Assert.Equal(1, peaks[0].DecaySeconds / 0.9, 0.1);   // the crowd quickens the first 10 dB of it
        Assert.All(peaks.Skip(1), peak => Assert.InRange(peak.DecaySeconds, 0.1, 0.45));
    }

    [Fact]
    public void A_decay_no_longer_than_the_window_s_own_says_so()
    {
        var map = DecayMap.Cumulative(Resonances.Response(RateHz, 4, 0, 0, new Resonance(60, 0.08)), 15, 500, riseSeconds: 0.1, overSeconds: 0.3);
        var peak = Assert.Single(map.SlowPeaks());
        Assert.Equal(Doubt.Window, peak.Doubt.Doubt);
        Assert.Contains("the true decay may be shorter", peak.Doubt.Sentence);
    }

    [Fact]
    public void Two_resonances_closer_than_the_window_resolves_are_one_that_falls_in_waves()
    {
        var peaks = DecayMap.Cumulative(Resonances.Response(RateHz, 4, 0, 0, new(50, 2), new(51.5, 2)), 15, 500).SlowPeaks();
        Assert.Contains(peaks, peak => peak.Doubt.Doubt == Doubt.Window && peak.Doubt.Sentence!.Contains("falls in waves", StringComparison.Ordinal));
        Assert.DoesNotContain(peaks, peak => peak.Doubt == Reason.None);
    }

    [Fact]
    public void A_loud_one_that_falls_faster_than_what_surrounds_it_is_no_slow_peak()
    {
        var samples = Resonances.Response(RateHz, 6, 0, 0, new Resonance(60, 0.5, 0.06)).ToArray();
        var slow = Decaying.NoiseLike(1.5, 5.9, 11, RateHz, Resonances.LeadSeconds);
        var peaks = DecayMap.Cumulative(Resonances.Of([.. samples.Select((x, n) => x + 0.02 * slow[n])], RateHz), 30, 120).SlowPeaks();
        Assert.DoesNotContain(peaks, peak => Math.Abs(peak.FrequencyHz - 60) < 2 && peak.DecaySeconds < 1);
        Assert.NotEmpty(peaks);
    }

    [Fact]
    public void Close_to_the_noise_the_range_is_short_and_below_it_there_is_no_peak()
    {
        var top = RateHz * 0.8 / (2 * Math.Log(1000));   // amplitude of the peak; noise of variance s² has s · √(Σ w²) in the same slice
        double Noise(double downDb) => top * Decibels.ToAmplitudeRatio(-downDb) / Math.Sqrt(RateHz * 0.40625);
        var short20 = Assert.Single(DecayMap.Cumulative(Resonances.Response(RateHz, 6, Noise(34), 5, new Resonance(40, 0.8)), 15, 200).SlowPeaks());
        Assert.Equal(Doubt.Noise, short20.Doubt.Doubt);
        Assert.InRange(short20.RangeDb, 10, 20);
        Assert.Empty(DecayMap.Cumulative(Resonances.Response(RateHz, 6, Noise(15), 5, new Resonance(40, 0.8)), 15, 200).SlowPeaks());
    }

    [Fact]
    public void The_stated_deviation_covers_what_noise_does_to_the_decay()
    {
        const int Seeds = 60;
        var noise = 2400 * 0.6 / (2 * Math.Log(1000)) * Decibels.ToAmplitudeRatio(-45) / Math.Sqrt(2400 * 0.40625);
        var found = Enumerable.Range(0, Seeds).Select(seed => DecayMap.Cumulative(Resonances.Response(2400, 6, noise, (ulong)seed + 100, new Resonance(40, 0.6)), 15, 200).SlowPeaks()
            .MinBy(peak => Math.Abs(peak.FrequencyHz - 40))).ToArray();
        var scatter = Math.Sqrt(found.Average(peak => Math.Pow(peak.DecaySeconds - 0.6, 2)));
        var stated = Math.Sqrt(found.Average(peak => peak.DecaySdSeconds * peak.DecaySdSeconds));
        Assert.InRange(stated / scatter, 0.7, 2.5);   // an estimate of an estimate: it should err on the large side
        Assert.Equal(0.6, found.Average(peak => peak.DecaySeconds), 0.6 * NoisyDecayRatio);
    }

    [Fact]
    public void Noise_alone_has_no_slow_peak_in_three_hundred_records()
    {
        for (var seed = 0UL; seed < 300; seed++)
        {
            var response = Resonances.Of(Signals.Noise(2400 * 3, seed), 2400);
            Assert.Empty(DecayMap.Cumulative(response, 20, 200, slices: 60).SlowPeaks());
            Assert.Empty(DecayMap.ConstantRelative(response, 20, 200, slices: 60).SlowPeaks());
        }
    }

    [Fact]
    public void A_hum_that_never_ends_is_no_resonance()
    {
        var response = Resonances.Response(RateHz, 4, 0, 0, new Resonance(80, 0.4));
        var samples = response.ToArray().Select((x, n) => x + 0.005 * Math.Cos(2 * Math.PI * 50 * n / RateHz)).ToArray();
        var peak = Assert.Single(DecayMap.Cumulative(Resonances.Of(samples, RateHz), 15, 500).SlowPeaks());
        Assert.Equal(80, peak.FrequencyHz, FrequencyToleranceHz);
    }

    [Theory]
    [InlineData(DecayMapKind.Spectrogram)]
    [InlineData(DecayMapKind.ConstantRelative)]
    public void The_other_maps_find_it_too_within_what_their_windows_allow(DecayMapKind kind)
    {
        var response = Resonances.Response(RateHz, 6, 0, 0, new Resonance(57.3, 1.5));
        var map = kind == DecayMapKind.Spectrogram ? DecayMap.Spectrogram(response, 15, 500, overSeconds: 1.2) : DecayMap.ConstantRelative(response, 15, 500, overSeconds: 1.2);
        var peak = map.SlowPeaks().MaxBy(found => found.LevelDb);
        Assert.Equal(1, peak.DecaySeconds / 1.5, DecayRatio);
        Assert.Equal(57.3, peak.FrequencyHz, 0.1 * map.ResolutionAt(0).FrequencyHz + 1);
    }

    [Fact]
    public void With_a_window_for_each_frequency_resonances_octaves_apart_are_all_found()
    {
        var peaks = DecayMap.ConstantRelative(Resonances.Response(RateHz, 4, 1e-4, 6, new(29.3, 0.9), new(71, 0.7, 0.8), new(190, 0.5)), 20, 500).SlowPeaks();
        foreach (var (frequencyHz, decaySeconds) in new[] { (29.3, 0.9), (71, 0.7), (190, 0.5) })
            Assert.Equal(1, peaks.MinBy(peak => Math.Abs(peak.FrequencyHz - frequencyHz)).DecaySeconds / decaySeconds, DecayRatio);
    }
}
