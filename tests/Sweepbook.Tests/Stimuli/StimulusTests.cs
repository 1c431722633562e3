// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using Sweepbook.Files;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

public sealed class StimulusTests
{
    private const double QuantisationHalfStep = 0.5 / (1 << 23);   // 24-bit integers

    private static StimulusDescription Described => new()
    {
        SampleRateHz = 48_000,
        StartHz = 20,
        EndHz = 20_000,
        SweepSeconds = 2,
        LeadInSeconds = 0.25,
        TailSeconds = 0.5,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.005,
    };

    [Fact]
    public void Lengths_are_those_of_the_description_and_the_ends_are_silent()
    {
        var stimulus = Stimulus.From(Described);
        Assert.Equal(12_000 + 96_000 + 24_000, stimulus.Length);
        Assert.Equal((12_000, 108_000), (stimulus.SweepStart, stimulus.SweepEnd));
        var samples = stimulus.ToArray();
        Assert.All(samples[..12_000], sample => Assert.Equal(0, sample));
        Assert.All(samples[108_000..], sample => Assert.Equal(0, sample));
    }

    [Fact]
    public void The_frequency_at_every_zero_crossing_pair_is_the_one_of_the_formula()
    {
        // Fact 5.1: f(t) = f1 · e^(t/L), L = T / ln(f2/f1). Between two rising crossings the mean frequency is one cycle over their distance,
        // and the phase of the formula gains exactly one cycle.
        const double CrossingErrorCycles = 3e-5;   // the crossing is found on a straight line between two samples; see the limit of 2 kHz below
        var stimulus = Stimulus.From(Described with { FadeInSeconds = 0, FadeOutSeconds = 0 });
        var octaveConstant = 2 / Math.Log(1000);
        var crossings = new List<double>();
        for (var n = stimulus.SweepStart + 1; n < stimulus.SweepEnd - 1; n++)
            if (stimulus[n] <= 0 && stimulus[n + 1] > 0)
                crossings.Add((n - stimulus.SweepStart + stimulus[n] / (stimulus[n] - stimulus[n + 1])) / 48_000);
        Assert.InRange(crossings.Count, 5_000, 6_000);   // f1·L·(e^(T/L) − 1) = 5 784 cycles
        double Cycles(double t) => 20 * octaveConstant * (Math.Exp(t / octaveConstant) - 1);
        var slow = crossings.Where(t => 20 * Math.Exp(t / octaveConstant) < 500).ToList();
        Assert.InRange(slow.Count, 100, 200);
        foreach (var t in slow) Assert.InRange(Cycles(t) - Math.Round(Cycles(t)), -CrossingErrorCycles, CrossingErrorCycles);
    }

    [Theory]
    [InlineData(100)]
    [InlineData(400)]
    [InlineData(1_000)]
    [InlineData(5_000)]
    public void The_spectrum_falls_as_half_the_root_of_L_over_f(double frequencyHz)
    {
        // Fact 5.4: |X(f)| = A/2 · √(L/f), mid-band; power mean over a sixth of an octave because the fades leave ripple.
        const double MidBandDb = 0.1;
        var stimulus = Stimulus.From(Described with { LeadInSeconds = 0, TailSeconds = 1 });
        var spectrum = stimulus.ToArray().Select(sample => new Complex(sample / 48_000, 0)).ToArray();
        Fourier.Forward(spectrum, FourierOptions.AsymmetricScaling);   // unscaled forward
        var binHz = 48_000.0 / spectrum.Length;
        var octaveConstant = 2 / Math.Log(1000);
        var (sum, expected) = (0.0, 0.0);
        for (var k = (int)(frequencyHz * Math.Pow(2, -1 / 12.0) / binHz); k <= frequencyHz * Math.Pow(2, 1 / 12.0) / binHz; k++)
        {
            sum += spectrum[k].Magnitude * spectrum[k].Magnitude;
            expected += 0.25 * octaveConstant / (k * binHz) * Math.Pow(10, -0.6);
        }
        Assert.InRange(10 * Math.Log10(sum / expected), -MidBandDb, MidBandDb);
    }

    [Fact]
    public void The_peak_is_the_level_and_full_scale_does_not_clip()
    {
        const double LevelDb = 0.001;   // the fastest cycles are sampled beside their peak, the slow ones are not
        Assert.InRange(20 * Math.Log10(Stimulus.From(Described).ToArray().Max(Math.Abs)), -6 - LevelDb, -6 + LevelDb);
        Assert.Equal(1 - 1.0 / (1 << 23), Stimulus.From(Described with { LevelDbfs = 0 }).ToArray().Max());
        Assert.Equal(-1, Stimulus.From(Described with { LevelDbfs = 0 }).ToArray().Min());
    }

    [Fact]
    public void Fades_are_half_cosines_inside_the_sweep()
    {
        var (faded, plain) = (Stimulus.From(Described), Stimulus.From(Described with { FadeInSeconds = 0, FadeOutSeconds = 0 }));
        const int In = 2_400, Out = 240;
        for (var n = 0; n < 96_000; n++)
        {
            var window = (n < In ? 0.5 - 0.5 * Math.Cos(Math.PI * n / In) : 1) * (95_999 - n < Out ? 0.5 - 0.5 * Math.Cos(Math.PI * (95_999 - n) / Out) : 1);
            Assert.InRange(faded[faded.SweepStart + n] - window * plain[plain.SweepStart + n], -2.01 * QuantisationHalfStep, 2.01 * QuantisationHalfStep);
        }
        Assert.Equal(0, faded[faded.SweepEnd - 1]);
    }

