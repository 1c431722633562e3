// SPDX-License-Identifier: MIT
using Sweepbook.Decay;
using Sweepbook.Filters;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Xunit;

namespace Sweepbook.Tests.Decay;

public sealed class BandDecaysTests
{
    private const double HalfPercent = 0.005;   // the promise for deterministic envelopes

    [Theory]
    [InlineData(31.5, 1.0)]
    [InlineData(63, 0.6)]
    [InlineData(125, 0.3)]
    [InlineData(1000, 0.5)]
    [InlineData(1000, 0.05)]
    [InlineData(8000, 0.3)]
    public void A_damped_tone_in_the_middle_of_a_band_decays_as_it_was_made(double labelHz, double t60)
    {
        var band = FrequencyBand.ThirdOctaves(labelHz, labelHz)[0];
        var tone = Decaying.Exponential(t60, 2 * t60).Select((x, n) => x * Math.Cos(2 * Math.PI * band.CentreHz * n / Decaying.RateHz)).ToArray();
        var decay = Decaying.Response([.. new double[4800], .. tone]).Decays([band])[0];
        Assert.Equal(t60, decay.T20.Value, HalfPercent * t60);
        Assert.Equal(t60, decay.T30.Value, HalfPercent * t60);
    }

    [Fact]
    public void Levels_are_relative_to_all_energy_also_that_which_the_filter_moved_before_the_start()
    {
        // A click with as much energy as the decay behind it: half of all energy is gone at once, whether the filter puts it before the start or not.
        var reverberation = Decaying.NoiseLike(0.5, 1, 3);
        reverberation[0] = Math.Sqrt(reverberation.Sum(x => x * x));
        var decay = Decaying.Response([.. new double[4800], .. Decaying.WithNoise(reverberation, 60, 4)]).Decays(FrequencyBand.Octaves(4000, 4000))[0];
        const double Half = -3.01, Chance = 0.7;   // the noise's share of this octave is not just its mean one
        Assert.Equal(Half, decay.Curve[0], Chance);
        Assert.Equal(1 - 0.5 * (1 - 0.74881), decay.D50.Value, 0.03);   // fact sheet 4.1: half of it early, of the rest what is early at 0.5 s
    }

    /// <summary>A filter run backwards begins at the record's end with nothing in it: what it says there must not be taken for the decay's own end.</summary>
    [Theory]
    [InlineData(25)]
    [InlineData(40)]
    public void A_tone_cut_in_its_decay_reads_as_if_it_went_on(double labelHz)
    {
        var band = FrequencyBand.ThirdOctaves(labelHz, labelHz)[0];
        var tone = Decaying.Exponential(1.5, 1.9).Select((x, n) => x * Math.Cos(2 * Math.PI * band.CentreHz * n / Decaying.RateHz)).ToArray();   // 76 dB
        var decay = Decaying.Response(tone).Decays([band])[0];
        Assert.Equal(1.5, decay.T30.Value, HalfPercent * 1.5);
        const double TwoPercent = 0.02;   // of the last 20 dB, where the filter still misses a twentieth of the energy
        Assert.Equal(1.5, decay.Late.Value, TwoPercent * 1.5);
    }

    /// <summary>A subwoofer below wide-band noise: 20 dB below its peak there is only noise.</summary>
    [Fact]
    public void The_start_is_not_taken_from_noise_that_comes_close_to_the_peak()
    {
        var band = FrequencyBand.Octaves(63, 63)[0];
        var tone = Decaying.Exponential(0.5, 1.5).Select((x, n) => x * Math.Cos(2 * Math.PI * band.CentreHz * n / Decaying.RateHz)).ToArray();
        var decay = Decaying.Response(Decaying.WithNoise([.. new double[14_400], .. tone], 26, 5)).Decays([band])[0];
        const double TenMilliseconds = 10;
        Assert.Equal(36.191, decay.Ts.Value, TenMilliseconds);   // fact sheet 4.1; 0.3 s more where the start is taken from the noise
    }

