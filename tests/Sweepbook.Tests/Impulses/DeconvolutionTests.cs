// SPDX-License-Identifier: MIT
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

public sealed class DeconvolutionTests
{
    private const int Rate = 48_000;
    private static readonly TimeGroup Group = new("loopback");

    /// <summary>Design, "Numerical promises": a sweep of 1 Hz to 0.49 of the rate, a response band-limited inside the band, linear convolution.</summary>
    private static readonly Stimulus Wide = Stimulus.From(new StimulusDescription
    {
        SampleRateHz = Rate,
        StartHz = 1,
        EndHz = 0.49 * Rate,
        SweepSeconds = 5,
        LeadInSeconds = 0.5,
        TailSeconds = 1.5,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.002,
    });

    private static readonly Stimulus Usual = Stimulus.From(new StimulusDescription
    {
        SampleRateHz = Rate,
        StartHz = 10,
        EndHz = 22_000,
        SweepSeconds = 3,
        LeadInSeconds = 0.5,
        TailSeconds = 1.5,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.002,
    });

    /// <summary>
    /// A response whose spectrum lies wholly inside the band: wavelets every third of an octave from 6 Hz to 10 kHz, each a tone under a
    /// Gaussian of 1.5 periods, equally strong. At 1.12 Hz and at 20.9 kHz (the band's ends) the nearest one has fallen by more than 250 dB.
    /// </summary>
    private static readonly double[] InsideResponse = Signals.BandLimited(4 * Rate, Rate,
        [.. Enumerable.Range(0, 33).Select(n => 6 * Math.Pow(2, n / 3.0)).Select(f => (f, 2.0, 1.5 / f, f / 10_000))]);

    [Fact]
    public void The_response_comes_back_with_an_error_energy_below_minus_200_dB()
    {
        const double PromisedDb = -200;   // design, "Numerical promises"
        var take = Signals.Convolved(Wide.ToArray(), InsideResponse, Wide.Length + InsideResponse.Length);
        var errorDb = Signals.ErrorDb(Deconvolution.By(Wide, take.Length).Of(take).ToArray(), OnTheTimeAxis(InsideResponse, take.Length));
        TestContext.Current.TestOutputHelper?.WriteLine($"deconvolution error, double: {errorDb:0.0} dB");
        Assert.True(errorDb <= PromisedDb, $"{errorDb:0.0} dB");
    }

    [Fact]
    public void Through_24_bit_files_the_error_energy_stays_below_minus_115_dB_in_band()
    {
        const double PromisedDb = -115;   // design, "Numerical promises"
        var played = Signals.Quantised(Wide.ToArray(), 24);
        var loud = Signals.Convolved(played, InsideResponse, Wide.Length + InsideResponse.Length);
        var scale = 0.5 / loud.Max(Math.Abs);   // the take peaks at −6 dBFS
        var take = Signals.Quantised([.. loud.Select(value => value * scale)], 24);
        var found = Deconvolution.By(Stimulus.From(Wide.Description), take.Length).Of(take);
        var errorDb = InBandErrorDb(found.ToArray(), OnTheTimeAxis([.. InsideResponse.Select(value => value * scale)], take.Length));
        TestContext.Current.TestOutputHelper?.WriteLine($"deconvolution error, 24 bit: {errorDb:0.0} dB");
        Assert.True(errorDb <= PromisedDb, $"{errorDb:0.0} dB");
    }

    private static double[] OnTheTimeAxis(double[] response, int takeLength)
    {
        var whole = new double[Wide.Length + takeLength];
        response.CopyTo(whole, Wide.Length);
        return whole;
    }

