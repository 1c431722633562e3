// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Decay;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class DecayMapTests
{
    private const int LowRateHz = 2400;   // with 240 Hz and more asked for nothing is halved, so that only rounding is left

    // rounding of sums of a thousand terms, relative to the strongest power of the slice
    private const double Rounding = 1e-12;

    // four halvings of 1e-4 dB each, and 100 dB of what folds: 1e-5 and 5e-5 of the amplitude, so at most this much of the strongest power
    private const double HalvingRipple = 2e-4;

    [Fact]
    public void A_damped_resonance_has_the_slices_of_its_closed_form()
    {
        var resonance = new Resonance(43.7, 0.45);
        var map = DecayMap.Cumulative(Resonances.Response(LowRateHz, 2, 0, 0, resonance), 20, 250, windowSeconds: 0.5, overSeconds: 0.6, slices: 13, riseSeconds: 0.05);
        Assert.Equal(0, map.StartSeconds, 12);
        for (var i = 0; i < map.SliceSeconds.Count; i++)
        {
            Assert.Equal(0.05 * i, map.SliceSeconds[i], 12);
            AssertSlice(map, i, frequencyHz => Resonances.SlicePower(resonance, LowRateHz, (int)Math.Round(map.SliceSeconds[i] * LowRateHz), 1200, 120, 300, frequencyHz), Rounding);
        }
    }

    [Theory]
    [InlineData(LowRateHz, 250, Rounding)]
    [InlineData(48_000, 500, HalvingRipple)]
    [InlineData(44_100, 120, HalvingRipple)]
    public void Every_slice_of_a_cumulative_map_is_the_slow_sum_over_its_window_at_the_full_rate(int rateHz, double toHz, double tolerance)
    {
        var response = Resonances.Response(rateHz, 1.2, 1e-3, 7, new(31, 0.5), new(74, 0.3, -0.7), new(110, 0.2), new(900, 0.05, 0.5));
        var map = DecayMap.Cumulative(response, 20, toHz, windowSeconds: 0.3, overSeconds: 0.4, slices: 5, riseSeconds: 0.04);
        for (var i = 0; i < map.SliceSeconds.Count; i++)
        {
            AssertSlice(map, i, frequencyHz => SlowSum(response, frequencyHz, map.StartSeconds + map.SliceSeconds[i], -0.04, 0.26,
                t => t < 0 ? Rise((t + 0.04) / 0.04) : t > 0.185 ? Rise((0.26 - t) / 0.075) : 1), tolerance);
        }
    }

    [Theory]
    [InlineData(LowRateHz, 250, Rounding)]
    [InlineData(48_000, 500, HalvingRipple)]
    public void Every_slice_of_a_spectrogram_is_the_slow_sum_under_a_Hann_window(int rateHz, double toHz, double tolerance)
    {
        var response = Resonances.Response(rateHz, 1.2, 1e-3, 8, new(31, 0.5), new(74, 0.3, -0.7), new(900, 0.05, 0.5));
        var map = DecayMap.Spectrogram(response, 20, toHz, windowSeconds: 0.2, overSeconds: 0.4, slices: 5);
        for (var i = 0; i < map.SliceSeconds.Count; i++)
            AssertSlice(map, i, frequencyHz => SlowSum(response, frequencyHz, map.StartSeconds + map.SliceSeconds[i], -0.1, 0.1, t => Math.Pow(Math.Cos(Math.PI * t / 0.2), 2)), tolerance);
    }

    [Fact]
    public void A_map_of_constant_relative_bandwidth_is_the_slow_sum_under_six_and_a_half_periods_for_a_third_octave()
    {
        var response = Resonances.Response(LowRateHz, 2, 1e-3, 9, new(31, 0.5), new(74, 0.3, -0.7));
        var map = DecayMap.ConstantRelative(response, 20, 250, overSeconds: 0.4, slices: 5);
        var halfSum = Math.Pow(2, 1 / 6.0) - Math.Pow(2, -1 / 6.0);
        Assert.Equal(6.5, 1.5 / halfSum, 0.05);   // a burst of 6.5 periods is a third octave wide (fact sheet 10.9 uses it so)
        for (var i = 0; i < map.SliceSeconds.Count; i++)
            for (var k = 0; k < map.FrequenciesHz.Count; k++)
            {
                var frequencyHz = map.FrequenciesHz[k];
                var window = map.WindowSecondsAt(k);
                Assert.Equal(1.5 / halfSum / frequencyHz, window, 1e-12);
                var wanted = SlowSum(response, frequencyHz, map.StartSeconds + map.SliceSeconds[i], -window / 2, window / 2, t => Math.Pow(Math.Cos(Math.PI * t / window), 2));
                Assert.Equal(wanted, Decibels.ToPowerRatio(map.LevelDb(i, k)), Rounding * wanted + 1e-12);
            }
    }

    [Fact]
    public void The_first_slice_without_a_rise_is_the_response_itself()
    {
        var response = Resonances.Response(LowRateHz, 0.8, 0, 0, new(31, 0.3), new(74, 0.2));
        var map = DecayMap.Cumulative(response, 5, 250, windowSeconds: 1.2, overSeconds: 0.2, slices: 3, riseSeconds: 0);   // 0.9 s of it are flat, the response has 0.7 s
        var spectrum = DiscreteTimeTransform.At(response.ToArray(), 0, LowRateHz, [.. map.FrequenciesHz]);
        var powers = map.FrequenciesHz.Zip(spectrum, (frequencyHz, value) => (frequencyHz, Power: value.Magnitude * value.Magnitude)).ToDictionary(pair => pair.frequencyHz, pair => pair.Power);
        AssertSlice(map, 0, frequencyHz => powers[frequencyHz], Rounding);
    }

    [Fact]
    public void The_powers_of_all_frequencies_add_up_to_the_energy_still_to_come()
    {
        var response = Resonances.Response(LowRateHz, 0.8, 0, 0, new(31, 0.3), new(274, 0.2), new(411, 0.1));
        // Parseval over the bins strictly between 0 and half the rate counts each twice; the two ends are measured apart, because a map has no 0 Hz
        var map = DecayMap.Cumulative(response, 1e-3, 0.45 * LowRateHz, windowSeconds: 1.2, overSeconds: 0.2, slices: 3, riseSeconds: 0);
        var samples = response.ToArray();
        for (var i = 0; i < 3; i++)
        {
            var first = (int)Math.Round((Resonances.LeadSeconds + map.SliceSeconds[i]) * LowRateHz);
            var energy = samples.Skip(first).Sum(x => x * x);
            var spacing = map.FrequenciesHz[1] - map.FrequenciesHz[0];
            var length = (int)Math.Round(LowRateHz / spacing);
            var above = Enumerable.Range(0, length / 2 + 1).Where(k => k == 0 || k * spacing > map.FrequenciesHz[^1] + spacing / 2).Select(k => k * spacing).ToArray();
            var rest = DiscreteTimeTransform.At(samples.AsSpan(first), 0, LowRateHz, above);
            var sum = Enumerable.Range(0, map.FrequenciesHz.Count).Sum(k => 2 * Decibels.ToPowerRatio(map.LevelDb(i, k)))
                + above.Select((frequencyHz, k) => (frequencyHz == 0 || frequencyHz == LowRateHz / 2.0 ? 1 : 2) * rest[k].Magnitude * rest[k].Magnitude).Sum();
            Assert.Equal(1, sum / length / energy, 1e-9);
        }
    }

    [Fact]
    public void The_window_says_what_it_does_to_both_axes()
    {
        var response = Resonances.Response(LowRateHz, 3, 0, 0, new Resonance(50, 0.5));
        var boxed = DecayMap.Cumulative(response, 20, 200, windowSeconds: 0.5, overSeconds: 0.1, slices: 200, riseSeconds: 0.05).ResolutionAt(0);
        // ∫w² = flat 0.325 + 3/8 · 0.175, ∫w = flat 0.325 + 1/2 · 0.175 of a window of 0.5 s that rises over 0.05 s and falls over 0.125 s
        Assert.Equal((0.325 + 0.375 * 0.175) / Math.Pow(0.325 + 0.5 * 0.175, 2), boxed.FrequencyHz, 1e-6);
        Assert.Equal(0.05, boxed.TimeSeconds, 12);
        var sliding = DecayMap.Spectrogram(response, 20, 200, windowSeconds: 0.25).ResolutionAt(0);
        Assert.Equal((1.5 / 0.25, 0.125), (Math.Round(sliding.FrequencyHz, 6), sliding.TimeSeconds));
        var relative = DecayMap.ConstantRelative(response, 20, 200, bandwidthOctaves: 1 / 6.0);
        for (var k = 0; k < relative.FrequenciesHz.Count; k++)
            Assert.Equal(Math.Pow(2, 1 / 12.0) - Math.Pow(2, -1 / 12.0), relative.ResolutionAt(k).FrequencyHz / relative.FrequenciesHz[k], 0.01);
    }

    [Fact]
    public void A_click_decays_as_quickly_as_the_map_says_it_can_show()
    {
        var samples = new double[6 * LowRateHz];
        samples[LowRateHz] = 1;
        foreach (var map in new[]
                 {
                     DecayMap.Cumulative(Resonances.Of(samples, LowRateHz), 20, 200, windowSeconds: 1, overSeconds: 0.4, slices: 900, riseSeconds: 0.4),
                     DecayMap.Spectrogram(Resonances.Of(samples, LowRateHz), 20, 200, windowSeconds: 0.8, overSeconds: 0.4, slices: 900),
                 })
        {
            var levels = Enumerable.Range(0, map.SliceSeconds.Count).Select(i => map.LevelDb(i, 3)).ToArray();
            var line = MapLine.Through(levels, [.. map.SliceSeconds], double.NegativeInfinity, 1);
            Assert.Equal(map.ResolutionAt(3).ShortestDecaySeconds, line!.Value.DecaySeconds, 0.01 * line.Value.DecaySeconds);   // whole samples against a smooth rise
            Assert.InRange(line.Value.DecaySeconds, 0.9 * 0.4, 1.1 * 0.4);
        }
    }

    [Fact]
    public void Noise_is_known_within_the_chance_of_its_octave_and_never_below_a_hum_line()
    {
        var samples = Signals.Noise(48_000 * 4, 3);
        for (var n = 0; n < samples.Length; n++) samples[n] = 1e-3 * samples[n] + 1e-3 * Math.Cos(2 * Math.PI * 50 * n / 48_000.0);
        samples[9600] = 1;
        var map = DecayMap.Cumulative(Resonances.Of(samples, 48_000), 20, 500, windowSeconds: 0.5);
        // white noise of variance s² gives a mean power of s² · Σ w² in any window; Σ w² is 0.425 + 3/8 … of 0.5 s, in samples
        var wanted = Decibels.FromPower(1e-6 * 48_000 * (0.35 + 0.375 * 0.15));
        var hum = Decibels.FromPower(1e-6 / 4 * Math.Pow(48_000 * (0.35 + 0.5 * 0.15), 2));
        for (var k = 0; k < map.FrequenciesHz.Count; k++)
        {
            if (Math.Abs(map.FrequenciesHz[k] - 50) < 1) Assert.InRange(map.NoiseDb(k), hum - 1, hum + 3);
            if (map.FrequenciesHz[k] > 200) Assert.InRange(map.NoiseDb(k), wanted - 2, wanted + 10);   // the strongest of some five bins lies 3 dB above the mean on average
        }
    }

    [Fact]
    public void A_record_shorter_than_two_windows_has_no_known_noise_and_so_no_peaks()
    {
        var map = DecayMap.Cumulative(Resonances.Response(LowRateHz, 0.9, 0, 0, new Resonance(50, 0.3)), 20, 200, windowSeconds: 0.5);
        Assert.True(double.IsNaN(map.NoiseDb(0)));
        Assert.Empty(map.SlowPeaks());
    }

    [Fact]
    public void Distortion_and_noise_long_before_the_sound_do_not_set_its_beginning()
    {
        var samples = new double[3 * 48_000];
        samples[12_000] = 0.3;    // half a second early, as the distortion of a sweep arrives
        samples[36_000] = 1;
        var map = DecayMap.Cumulative(Resonances.Of(samples, 48_000), 20, 500);
        Assert.InRange(map.StartSeconds, 0.75 - 0.01, 0.75);   // what rings before a click is the band limit of some 1 kHz
    }

    [Theory]
    [InlineData(0, 500, 0.5, 1, 200, null, "fromHz")]
    [InlineData(500, 500, 0.5, 1, 200, null, "fromHz")]
    [InlineData(20, 21_601, 0.5, 1, 200, null, "toHz")]
    [InlineData(20, double.NaN, 0.5, 1, 200, null, "toHz")]
    [InlineData(20, 500, 0, 1, 200, null, "windowSeconds")]
    [InlineData(20, 500, 0.5, double.PositiveInfinity, 200, null, "overSeconds")]
    [InlineData(20, 500, 0.5, 1, 1, null, "slices")]
    [InlineData(20, 500, 0.5, 1, 200, 0.26, "riseSeconds")]
    [InlineData(20, 20.5, 0.01, 1, 200, null, "toHz")]
    public void A_wrong_argument_is_named_with_its_interval(double fromHz, double toHz, double windowSeconds, double overSeconds, int slices, double? riseSeconds, string name)
    {
        var response = Resonances.Response(48_000, 2, 0, 0, new Resonance(50, 0.3));
        var fault = Assert.ThrowsAny<ArgumentException>(() => DecayMap.Cumulative(response, fromHz, toHz, windowSeconds, overSeconds, slices, riseSeconds));
        Assert.Equal(name, fault.ParamName);
    }

    [Fact]
    public void A_window_longer_than_a_minute_and_a_sample_that_is_no_number_are_refused_in_words()
    {
        var response = Resonances.Response(48_000, 2, 0, 0, new Resonance(50, 0.3));
        Assert.Contains("6.5 periods is 60 s long", Assert.Throws<ArgumentOutOfRangeException>("fromHz", () => DecayMap.ConstantRelative(response, 0.01, 500)).Message);
        foreach (var map in new Action<ImpulseResponse>[] { bad => DecayMap.Cumulative(bad, 20, 500), bad => DecayMap.Spectrogram(bad, 20, 500), bad => DecayMap.ConstantRelative(bad, 20, 500) })
            Assert.Contains("Sample 1 is NaN", Assert.Throws<ArgumentException>("response", () => map(Resonances.Of([1, double.NaN, 0.5], 48_000))).Message);
    }

    private static double Rise(double share) => Math.Pow(Math.Sin(Math.PI / 2 * share), 2);

    /// <summary>|Σ w(t) · x(t) · e^(−j2πft)|² over the samples of a window, one by one; t counts from the slice's moment.</summary>
    private static double SlowSum(ImpulseResponse response, double frequencyHz, double momentSeconds, double fromSeconds, double toSeconds, Func<double, double> weight)
    {
        var moment = (int)Math.Round(response.TimeZeroSamples + momentSeconds * response.SampleRateHz);
        var sum = Complex.Zero;
        for (var n = 0; n < response.Length; n++)
        {
            var t = (double)(n - moment) / response.SampleRateHz;
            if (t >= fromSeconds && t <= toSeconds) sum += weight(t) * response[n] * Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz * t);
        }
        return sum.Real * sum.Real + sum.Imaginary * sum.Imaginary;
    }

    private static void AssertSlice(DecayMap map, int slice, Func<double, double> powerAtHz, double tolerance)
    {
        var wanted = map.FrequenciesHz.Select(powerAtHz).ToArray();
        for (var k = 0; k < wanted.Length; k++)
            Assert.True(Math.Abs(Decibels.ToPowerRatio(map.LevelDb(slice, k)) - wanted[k]) <= tolerance * wanted.Max(),
                $"slice {slice}, {map.FrequenciesHz[k]} Hz: {map.LevelDb(slice, k)} dB instead of {Decibels.FromPower(wanted[k])} dB");
    }
}
