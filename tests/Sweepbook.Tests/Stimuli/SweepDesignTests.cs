// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

public sealed class SweepDesignTests
{
    private const double Exact = 1e-12;              // closed forms, in double
    private const double LastPrintedDigit = 0.6e-6;  // fact sheet 5.3 prints six decimals
    private const double MidBandDb = 0.1;            // fact sheet 5.4: stationary phase away from the ends, over a third of an octave
    private const double OneDoublingDb = 3.010299956639812;   // 10 lg 2

    private static readonly SweepDesign Full = SweepDesign.Of(new() { StartHz = 10, EndHz = 22_000, SweepSeconds = 3, LevelDbfs = -12 });

    [Theory]
    [InlineData(20, 200, 5, 2, 1.505150)]   // fact sheet 5.3
    [InlineData(20, 200, 5, 3, 2.385606)]
    [InlineData(5, 500, 20, 2, 3.010300)]
    [InlineData(5, 500, 20, 3, 4.771213)]
    public void Harmonics_lead_by_the_published_times_and_the_length_for_a_lead_is_the_way_back(double startHz, double endHz, double seconds, int order, double lead)
    {
        var sweep = Full.Between(startHz, endHz).Lasting(seconds);
        Assert.Equal(lead, sweep.HarmonicLeadSeconds(order), LastPrintedDigit);
        Assert.Equal(seconds, sweep.SecondsForLead(order, sweep.HarmonicLeadSeconds(order)), Exact * seconds);
        Assert.Equal(0, sweep.HarmonicLeadSeconds(1));
        // at any frequency the harmonic is as far ahead as the sweep needs to grow by its order
        Assert.Equal(lead, sweep.SecondsAt(endHz * 0.9) - sweep.SecondsAt(endHz * 0.9 / order), LastPrintedDigit);
    }

    [Fact]
    public void A_linear_sweep_has_no_single_lead()
    {
        Assert.Equal(double.NaN, Full.As(SweepKind.Linear).HarmonicLeadSeconds(2));
        Assert.Equal(double.NaN, Full.As(SweepKind.Linear).SecondsForLead(2, 1));
    }

    [Theory]
    [InlineData(SweepKind.Exponential)]
    [InlineData(SweepKind.Linear)]
    public void Twice_the_length_is_three_decibels_at_every_frequency(SweepKind kind)
    {
        var sweep = Full.As(kind);
        foreach (var frequencyHz in new[] { 10.0, 31.5, 1000, 22_000 })
            Assert.Equal(OneDoublingDb, sweep.Lasting(6).SnrGainDbOver(sweep, frequencyHz), Exact * 100);
        Assert.Equal(6, sweep.SecondsForSnrGain(OneDoublingDb), Exact * 10);
        Assert.Equal(30, sweep.SecondsForSnrGain(10), Exact * 100);
    }

    [Fact]
    public void An_exponential_sweep_gives_every_octave_the_same_and_falls_by_three_decibels_an_octave()
    {
        var whole = 0.5 * Math.Pow(10, -1.2) * 3 * Math.Log(2) / Math.Log(2200);   // A²/2 · L · ln 2
        foreach (var frequencyHz in new[] { 10.0, 20, 640, 11_000 }) Assert.Equal(whole, Full.EnergyBetween(frequencyHz, 2 * frequencyHz), Exact);
        Assert.Equal(-OneDoublingDb, Full.SpectrumDbAt(2000) - Full.SpectrumDbAt(1000), 1e-9);
        Assert.Equal(0, Full.As(SweepKind.Linear).SpectrumDbAt(2000) - Full.As(SweepKind.Linear).SpectrumDbAt(1000), 1e-9);
        Assert.Equal(0.5 * Math.Pow(10, -1.2) * 3, Full.EnergyBetween(1, 40_000), Exact);   // outside the band nothing plays
        Assert.Equal(0, Full.EnergyBetween(100, 50));
        Assert.Equal((double.NegativeInfinity, double.NegativeInfinity), (Full.SpectrumDbAt(9.9), Full.SpectrumDbAt(22_001)));
    }

