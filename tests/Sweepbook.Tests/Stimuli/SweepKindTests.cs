// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using Sweepbook.Stimuli;
using Xunit;

namespace Sweepbook.Tests.Stimuli;

public sealed class SweepKindTests
{
    private const int Rate = 48_000;

    private static StimulusDescription Described(SweepKind kind) => new()
    {
        Kind = kind,
        SampleRateHz = Rate,
        StartHz = 20,
        EndHz = 20_000,
        SweepSeconds = 2,
        LeadInSeconds = 0,
        TailSeconds = 1,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.005,
    };

    [Fact]
    public void A_synchronised_stimulus_says_how_long_it_became()
    {
        // f₁T / ln 1000 = 5.79 becomes 6, so that T = 6/20 · ln 1000.
        var seconds = 0.3 * Math.Log(1000);
        var stimulus = Stimulus.From(Described(SweepKind.Synchronised));
        Assert.Equal(seconds, stimulus.Description.SweepSeconds, 12);
        Assert.Equal((int)Math.Round(seconds * Rate), stimulus.SweepEnd - stimulus.SweepStart);
        using var folder = new SurveyFolder();
        stimulus.Write(folder.At("s.toml"));
        Assert.Equal(stimulus.Description.SweepSeconds, Stimulus.Read(folder.At("s.toml")).Description.SweepSeconds);
    }

    [Fact]
    public void A_sweep_too_short_to_be_synchronised_is_refused() =>
        Assert.Contains("too short for its harmonics to be kept in phase", Assert.Throws<ArgumentException>(() => Stimulus.From(Described(SweepKind.Synchronised) with { SweepSeconds = 0.1 })).Message, StringComparison.Ordinal);

    [Theory]
    [InlineData(SweepKind.Synchronised)]
    [InlineData(SweepKind.Linear)]
    public void Its_zero_crossings_are_those_of_its_phase(SweepKind kind)
    {
        const double CrossingErrorCycles = 3e-4;   // found on a straight line between two samples, up to 1 kHz: (2π · 1/48)² / 8 of a step's curvature at most
        var stimulus = Stimulus.From(Described(kind) with { FadeInSeconds = 0, FadeOutSeconds = 0 });
        var (law, checkedCycles) = (stimulus.Description.Law, 0);
        for (var n = 1; n < stimulus.SweepEnd - 1; n++)
        {
            if (!(stimulus[n] <= 0 && stimulus[n + 1] > 0)) continue;
            var t = (n + stimulus[n] / (stimulus[n] - stimulus[n + 1])) / Rate;
            // Written out anew: f₁L(e^{t/L} − 1) with f₁L = 6, and f₁t + (f₂ − f₁)t²/2T.
            var cycles = kind == SweepKind.Linear ? 20 * t + (20_000 - 20) * t * t / 4 : 6 * (Math.Exp(t / 0.3) - 1);
            if (law.FrequencyHzAt(t) > 1_000) break;
            Assert.InRange(cycles - Math.Round(cycles), -CrossingErrorCycles, CrossingErrorCycles);
            checkedCycles++;
        }
        Assert.InRange(checkedCycles, 40, 400);
    }

    [Theory]
    [InlineData(1_500)]   // the fade has passed at 520 Hz
    [InlineData(5_000)]
    [InlineData(15_000)]
    public void The_spectrum_of_a_linear_sweep_is_flat(double frequencyHz)
    {
        // |X| = A/2 · √(T / (f₂ − f₁)), stationary phase; the power mean takes the ripple of the ends out.
        const double MidBandDb = 0.1;
        var stimulus = Stimulus.From(Described(SweepKind.Linear));
        var spectrum = stimulus.ToArray().Select(sample => new Complex(sample / Rate, 0)).ToArray();
        Fourier.Forward(spectrum, FourierOptions.AsymmetricScaling);   // unscaled forward
        var binHz = (double)Rate / spectrum.Length;
        var (sum, count) = (0.0, 0);
        for (var k = (int)(frequencyHz / 1.2 / binHz); k <= frequencyHz * 1.2 / binHz; k++) (sum, count) = (sum + spectrum[k].Magnitude * spectrum[k].Magnitude, count + 1);
        var expected = 0.25 * Math.Pow(10, -0.6) * 2 / (20_000 - 20);
        Assert.InRange(10 * Math.Log10(sum / count / expected), -MidBandDb, MidBandDb);
    }
}