    [Fact]
    public void A_stimulus_read_back_equals_the_one_written()
    {
        using var folder = new SurveyFolder();
        var path = folder.At("stimuli/full.toml");
        var written = Stimulus.From(Described);
        written.Write(path);
        var read = Stimulus.Read(path, "stimuli/full.toml");
        Assert.Equal(written.Length, read.Length);
        Assert.Equal(written.ToArray(), read.ToArray());
        Assert.Equal(written.Description with { File = "full.wav", Sha256 = FileHash.Sha256(folder.At("stimuli/full.wav")) }, read.Description);
        Assert.Equal(["full.toml", "full.wav"], folder.Files("stimuli"));
    }

    [Theory]
    [InlineData("full.toml")]
    [InlineData("full.wav")]
    public void Neither_file_is_overwritten(string existing)
    {
        using var folder = new SurveyFolder();
        folder.Put(existing, "mine");
        var fault = Assert.Throws<DataFault>(() => Stimulus.From(Described).Write(folder.At("full.toml")));
        Assert.Contains("exists already and is not overwritten", fault.Message, StringComparison.Ordinal);
        Assert.Equal([existing], folder.Files(""));
        Assert.Equal("mine", File.ReadAllText(folder.At(existing)));
    }

    [Fact]
    public void No_wav_is_left_behind_where_the_description_cannot_be_written()
    {
        using var folder = new SurveyFolder();
        Directory.CreateDirectory(folder.At("full.toml"));
        Assert.Throws<DataFault>(() => Stimulus.From(Described).Write(folder.At("full.toml")));
        Assert.Empty(folder.Files(""));
    }

    [Fact]
    public void A_wav_that_was_changed_is_refused_by_its_sha()
    {
        using var folder = new SurveyFolder();
        Stimulus.From(Described).Write(folder.At("full.toml"));
        var bytes = File.ReadAllBytes(folder.At("full.wav"));
        bytes[^1000] ^= 1;
        File.WriteAllBytes(folder.At("full.wav"), bytes);
        var fault = Assert.Throws<DataFault>(() => Stimulus.Read(folder.At("full.toml"), "full.toml"));
        Assert.StartsWith("full.toml:3: full.wav is not the file that was described: its SHA-256 begins with ", fault.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(44_100, 1, "full.wav: the sample rate is 44100 Hz, the stimulus has 48000 Hz: the 44.1/48 kHz mix-up. ")]
    [InlineData(96_000, 1, "full.wav: the sample rate is 96000 Hz, the stimulus has 48000 Hz. ")]
    [InlineData(48_000, 2, "full.wav: the file has 2 channels, the description asks for 1. ")]
    [InlineData(48_000, 1, "full.wav: the file has 100 samples, the description says 132000 (lead-in, sweep and tail). ")]
    public void A_wav_unlike_its_description_is_refused(int rateHz, int channels, string begin)
    {
        using var folder = new SurveyFolder();
        WavFile.Write(folder.At("full.wav"), new(rateHz, [.. Enumerable.Range(0, channels).Select(_ => new double[100])]), WavEncoding.Integer24);
        folder.Put("full.toml", (Described with { File = "full.wav", Sha256 = FileHash.Sha256(folder.At("full.wav")) }).ToToml());
        Assert.StartsWith(begin, Assert.Throws<DataFault>(() => Stimulus.Read(folder.At("full.toml"), "full.toml")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_missing_wav_and_a_missing_sum_are_named()
    {
        using var folder = new SurveyFolder();
        folder.Put("full.toml", (Described with { File = "gone.wav" }).ToToml());
        Assert.StartsWith("stimuli/gone.wav: there is no such file", Assert.Throws<DataFault>(() => Stimulus.Read(folder.At("full.toml"), "stimuli/full.toml")).Message, StringComparison.Ordinal);
        WavFile.Write(folder.At("gone.wav"), new(48_000, [new double[100]]), WavEncoding.Integer24);
        Assert.Contains($"add sha256 = \"{FileHash.Sha256(folder.At("gone.wav"))}\"", Assert.Throws<DataFault>(() => Stimulus.Read(folder.At("full.toml"))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_described_and_cannot_be_used_yet_says_so()
    {
        foreach (var (description, words) in new (StimulusDescription, string)[]
        {
            (Described with { Repeats = 2 }, "a stimulus that repeats its sweep 2 times is not supported yet"),
        })
        {
            Assert.Contains(words, Assert.Throws<DataFault>(() => Stimulus.From(description)).Message, StringComparison.Ordinal);
            using var folder = new SurveyFolder();
            folder.Put("s.toml", (description with { File = "s.wav" }).ToToml());
            Assert.Contains(words, Assert.Throws<DataFault>(() => Stimulus.Read(folder.At("s.toml"))).Message, StringComparison.Ordinal);
        }
    }
}
