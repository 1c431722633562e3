// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>What two inputs do not share when one signal is in both: the ratio of the microphone input to the loopback input, its gain set to 0 dB at its median, over frequency.</summary>
/// <remarks>
/// Taken bin by bin inside the band of the sweep, held outside it (where a division would give noise), its delay and sign kept apart, and cut to a window in time, which
/// smooths it over 1 Hz and takes the noise of the wires off. The gain itself is not part of it: the knob is usually turned for such a recording.
/// Source: derived; H · (M/R) is what a take divided by its loopback gives, M and R being the inputs.
/// </remarks>
internal sealed class InputRatio
{
    private const double LeftSeconds = 0.5, RightSeconds = 1.0;   // a coupling at 3 Hz has died by 90 dB where the window begins to fall
    private const double BelowRatio = 2;          // a wire's signal stands far above its noise an octave below the sweep too, and a bend so near the band would show in it
    private const double PathLeftSeconds = 0.05, PathRightSeconds = 0.3;
    private readonly double[] _samples;   // the ratio without delay and sign, the past last, circular
    private readonly int _left;

    private InputRatio(double[] samples, int left, int sampleRateHz, RelativeDelay skew) => (_samples, _left, SampleRateHz, Skew) = (samples, left, sampleRateHz, skew);

    internal int SampleRateHz { get; }

    /// <summary>By how much the microphone input is later, and whether it is reversed.</summary>
    internal RelativeDelay Skew { get; }

    /// <summary>Gain of the microphone input over the loopback input at the median of the band, in decibels; not corrected.</summary>
    internal double GainDb { get; private init; }

    /// <summary>The largest departure of the ratio's level from its median inside the band, in decibels.</summary>
    internal double LargestDb { get; private set; }

    /// <summary>The ratio of two channels that both hold the stimulus.</summary>
    /// <param name="plan">A plan that divides by the stimulus.</param>
    /// <param name="microphone">Channel of the microphone input.</param>
    /// <param name="reference">Channel of the loopback input.</param>
    internal static InputRatio Of(Deconvolution plan, double[] microphone, double[] reference)
    {
        var rate = plan.SampleRateHz;
        var (fromHz, toHz) = (plan.ExcitedFromHz * Math.Pow(2, 1 / 6.0), Math.Min(0.45 * rate, plan.ExcitedToHz * Math.Pow(2, -1 / 6.0)));
        var skew = RelativeDelay.Between(Path(plan, microphone), Path(plan, reference), fromHz, toHz);
        var length = StimulusSpectrum.EvenLength(microphone.Length + (int)((LeftSeconds + RightSeconds) * rate));
        var (one, other) = (FourierTransform.OfReal(microphone, length), FourierTransform.OfReal(reference, length));
        var binWidthHz = (double)rate / length;
        var (first, last) = ((int)Math.Ceiling(plan.ExcitedFromHz / BelowRatio / binWidthHz), Math.Min(one.Length - 1, (int)(Math.Min(0.49 * rate, plan.ExcitedToHz) / binWidthHz)));
        var ratio = new Complex[one.Length];
        for (var k = first; k <= last; k++)
            ratio[k] = other[k] == Complex.Zero ? Complex.One : skew.Polarity * Complex.FromPolarCoordinates(1, 2 * Math.PI * k * binWidthHz * skew.Seconds) * one[k] / other[k];
        var middle = Median(ratio, (int)Math.Ceiling(fromHz / binWidthHz), (int)(toHz / binWidthHz));
        for (var k = first; k <= last; k++) ratio[k] /= middle;
        Hold(ratio, first, last);
        var (left, right) = ((int)(LeftSeconds * rate), (int)(RightSeconds * rate));
        var pulse = FourierTransform.ToReal(ratio, length);
        var kept = new double[left + right];
        for (var n = -left; n < right; n++) kept[n < 0 ? n + kept.Length : n] = pulse[n < 0 ? n + length : n] * Weight(n, left, right);
        var found = new InputRatio(kept, left, rate, skew) { GainDb = Decibels.FromAmplitude(middle) };
        found.LargestDb = found.Largest(fromHz, toHz);
        return found;
    }

    /// <summary>The ratio at the bins of a transform, delay and sign included.</summary>
    internal Complex[] At(int transformLength)
    {
        var circular = new double[transformLength];
        for (var n = -_left; n < _samples.Length - _left; n++)
            circular[((n % transformLength) + transformLength) % transformLength] += _samples[n < 0 ? n + _samples.Length : n];
        var bins = FourierTransform.OfReal(circular, transformLength);
        for (var k = 0; k < bins.Length; k++)
            bins[k] *= Skew.Polarity * Complex.FromPolarCoordinates(1, -2 * Math.PI * k * SampleRateHz / transformLength * Skew.Seconds);
        return bins;
    }

    private double Largest(double fromHz, double toHz)
    {
        const int LooksPerBin = 4;
        var length = StimulusSpectrum.EvenLength(LooksPerBin * _samples.Length);
        var bins = At(length);
        var largest = 0.0;
        for (var k = (int)Math.Ceiling(fromHz * length / SampleRateHz); k <= (int)(toHz * length / SampleRateHz); k++)
            largest = Math.Max(largest, Math.Abs(Decibels.FromAmplitude(bins[k].Magnitude)));
        return largest;
    }

    private static ImpulseResponse Path(Deconvolution plan, double[] channel)
    {
        var whole = plan.Of(channel);
        var cut = new ImpulseWindow(PathLeftSeconds, PathRightSeconds).Cut(whole, Arrival.AtFirstPeak(whole).Seconds);
        return new(cut.Samples, cut.SampleRateHz, cut.TimeZeroSamples, Trust.TimeZero.Loopback, new("inputs"), "both inputs of one recording");   // one clock, so one time zero
    }

    private static double Median(Complex[] ratio, int first, int last)
    {
        var sizes = new double[Math.Min(1_000, last - first + 1)];
        for (var n = 0; n < sizes.Length; n++) sizes[n] = ratio[first + (int)((long)(last - first) * n / Math.Max(1, sizes.Length - 1))].Magnitude;
        Array.Sort(sizes);
        return sizes[sizes.Length / 2];
    }

    /// <summary>Outside the band the level stays, and the little phase that is left goes to zero in proportion to frequency below it and stays above it.</summary>
    private static void Hold(Complex[] ratio, int first, int last)
    {
        for (var k = 0; k < first; k++) ratio[k] = Complex.FromPolarCoordinates(ratio[first].Magnitude, ratio[first].Phase * k / first);
        for (var k = last + 1; k < ratio.Length; k++) ratio[k] = ratio[last];
        ratio[^1] = ratio[last].Magnitude;
    }

    private static double Weight(int n, int left, int right)
    {
        const double FlatPart = 0.75;
        var part = n < 0 ? (double)-n / left : (double)n / right;
        return part <= FlatPart ? 1 : 0.5 + 0.5 * Math.Cos(Math.PI * (part - FlatPart) / (1 - FlatPart));
    }
}
