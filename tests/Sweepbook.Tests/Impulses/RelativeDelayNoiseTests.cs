// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using Sweepbook.Impulses;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

/// <summary>
/// Two takes of a subwoofer in white noise, 20 dB below the sweep within the band, against the Cramér–Rao bound: the variance of a delay is at least
/// 1 / Σ 2 ω² |Y|² / (N σ²) over the bins of the record for each take, and for the difference of two the sum of both.
/// Source: S. M. Kay, "Fundamentals of Statistical Signal Processing: Estimation Theory" (1993), example 3.13 (from memory); derived again here from Σ (∂s/∂τ)² / σ².
/// </summary>
public sealed class RelativeDelayNoiseTests
{
    private const int Rate = 2_000, Size = 1 << 15, Seeds = 100;
    private const double FromHz = 10, ToHz = 200, DelaySeconds = 0.00342;
    private static readonly TimeGroup Group = new("loopback");

    private static readonly Stimulus Sweep = Stimulus.From(new StimulusDescription
    {
        SampleRateHz = Rate,
        StartHz = FromHz,
        EndHz = ToHz,
        SweepSeconds = 10,
        LeadInSeconds = 1,
        TailSeconds = 1.5,
        LevelDbfs = -6,
        FadeInSeconds = 0.05,
        FadeOutSeconds = 0.005,
    });

    [Fact]
    public void A_subwoofers_relative_delay_keeps_within_one_and_a_half_bounds_and_ten_microseconds()
    {
        const double Promised = 1.5, TenMicroseconds = 1e-5;   // design, "Numerical promises"
        var (front, rear) = (Source(0.010, 1), Source(0.010 + DelaySeconds, 0.7));
        var sigma = NoiseRatio(front);
        var bound = Math.Sqrt(1 / Information(front, sigma) + 1 / Information(rear, sigma * 0.7));
        var (squares, claimed, mean) = (0.0, 0.0, 0.0);
        for (var seed = 0; seed < Seeds; seed++)
        {
            var found = Delay(Noisy(rear, 0.7 * sigma, 2 * (ulong)seed + 1), Noisy(front, sigma, 2 * (ulong)seed + 2));
            var error = found.Seconds - DelaySeconds;
            (squares, mean, claimed) = (squares + error * error / Seeds, mean + error / Seeds, claimed + found.UncertaintySeconds / Seeds);
            Assert.Equal("same", found.PolarityInWords);
        }
        var scatter = Math.Sqrt(squares);
        TestContext.Current.SendDiagnosticMessage(FormattableString.Invariant($"rms error {scatter * 1e6:0.00} µs, bound {bound * 1e6:0.00} µs, ratio {scatter / bound:0.000}, mean {mean * 1e6:0.00} µs, claimed {claimed * 1e6:0.00} µs"));
        Assert.True(scatter <= Promised * bound, FormattableString.Invariant($"{scatter} s against a bound of {bound} s"));
        Assert.True(scatter <= TenMicroseconds);
        Assert.InRange(scatter, 0.8 * bound, double.PositiveInfinity);   // 100 seeds: a standard deviation is known to 7 %; less than the bound would be a mistake in it
        Assert.True(Math.Abs(mean) <= 3 * scatter / Math.Sqrt(Seeds));
        Assert.InRange(claimed / scatter, 0.8, 1.6);   // the larger of two estimates of one figure is a little too large
    }

    private static RelativeDelay Delay(double[] rear, double[] front)
    {
        var plan = Deconvolution.By(Sweep, Sweep.Length).WithLoopback(Sweep.ToArray(), Group);
        var window = new ImpulseWindow(0.2, 1.0);
        var (one, other) = (Heard(plan, rear, window), Heard(plan, front, window));
        return RelativeDelay.Between(one.Impulse, other.Impulse, FromHz, ToHz, CrossPhase.VarianceOf(one.Response, other.Response), window.EnergySamples(Rate) / Rate);
    }

    private static (ImpulseResponse Impulse, Response Response) Heard(Deconvolution plan, double[] take, ImpulseWindow window)
    {
        var grid = LogGrid.Between(96, FromHz, ToHz);
        var impulse = window.Cut(plan.Of(take), 0.02);
        var spectrum = GridSpectrum.Of(impulse, grid);
        var mask = Limits.From(grid.ToArray(), 0, default);
        var noise = plan.NoisePowerOf(take.AsSpan(0, (int)(0.9 * Rate)), window, grid);
        return (impulse, new(grid, spectrum.Values, spectrum.CellPower, noise, new bool[grid.Count], mask, mask, Group, LevelReference.Loopback));
    }

    /// <summary>The sweep behind a high-pass of second order at 25 Hz and a low-pass at 120 Hz, analogue formulas, and a delay, by Math.NET's transform.</summary>
    private static double[] Source(double seconds, double gain)
    {
        var bins = Signals.Spectrum(Sweep.ToArray(), Size);
        for (var k = 0; k <= Size / 2; k++)
        {
            var (high, low) = (new Complex(0, k * (double)Rate / Size / 25), new Complex(0, k * (double)Rate / Size / 120));
            bins[k] *= gain * high * high / (high * high + Math.Sqrt(2) * high + 1) / (low * low + Math.Sqrt(2) * low + 1)
                * Complex.FromPolarCoordinates(1, -2 * Math.PI * k * Rate / Size * seconds);
            if (k is > 0 and < Size / 2) bins[Size - k] = Complex.Conjugate(bins[k]);
        }
        bins[Size / 2] = 0;
        Fourier.Inverse(bins, FourierOptions.AsymmetricScaling);
        return [.. bins.Take(Sweep.Length).Select(value => value.Real)];
    }

    /// <summary>White noise whose part within the band lies 20 dB below the sounding sweep.</summary>
    private static double NoiseRatio(double[] take)
    {
        var power = take.Sum(x => x * x) / (Sweep.SweepEnd - Sweep.SweepStart);
        return Math.Sqrt(power / 100 / ((ToHz - FromHz) / (Rate / 2.0)));
    }

    private static double Information(double[] take, double sigma)
    {
        var bins = Signals.Spectrum(take, Size);
        var sum = 0.0;
        for (var k = 1; k < Size / 2; k++)
        {
            var frequencyHz = k * (double)Rate / Size;
            if (frequencyHz is >= FromHz and <= ToHz) sum += 2 * Math.Pow(2 * Math.PI * frequencyHz, 2) * bins[k].Magnitude * bins[k].Magnitude / (Size * sigma * sigma);
        }
        return sum;
    }

    private static double[] Noisy(double[] take, double sigma, ulong seed)
    {
        var hiss = Signals.Noise(take.Length, seed * 0xD1B54A32D192ED03);
        return [.. take.Select((x, n) => x + sigma * hiss[n])];
    }
}