    [Theory]
    [InlineData(SweepKind.Exponential)]
    [InlineData(SweepKind.Synchronised)]
    [InlineData(SweepKind.Linear)]
    public void The_spectrum_is_that_of_the_samples_away_from_the_ends(SweepKind kind)
    {
        var sweep = Full.As(kind);
        var stimulus = Stimulus.From(sweep.Description);
        var bins = FourierTransform.OfReal(stimulus.ToArray(), FourierTransform.NextFastLength(2 * stimulus.Length));
        var binHz = 48_000.0 / FourierTransform.NextFastLength(2 * stimulus.Length);
        foreach (var band in FrequencyBand.ThirdOctaves(kind == SweepKind.Linear ? 1000 : 50, 10_000))   // a linear sweep is at 743 Hz when its fade ends
        {
            var inside = Enumerable.Range(0, bins.Length).Where(k => k * binHz >= band.LowerHz && k * binHz < band.UpperHz).ToArray();
            var sampled = Decibels.FromPower(inside.Average(k => Square(bins[k]))) - Decibels.FromAmplitude(48_000);   // one sample is 1/48000 s
            var designed = Decibels.FromPower(inside.Average(k => Decibels.ToPowerRatio(sweep.SpectrumDbAt(k * binHz))));
            Assert.Equal(designed, sampled, MidBandDb);
        }
    }

    [Fact]
    public void Signal_over_noise_is_what_white_noise_through_the_deconvolution_leaves()
    {
        // white noise of variance s² has the density 2 s² / rate over positive frequencies
        const int Seed = 7;
        const double PathDb = -20, NoiseRms = 0.001, ThreeSigmaDb = 0.55;   // 3 · 4.34 / √(B · T): the narrowest octave is 707 Hz wide, the window open for 0.86 s
        const double OpenSeconds = 0.05 * 3 / 8 + 0.75 + 0.25 * 3 / 8;      // ∫ w² of a half-Hann slope is 3/8 of its length
        var (stimulus, random) = (Stimulus.From(Full.Description), new Random(Seed));
        var noise = Enumerable.Range(0, stimulus.Length).Select(_ => NoiseRms * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble())).ToArray();
        var cut = new ImpulseWindow(0.05, 1.0).Cut(Deconvolution.By(stimulus, stimulus.Length).Of(noise), 0).ToArray();
        var length = FourierTransform.NextFastLength(cut.Length);
        var (bins, binHz) = (FourierTransform.OfReal(cut, length), 48_000.0 / length);
        foreach (var band in FrequencyBand.Octaves(1000, 8000))
        {
            // noise power in the response goes with f, because the sweep's falls with it: taken to the centre bin by bin
            var inside = Enumerable.Range(0, bins.Length).Where(k => k * binHz >= band.LowerHz && k * binHz < band.UpperHz);
            var left = Decibels.FromPower(inside.Average(k => Square(bins[k]) * band.CentreHz / (k * binHz)));
            Assert.Equal(PathDb - left, Full.SnrDbAt(band.CentreHz, PathDb, Decibels.FromPower(2 * NoiseRms * NoiseRms / 48_000), OpenSeconds), ThreeSigmaDb);
        }
    }

    [Fact]
    public void A_sweep_of_half_the_octaves_has_twice_the_time_in_each()
    {
        Assert.Equal(10 * Math.Log10(Math.Log(2200) / Math.Log(50)), Full.Between(10, 500).SnrGainDbOver(Full, 40), Exact * 100);
        Assert.Equal("exponential sweep, 10 to 22000 Hz in 3 s", Full.ToString());
    }

    [Fact]
    public void A_synchronised_sweep_says_the_length_it_takes()
    {
        var sweep = Full.Between(10, 200).Lasting(15).As(SweepKind.Synchronised);
        Assert.Equal(14.978661, sweep.Seconds, LastPrintedDigit);   // fact sheet 5.6
        Assert.Equal(sweep.Seconds, sweep.Description.SweepSeconds);
        Assert.Equal(5 * Math.Log(2), sweep.HarmonicLeadSeconds(2), Exact * 10);
    }

    [Fact]
    public void Wrong_arguments_are_named()
    {
        Assert.Contains("sweep_s", Assert.Throws<ArgumentException>(() => Full.Lasting(0)).Message);
        Assert.Throws<ArgumentException>(() => Full.Between(500, 10));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.HarmonicLeadSeconds(0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.SecondsForLead(1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.SecondsForLead(2, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.SecondsForSnrGain(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.SpectrumDbAt(0));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.SecondsAt(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => Full.SnrDbAt(100, 0, -100, 0));
    }

    private static double Square(Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;
}
