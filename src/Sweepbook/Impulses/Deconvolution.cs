// SPDX-License-Identifier: MIT
using System.Buffers;
using System.Numerics;
using MathNet.Numerics.Statistics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;
using Sweepbook.Trust;

namespace Sweepbook.Impulses;

/// <summary>Turns takes of one stimulus into impulse responses by spectral division: H = B · Y / D, where D is the stimulus or the take's own loopback.</summary>
/// <remarks>
/// Inside the band the division is exact and unregularised; B falls to zero outside it (raised cosine, two octaves below, a sixth above),
/// because there the stimulus has no energy to divide by. The transform is long enough for a linear convolution, so nothing wraps round.
/// With <see cref="WithLoopback"/> what both inputs share, gain, filters and latency, cancels.
/// Misleads where the take was cut before the room had decayed: the lost tail is missing from the low frequencies first.
/// Source: S. Müller, P. Massarani, "Transfer-Function Measurement with Sweeps", J. Audio Eng. Soc. 49 (2001) 443–471 (fact sheet 5.9).
/// </remarks>
public sealed class Deconvolution
{
    private const double FloorBelowSlopeDb = 20;   // outside the band only: how far below its slope the divisor may fall before noise would rule
    private readonly StimulusSpectrum _spectrum;
    private readonly Complex[] _inverse;   // B / D
    private readonly int _takeLength;
    private readonly Lazy<HarmonicPlan> _harmonics;

    private Deconvolution(StimulusSpectrum spectrum, ReadOnlySpan<Complex> divisor, int takeLength, TimeZero timeZero, TimeGroup timeGroup)
    {
        (_spectrum, _takeLength, TimeZero, TimeGroup) = (spectrum, takeLength, timeZero, timeGroup);
        _inverse = Inverse(spectrum, divisor);
        _harmonics = new(() => new(spectrum.Stimulus, spectrum.Length));
    }

    /// <summary>Division by the stimulus alone: the latency of the devices stays in the result and the time zero is unknown.</summary>
    /// <param name="stimulus">What was played.</param>
    /// <param name="takeLength">Length of the takes to come, in samples, 1 or more.</param>
    /// <returns>A plan that may be used for any number of takes of that length, from several threads.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The length is below one sample.</exception>
    public static Deconvolution By(Stimulus stimulus, int takeLength)
    {
        ArgumentNullException.ThrowIfNull(stimulus);
        ArgumentOutOfRangeException.ThrowIfLessThan(takeLength, 1);
        var spectrum = new StimulusSpectrum(stimulus, StimulusSpectrum.EvenLength(stimulus.Length + takeLength));
        return new(spectrum, spectrum.Bins, takeLength, TimeZero.Unknown, TimeGroup.None);
    }

    /// <summary>The same plan, dividing by the loopback channel of one take instead of the stimulus: its latency becomes time zero.</summary>
    /// <param name="loopback">The reference channel, as long as the take. Full scale is ±1.</param>
    /// <param name="timeGroup">Group whose members share this time zero.</param>
    /// <returns>A plan for the other channels of that take.</returns>
    /// <exception cref="ArgumentException">The length differs from the plan's, or the channel is silent.</exception>
    public Deconvolution WithLoopback(ReadOnlySpan<double> loopback, TimeGroup timeGroup) => DividedBy(loopback, timeGroup, null);

    /// <summary>The same, with what the two inputs do not share divided out as well.</summary>
    internal Deconvolution DividedBy(ReadOnlySpan<double> loopback, TimeGroup timeGroup, InputRatio? inputs)
    {
        RefuseOtherLength(loopback.Length, nameof(loopback));
        if (loopback.IndexOfAnyExcept(0.0) < 0) throw new ArgumentException("Is silent; it must hold the stimulus.", nameof(loopback));
        var divisor = FourierTransform.OfReal(loopback, _spectrum.Length);
        if (inputs?.At(_spectrum.Length) is { } ratio)
            for (var k = 0; k < divisor.Length; k++) divisor[k] *= ratio[k];
        return new(_spectrum, divisor, _takeLength, TimeZero.Loopback, timeGroup);
    }