    [Fact]
    public void What_both_inputs_share_cancels_within_a_hundredth_of_a_decibel_and_latency_becomes_zero()
    {
        const double PromisedDb = 0.01;   // design, "Numerical promises"
        const int LatencySamples = 1357;
        var shared = new double[LatencySamples + 400];
        for (var n = 0; n < 400; n++) shared[LatencySamples + n] = (n == 0 ? 0.8 : 0) - 0.01 * Math.Exp(-n / 60.0);   // latency, gain and a coupling capacitor
        var loopback = Signals.Convolved(Usual.ToArray(), shared, Usual.Length);
        var room = new double[4800];
        (room[480], room[1000], room[2200]) = (1, -0.4, 0.3);
        var take = Signals.Convolved(loopback, room, Usual.Length);

        var found = Deconvolution.By(Usual, take.Length).WithLoopback(loopback, Group).Of(take);
        var grid = LogGrid.Between(24, 12, 19_000);
        var spectrum = GridSpectrum.Of(found, grid);
        for (var k = 0; k < grid.Count; k++)
        {
            var exact = room.Select((value, n) => value * System.Numerics.Complex.Exp(new(0, -2 * Math.PI * grid[k] * n / Rate)))
                .Aggregate(System.Numerics.Complex.Zero, (sum, value) => sum + value);
            Assert.True(Math.Abs(20 * Math.Log10((spectrum.Values[k] / exact).Magnitude)) <= PromisedDb, $"{grid[k]:0.0} Hz");
            Assert.True(Math.Abs((spectrum.Values[k] / exact).Phase) <= 0.002, $"phase at {grid[k]:0.0} Hz");   // 0.01 dB is 0.0012 in amplitude
        }
        Assert.Equal(TimeZero.Loopback, found.TimeZero);
        Assert.True(found.TimeGroup.Shares(Group));
    }

    [Fact]
    public void Without_a_loopback_the_latency_stays_and_the_time_zero_is_unknown()
    {
        var response = new double[3000];
        response[2222] = 1;
        var found = Deconvolution.By(Usual, Usual.Length).Of(Signals.Convolved(Usual.ToArray(), response, Usual.Length));
        Assert.Equal(TimeZero.Unknown, found.TimeZero);
        Assert.Null(found.TimeGroup.Name);
        Assert.Equal(2222.0 / Rate, Arrival.AtFirstPeak(found).Seconds, 1e-7);
    }

    [Fact]
    public void Deconvolution_is_linear()
    {
        const double Rounding = 1e-12;   // sums of half a million doubles
        var (one, other) = (Signals.Noise(Usual.Length, 1), Signals.Noise(Usual.Length, 2));
        var plan = Deconvolution.By(Usual, Usual.Length);
        var (a, b) = (plan.Of(one), plan.Of(other));
        var both = plan.Of([.. one.Zip(other, (x, y) => 2 * x - 3 * y)]);
        var scale = both.ToArray().Max(Math.Abs);
        for (var n = 0; n < both.Length; n += 97) Assert.Equal(2 * a[n] - 3 * b[n], both[n], Rounding * scale * 10);
    }

    [Fact]
    public void The_second_harmonic_arrives_before_the_linear_response_by_the_published_lead()
    {
        const double HalfMillisecond = 0.0005;   // the harmonic's own band limit spreads it; its place is known to a fraction of that
        var sweep = Usual.ToArray();
        var found = Deconvolution.By(Usual, sweep.Length).Of([.. sweep.Select(x => x + 0.2 * x * x)]);
        var lead = 3 / Math.Log(22_000 / 10.0) * Math.Log(2);   // A. Farina, AES 108 (2000) preprint 5093; fact sheet 5.2: L · ln 2
        var harmonic = Arrival.AtFirstPeak(found.Between(-lead - 0.02, -lead + 0.02));
        Assert.Equal(-lead, harmonic.Seconds, HalfMillisecond);
    }

    [Fact]
    public void The_band_of_excitation_covers_the_sweep()
    {
        var plan = Deconvolution.By(Usual, Usual.Length);
        Assert.InRange(plan.ExcitedFromHz, 10 * Math.Pow(2, -0.5), 10 * Math.Pow(2, 1 / 6.0));
        Assert.InRange(plan.ExcitedToHz, 22_000 * Math.Pow(2, -1 / 6.0), 22_000 * Math.Pow(2, 1 / 6.0));
    }

