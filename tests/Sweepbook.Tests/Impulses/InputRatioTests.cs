// SPDX-License-Identifier: MIT
using System.Numerics;
using MathNet.Numerics.IntegralTransforms;
using Sweepbook.Impulses;
using Sweepbook.Stimuli;
using Sweepbook.Tests.Studies;
using Sweepbook.Transforms;
using Sweepbook.Trust;
using Xunit;

namespace Sweepbook.Tests.Impulses;

/// <summary>
/// Two inputs whose couplings differ: high-passes jf/(jf + f0) at 7 Hz and 3 Hz, in closed form, and one of them 0.37 samples later. What a take shows without
/// a check is their ratio; with it, nothing of them.
/// </summary>
public sealed class InputRatioTests
{
    private const double MicrophoneHz = 7, ReferenceHz = 3, SkewSamples = 0.37, DistanceSamples = 480;
    private const double PromisedDb = 0.01, PromisedDegrees = 0.1;   // design, "Numerical promises"
    private static readonly Stimulus Sweep = SmallSurvey.Design;
    private static readonly double[] Microphone = Through(f => new Complex(0, f) / new Complex(MicrophoneHz, f));
    private static readonly double[] Reference = Through(f => new Complex(0, f) / new Complex(ReferenceHz, f) * Late(f, -SkewSamples));
    private static readonly double[] Heard = Through(f => new Complex(0, f) / new Complex(MicrophoneHz, f) * Late(f, DistanceSamples));

    [Theory]
    [InlineData(1.0)]
    [InlineData(-1.0)]
    public void After_the_check_nothing_of_the_inputs_is_left(double polarity)
    {
        double[] Wired(double[] channel) => [.. channel.Select(x => polarity * x)];
        var plan = Deconvolution.By(Sweep, Sweep.Length);
        var ratio = InputRatio.Of(plan, Wired(Microphone), Reference);
        Assert.Equal(SkewSamples, ratio.Skew.Seconds * SmallSurvey.Rate, 0.5);   // the couplings' own phase is not in it
        var (level, phase) = Worst(plan.DividedBy(Reference, new("g"), ratio).Of(Wired(Heard)));
        Assert.True(level <= PromisedDb, $"{level} dB");
        Assert.True(phase <= PromisedDegrees, $"{phase}°");
    }

    [Fact]
    public void Without_it_the_couplings_show()
    {
        var plan = Deconvolution.By(Sweep, Sweep.Length);
        var (level, phase) = Worst(plan.WithLoopback(Reference, new("g")).Of(Heard));
        Assert.True(level > 100 * PromisedDb);
        Assert.True(phase > 100 * PromisedDegrees);
    }

    [Fact]
    public void The_largest_difference_is_that_of_the_closed_form_at_the_bottom_of_the_band()
    {
        var plan = Deconvolution.By(Sweep, Sweep.Length);
        var fromHz = plan.ExcitedFromHz * Math.Pow(2, 1 / 6.0);
        var expected = 10 * Math.Log10((1 + Math.Pow(MicrophoneHz / fromHz, 2)) / (1 + Math.Pow(ReferenceHz / fromHz, 2)));
        Assert.Equal(expected, InputRatio.Of(plan, Microphone, Reference).LargestDb, 0.05);   // the nearest bin, 0.2 Hz wide, where the curve falls by 0.25 dB per hertz
    }

    /// <summary>The largest departure from a delay of 480 samples in the band that design promises.</summary>
    private static (double LevelDb, double PhaseDegrees) Worst(ImpulseResponse found)
    {
        var cut = new ImpulseWindow(1, 1).Cut(found, DistanceSamples / SmallSurvey.Rate);
        var (level, phase) = (0.0, 0.0);
        double[] frequencies = [.. Enumerable.Range(0, 200).Select(k => 10 * Math.Pow(2, 1 / 6.0) * Math.Pow(1_500, k / 199.0))];   // to 16.8 kHz, short of 20 000 · 2^(−1/6)
        foreach (var (value, f) in DiscreteTimeTransform.At(cut.Samples, cut.TimeZeroSamples, SmallSurvey.Rate, frequencies).Zip(frequencies))
        {
            var rest = value / Late(f, DistanceSamples);
            (level, phase) = (Math.Max(level, Math.Abs(20 * Math.Log10(rest.Magnitude))), Math.Max(phase, Math.Abs(rest.Phase) * 180 / Math.PI));
        }
        return (level, phase);
    }

    private static Complex Late(double frequencyHz, double samples) => Complex.FromPolarCoordinates(1, -2 * Math.PI * frequencyHz * samples / SmallSurvey.Rate);

    /// <summary>The stimulus through an analogue formula, by Math.NET's transform.</summary>
    private static double[] Through(Func<double, Complex> response)
    {
        const int Size = 1 << 19;
        var bins = Signals.Spectrum(Sweep.ToArray(), Size);
        bins[0] = bins[Size / 2] = 0;
        for (var k = 1; k < Size / 2; k++)
        {
            bins[k] *= response(k * (double)SmallSurvey.Rate / Size);
            bins[Size - k] = Complex.Conjugate(bins[k]);
        }
        Fourier.Inverse(bins, FourierOptions.AsymmetricScaling);
        return [.. bins.Take(Sweep.Length).Select(value => value.Real)];
    }
}