    /// <summary>Gain of a channel over the divisor: the median of the magnitude over the band, equally many frequencies to an octave.</summary>
    internal double GainRatioOf(ReadOnlySpan<double> channel)
    {
        const int Points = 500;
        RefuseOtherLength(channel.Length, nameof(channel));
        var bins = FourierTransform.OfReal(channel, _spectrum.Length);
        var (fromHz, toHz) = (_spectrum.ExcitedFromHz, _spectrum.ExcitedToHz);
        var gains = new double[Points];
        for (var n = 0; n < Points; n++)
        {
            var k = Math.Min(bins.Length - 1, (int)Math.Round(fromHz * Math.Pow(toHz / fromHz, (n + 0.5) / Points) / _spectrum.BinWidthHz));
            gains[n] = (bins[k] * _inverse[k]).Magnitude;
        }
        return gains.Median();
    }

    internal int SampleRateHz => _spectrum.Stimulus.SampleRateHz;

    /// <summary>How the harmonics of this stimulus are read, made once for all takes.</summary>
    internal HarmonicPlan Harmonics => _harmonics.Value;

    /// <summary>How the results know their time zero.</summary>
    public TimeZero TimeZero { get; }

    /// <summary>Group whose members share the time zero.</summary>
    public TimeGroup TimeGroup { get; }

    /// <summary>Lowest frequency at which the stimulus is within 10 dB of its designed slope, in hertz.</summary>
    public double ExcitedFromHz => _spectrum.ExcitedFromHz;

    /// <summary>Highest frequency at which the stimulus is within 10 dB of its designed slope, in hertz.</summary>
    public double ExcitedToHz => _spectrum.ExcitedToHz;

    /// <summary>The impulse response of one channel of a take, the whole record: the past of the time zero first.</summary>
    /// <param name="take">Samples, full scale ±1, of the length the plan was made for.</param>
    /// <returns>Linear output over input, <c>stimulus + take</c> samples long; harmonics of a sweep lie before the time zero.</returns>
    /// <exception cref="ArgumentException">The length differs from the plan's.</exception>
    public ImpulseResponse Of(ReadOnlySpan<double> take)
    {
        RefuseOtherLength(take.Length, nameof(take));
        var past = _spectrum.Stimulus.Length;
        var samples = new double[past + _takeLength];
        var (binsLent, circularLent) = (ArrayPool<Complex>.Shared.Rent(_inverse.Length), ArrayPool<double>.Shared.Rent(_spectrum.Length));
        var bins = binsLent.AsSpan(0, _inverse.Length);
        var circular = circularLent.AsSpan(0, _spectrum.Length);
        FourierTransform.OfReal(take, _spectrum.Length, bins);
        for (var k = 0; k < bins.Length; k++) bins[k] *= _inverse[k];
        FourierTransform.ToReal(bins, circular);
        circular[^past..].CopyTo(samples);
        circular[.._takeLength].CopyTo(samples.AsSpan(past));
        ArrayPool<Complex>.Shared.Return(binsLent);
        ArrayPool<double>.Shared.Return(circularLent);
        return ImpulseResponse.Owning(samples, _spectrum.Stimulus.SampleRateHz, past, TimeZero, TimeGroup,
            TimeZero == TimeZero.Loopback ? "divided by the loopback channel" : "divided by the stimulus");
    }