    [Theory]
    [InlineData(0.03)]
    [InlineData(0.06)]
    [InlineData(0.1)]
    [InlineData(0.15)]
    [InlineData(0.19)]
    public void Cutting_the_ringing_before_the_arrival_costs_less_than_a_tenth_of_a_decibel_from_two_periods_on(double leftSeconds)
    {
        const double TenthOfADecibel = 0.1;   // what the study's window limit promises
        var window = new ImpulseWindow(leftSeconds, 1);
        var plan = Deconvolution.By(Usual, Usual.Length);
        var grid = LogGrid.Between(24, Math.Max(plan.ExcitedFromHz, 2 / leftSeconds), 1000);
        var spectrum = GridSpectrum.Of(window.Cut(plan.Of(Usual.ToArray()), 0), grid);
        for (var k = 0; k < grid.Count; k++)
            Assert.True(Math.Abs(20 * Math.Log10(spectrum.Values[k].Magnitude)) < TenthOfADecibel, $"{grid[k]:0.0} Hz: {20 * Math.Log10(spectrum.Values[k].Magnitude):0.000} dB");
    }

    [Fact]
    public void The_noise_predicted_from_a_silent_block_is_the_noise_found()
    {
        const double ScatterDb = 0.6;   // mean over 24 takes and thirds of octaves; the worst band holds some 60 independent values: 4.34/√60 dB
        var (window, grid) = (new ImpulseWindow(0.1, 1), LogGrid.Between(3, 100, 10_000));
        var plan = Deconvolution.By(Usual, Usual.Length);
        var (predicted, found) = (new double[grid.Count], new double[grid.Count]);
        for (ulong seed = 0; seed < 24; seed++)
        {
            var noise = Signals.Noise(Usual.Length, 100 + seed);
            var silent = plan.NoisePowerOf(noise.AsSpan(0, Usual.SweepStart), window, grid);
            var spectrum = GridSpectrum.Of(window.Cut(plan.Of(noise), 0.01), grid);
            for (var k = 0; k < grid.Count; k++) (predicted[k], found[k]) = (predicted[k] + silent[k], found[k] + spectrum.ThirdOctavePower[k]);
        }
        for (var k = 0; k < grid.Count; k++)
            Assert.True(Math.Abs(10 * Math.Log10(predicted[k] / found[k])) < ScatterDb, $"{grid[k]:0} Hz: {10 * Math.Log10(predicted[k] / found[k]):0.00} dB");
    }

    [Fact]
    public void A_take_of_another_length_is_refused()
    {
        var fault = Assert.Throws<ArgumentException>(() => Deconvolution.By(Usual, Usual.Length).Of(new double[100]));
        Assert.Contains("Has 100 samples", fault.Message, StringComparison.Ordinal);
        Assert.Equal("take", fault.ParamName);
    }

    [Fact]
    public void A_silent_loopback_is_refused_and_judged_in_words()
    {
        var plan = Deconvolution.By(Usual, Usual.Length);
        Assert.Equal("loopback", Assert.Throws<ArgumentException>(() => plan.WithLoopback(new double[Usual.Length], Group)).ParamName);
        var idle = Signals.Noise(Usual.Length, 5).Select(x => x * 3e-5).ToArray();
        Assert.Contains("silent", Loopback.Judge(plan, idle).Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void A_reference_channel_that_holds_something_else_is_recognised()
    {
        var plan = Deconvolution.By(Usual, Usual.Length);
        var music = Signals.Noise(Usual.Length, 6).Select(x => x * 0.1).ToArray();
        var verdict = Loopback.Judge(plan, music);
        Assert.False(verdict.IsUsable);
        Assert.Contains("does not hold the stimulus", verdict.Sentence, StringComparison.Ordinal);
        Assert.True(Loopback.Judge(plan, Usual.ToArray()).IsUsable);
    }

    /// <summary>Error energy over signal energy between start · 2^(1/6) and end · 2^(−1/6).</summary>
    private static double InBandErrorDb(double[] found, double[] expected)
    {
        var size = 1;
        while (size < found.Length) size *= 2;
        var (a, b) = (Signals.Spectrum(found, size), Signals.Spectrum(expected, size));
        var (error, energy) = (0.0, 0.0);
        for (var k = 1; k < size / 2; k++)
        {
            var frequencyHz = (double)k * Rate / size;
            if (frequencyHz < Math.Pow(2, 1 / 6.0) || frequencyHz > 0.49 * Rate * Math.Pow(2, -1 / 6.0)) continue;
            error += (a[k] - b[k]).Magnitude * (a[k] - b[k]).Magnitude;
            energy += b[k].Magnitude * b[k].Magnitude;
        }
        return 10 * Math.Log10(error / energy);
    }
}