    [Fact]
    public void Own_rates_and_the_full_rate_read_the_same()
    {
        const double TwoPercent = 0.02;   // the shapes of the filters differ a little towards half the sample rate
        var response = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.5, 1, 3), 60, 4));
        var bank = FilterBank.ThirdOctaves(100, 5000, Decaying.RateHz);
        foreach (var (full, own) in response.Decays(bank).Zip(response.Decays(bank.AtOwnRates())))
        {
            Assert.Equal(full.T20.Value, own.T20.Value, TwoPercent * full.T20.Value);
            Assert.Equal(full.D50.Value, own.D50.Value, TwoPercent);
        }
    }

    [Fact]
    public void Gain_polarity_and_a_later_start_change_nothing()
    {
        const double Rounding = 1e-9;
        var samples = Decaying.WithNoise(Decaying.NoiseLike(0.5, 1, 3), 60, 4);
        var bands = FrequencyBand.Octaves(250, 4000);
        var plain = Decaying.Response([.. new double[9600], .. samples]).Decays(bands);
        var other = Decaying.Response([.. new double[9600 + 64 * 150], .. samples.Select(x => -7.5 * x)]).Decays(bands);   // a whole number of samples at every rate
        foreach (var (one, two) in plain.Zip(other))
            foreach (var (a, b) in one.Values.Zip(two.Values))
                Assert.Equal(a.Value, b.Value, Rounding * Math.Abs(a.Value));
    }

    [Fact]
    public void A_cell_reads_like_a_sentence()
    {
        var decays = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.5, 1, 3), 60, 4)).Decays(FrequencyBand.ThirdOctaves(25, 10_000));
        Assert.Equal(27, decays.Count);
        Assert.Equal(1000, decays.At(1000).Band.NominalHz);
        Assert.Equal(1000, decays.At(1100).Band.NominalHz);
        Assert.Equal(31.5, decays.At(31.5).Band.NominalHz);
        Assert.InRange(decays.At(1000).T30.Value, 0.4, 0.6);
        Assert.Matches(@"^1000 Hz: T30 0\.\d+ s$", decays.At(1000).ToString());
        Assert.Equal("decays in 27 bands", decays.ToString());
        Assert.Contains("25, 31.5, 40", Assert.Throws<ArgumentOutOfRangeException>("frequencyHz", () => decays.At(5)).Message);
        Assert.Throws<ArgumentOutOfRangeException>("quantity", () => decays[0][(DecayQuantity)8]);
    }

    [Fact]
    public void A_decay_too_short_for_its_band_is_not_given()
    {
        var decays = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.1, 1, 3), 90, 4)).Decays(FrequencyBand.ThirdOctaves(40, 1000));
        Assert.All(new[] { decays.At(40), decays.At(63) }, decay => Assert.StartsWith("narrow", decay.T20.Reason));
        Assert.All(new[] { decays.At(40), decays.At(63) }, decay => Assert.True(double.IsNaN(decay.T20.Value)));
        Assert.StartsWith("narrow", decays.At(63).C50.Reason);   // 14.6 Hz · 50 ms is below 1
        Assert.True(decays.At(1000).T20.IsValid);
        Assert.True(decays.At(1000).C50.IsValid);
        var longer = Decaying.Response(Decaying.WithNoise(Decaying.NoiseLike(0.5, 1.5, 3), 90, 4)).Decays(FrequencyBand.ThirdOctaves(63, 63))[0];
        Assert.True(longer.T20.IsValid);   // long enough for a slope, and its first 10 dB are the filter's
        Assert.Matches(@"^narrow: the filter of a band of 14\.6 Hz hides the first \d+ dB of this decay$", longer.Edt.Reason);
    }

    /// <summary>One band in fifty of pure noise showed clarities by chance.</summary>
    [Fact]
    public void Noise_alone_has_no_figure_in_any_band()
    {
        const double AtMost = 0.002;   // of 162 bands · 8 figures each; a decay time by chance needs a fall of 20 dB in noise
        var valid = 0;
        for (ulong seed = 1; seed <= 6; seed++)
            valid += Decaying.Response(Signals.Noise(30_000, seed)).Decays(FrequencyBand.ThirdOctaves(25, 10_000)).Sum(decay => decay.Values.Count(value => value.IsValid));
        Assert.True(valid <= AtMost * 6 * 27 * 8, $"{valid} figures");
    }

    [Fact]
    public void Clarity_without_any_decay_time_is_not_given()
    {
        var samples = Signals.Noise(96_000, 9).Select(x => 1e-3 * x).ToArray();
        samples[2000] = 1;   // a click over noise: what comes after 50 ms is chance
        var decays = Decaying.Response(samples).Decays(FrequencyBand.ThirdOctaves(100, 1000));
        foreach (var decay in decays.Where(decay => !decay.T20.IsValid && !decay.Edt.IsValid))
            Assert.All(new[] { decay.C50, decay.C80, decay.D50, decay.Ts }, value => Assert.True(!value.IsValid && value.Reason!.Length > 0 && !value.Reason.Contains('∞') && !value.Reason.Contains("Infinity", StringComparison.Ordinal), value.ToString()));
        Assert.Contains(decays, decay => decay.D50.Reason!.StartsWith("none: neither T20 nor EDT", StringComparison.Ordinal));
    }

    [Fact]
    public void A_band_that_was_refused_from_outside_gives_nothing_but_the_reason()
    {
        var refused = Decaying.Response(Decaying.Exponential(0.5, 1)).BroadbandDecay().Refused("excitation: not played");
        Assert.All(refused.Values, value => Assert.Equal((false, "excitation: not played"), (value.IsValid, value.Reason)));
        Assert.All(refused.Values, value => Assert.True(double.IsNaN(value.Uncertainty)));
    }

    [Fact]
    public void What_cannot_be_evaluated_is_refused_with_words()
    {
        var response = Decaying.Response(Decaying.Exponential(0.5, 0.1));
        Assert.Throws<ArgumentException>("bands", () => response.Decays(FrequencyBand.Octaves(70, 80)));
        Assert.Contains("48000 Hz", Assert.Throws<ArgumentException>("bank", () => response.Decays(FilterBank.Octaves(1000, 1000, 44_100))).Message);
        Assert.Contains("at least 1", Assert.Throws<ArgumentException>("impulse", () => Decaying.Response([]).BroadbandDecay()).Message);
        Assert.Throws<ArgumentOutOfRangeException>("halfWidthMs", () => response.DirectToReverberantDb(0));
        Assert.Throws<ArgumentException>(() => Decaying.Response([1, double.NaN, 0.5]).Decays(FrequencyBand.Octaves(1000, 1000)));
        foreach (var bad in new[] { double.NaN, double.PositiveInfinity })
            foreach (var act in new Action<ImpulseResponse>[] { broken => broken.BroadbandDecay(), broken => broken.BackwardIntegral(), broken => broken.DirectToReverberantDb() })
                Assert.Contains("Sample 1 is ", Assert.Throws<ArgumentException>("impulse", () => act(Decaying.Response([1, bad, 0.5]))).Message);
    }

    [Fact]
    public void The_direct_sound_is_the_peak_and_what_lies_round_it()
    {
        var samples = new double[4800];
        (samples[480], samples[500], samples[2400]) = (1, 0.5, -0.5);   // 20 samples are 0.42 ms
        Assert.Equal(10 * Math.Log10(1.25 / 0.25), Decaying.Response(samples).DirectToReverberantDb(), 1e-9);
        Assert.Equal(10 * Math.Log10(1 / 0.5), Decaying.Response(samples).DirectToReverberantDb(halfWidthMs: 0.1), 1e-9);
    }
}