    /// <summary>
    /// Expected noise power of a windowed response: a silent block sent through the same division, times the window's Σw² over the block's Σb².
    /// </summary>
    /// <param name="silence">A block of the same channel in which nothing played, full scale ±1; at least a quarter of a second is sensible.</param>
    /// <param name="window">The window that the response will be cut with.</param>
    /// <param name="grid">Frequencies to evaluate.</param>
    /// <param name="stepRatio">One step of the file over full scale, or zero: rounding to it is noise even where the block is all zeros.</param>
    /// <returns>Squared magnitude per grid point, smoothed over a third of an octave, linear, in the unit of |H|².</returns>
    /// <exception cref="ArgumentException">The block is empty or longer than a take.</exception>
    /// <remarks>
    /// Stationary noise is assumed: a door that slams during the sweep is not in it. A block shorter than a few periods of the lowest
    /// frequency scatters there by several decibels. Derivation: the transform of white noise of density S, weighted with w, has the expectation S · Σw².
    /// </remarks>
    public double[] NoisePowerOf(ReadOnlySpan<double> silence, ImpulseWindow window, LogGrid grid, double stepRatio = 0) =>
        NoiseOf(silence, window, grid, stepRatio).ThirdOctave;

    /// <summary>The same with mains hum told apart from the rest.</summary>
    internal MeasurementNoise NoiseOf(ReadOnlySpan<double> silence, ImpulseWindow window, LogGrid grid, double stepRatio = 0)
    {
        ArgumentNullException.ThrowIfNull(grid);
        var gainPower = new double[_inverse.Length];
        for (var k = 0; k < gainPower.Length; k++) gainPower[k] = Square(_inverse[k]);
        return MeasurementNoise.Of(BlockDensity(silence), gainPower, _spectrum.BinWidthHz, silence.Length, stepRatio, window, _spectrum.Stimulus.SampleRateHz, grid);
    }

    /// <summary>Largest value of the take's correlation with the stimulus over its root mean square: the sharpest test for a sweep under noise.</summary>
    /// <param name="take">Samples, full scale ±1, of the plan's length.</param>
    internal double CorrelationPeakRatio(ReadOnlySpan<double> take)
    {
        RefuseOtherLength(take.Length, nameof(take));
        var bins = FourierTransform.OfReal(take, _spectrum.Length);
        for (var k = 0; k < bins.Length; k++) bins[k] *= Complex.Conjugate(_spectrum.Bins[k]);
        var (peak, energy) = (0.0, 0.0);
        foreach (var value in FourierTransform.ToReal(bins, _spectrum.Length))
        {
            peak = Math.Max(peak, Math.Abs(value));
            energy += value * value;
        }
        return energy == 0 ? 0 : peak / Math.Sqrt(energy / _spectrum.Length);
    }

    /// <summary>Signal-to-noise ratio of a reference channel over the whole record, in decibels per grid point.</summary>
    /// <param name="loopback">The reference channel, of the plan's length.</param>
    /// <param name="silence">A block of the same channel in which nothing played.</param>
    /// <param name="grid">Frequencies to evaluate.</param>
    internal double[] LoopbackSnrDb(ReadOnlySpan<double> loopback, ReadOnlySpan<double> silence, LogGrid grid)
    {
        var signal = Smoothing.PowerMean(StimulusSpectrum.Powers(FourierTransform.OfReal(loopback, _spectrum.Length)),
            _spectrum.BinWidthHz, grid.FrequenciesHz, NoiseSmoothingOctaves);
        var noise = Smoothing.PowerMean(BlockDensity(silence), _spectrum.BinWidthHz, grid.FrequenciesHz, NoiseSmoothingOctaves);
        for (var k = 0; k < signal.Length; k++)
            signal[k] = noise[k] > 0 ? Decibels.FromPower(signal[k] / (noise[k] * _takeLength)) : double.PositiveInfinity;
        return signal;
    }

    private const double NoiseSmoothingOctaves = 1 / 3.0;

    /// <summary>Power density of a block, |transform|² / Σb², per bin of the plan's grid, with a Hann taper against leaking hum.</summary>
    internal double[] BlockDensity(ReadOnlySpan<double> silence)
    {
        if (silence.Length is 0 || silence.Length > _spectrum.Length)
            throw new ArgumentException($"Has {silence.Length} samples; must be in [1, {_spectrum.Length}].", nameof(silence));
        var taper = Window.Hann(silence.Length);
        var tapered = new double[silence.Length];
        var energy = 0.0;
        var mean = 0.0;
        foreach (var sample in silence) mean += sample / silence.Length;   // an offset is not noise of the band
        for (var n = 0; n < tapered.Length; n++)
        {
            tapered[n] = (silence[n] - mean) * taper[n];
            energy += taper[n] * taper[n];
        }
        var power = StimulusSpectrum.Powers(FourierTransform.OfReal(tapered, _spectrum.Length));
        for (var k = 0; k < power.Length; k++) power[k] /= energy;
        return power;
    }

    private static Complex[] Inverse(StimulusSpectrum spectrum, ReadOnlySpan<Complex> divisor)
    {
        var description = spectrum.Stimulus.Description;
        var (insideFromHz, insideToHz) = (description.StartHz * Math.Pow(2, 1 / 6.0), description.EndHz * Math.Pow(2, -1 / 6.0));
        var floor = GainPower(spectrum, divisor, insideFromHz, insideToHz) * Decibels.ToPowerRatio(-FloorBelowSlopeDb);
        var inverse = new Complex[divisor.Length];
        for (var k = 1; k < inverse.Length; k++)   // bin 0 stays zero: a sweep has no direct current to divide by
        {
            var frequencyHz = k * spectrum.BinWidthHz;
            var weight = BandWeight(spectrum, frequencyHz);
            if (weight == 0) continue;
            if (frequencyHz >= insideFromHz && frequencyHz <= insideToHz)
                inverse[k] = divisor[k] == Complex.Zero ? Complex.Zero : weight / Square(divisor[k]) * Complex.Conjugate(divisor[k]);
            else
                inverse[k] = weight * Complex.Conjugate(divisor[k]) / Math.Max(Square(divisor[k]), floor * spectrum.SlopePowerAt(frequencyHz));
        }
        return inverse;
    }

    /// <summary>Power gain of the divisor over the designed slope: the median over the band's bins, so that no resonance decides.</summary>
    private static double GainPower(StimulusSpectrum spectrum, ReadOnlySpan<Complex> divisor, double fromHz, double toHz)
    {
        var first = Math.Max(1, (int)Math.Ceiling(fromHz / spectrum.BinWidthHz));
        var last = Math.Min(divisor.Length - 1, (int)(toHz / spectrum.BinWidthHz));
        if (last < first) return 1;
        var gains = new double[Math.Min(1000, last - first + 1)];
        for (var n = 0; n < gains.Length; n++)
        {
            var k = first + (int)((long)(last - first) * n / Math.Max(1, gains.Length - 1));
            gains[n] = Square(divisor[k]) / spectrum.SlopePowerAt(k * spectrum.BinWidthHz);
        }
        Array.Sort(gains);
        return gains[gains.Length / 2];
    }

    private static double BandWeight(StimulusSpectrum spectrum, double frequencyHz)
    {
        const double BelowOctaves = 2, AboveOctaves = 1 / 6.0;
        var halfRateHz = spectrum.Stimulus.SampleRateHz / 2.0;
        if (frequencyHz < spectrum.ExcitedFromHz)
            return RaisedCosine(Math.Log2(spectrum.ExcitedFromHz / frequencyHz) / BelowOctaves);
        if (frequencyHz <= spectrum.ExcitedToHz) return 1;
        var aboveOctaves = Math.Min(AboveOctaves, Math.Log2(halfRateHz / spectrum.ExcitedToHz));
        return aboveOctaves <= 0 ? 0 : RaisedCosine(Math.Log2(frequencyHz / spectrum.ExcitedToHz) / aboveOctaves);
    }

    private static double RaisedCosine(double part) => part >= 1 ? 0 : 0.5 + 0.5 * Math.Cos(Math.PI * part);

    private static double Square(Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;

    private void RefuseOtherLength(int length, string name)
    {
        if (length != _takeLength) throw new ArgumentException($"Has {length} samples; this plan was made for {_takeLength}.", name);
    }
}
