// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>Divides a recording by the marker inside the marker's band: every path from the marker's loudspeaker becomes the same short pulse, 1 high where nothing is lost.</summary>
/// <remarks>
/// Two band weights over u, the place of ln f between the marker's ends: a broad one, which is close to the best possible timing, and a narrow one (Hann over frequency),
/// whose pulse has side lobes 31 dB down, so that no arrival is seen where none is. Source: derived; spectral division as in <see cref="Deconvolution"/>.
/// </remarks>
internal sealed class MarkerFilter
{
    private const int GuardSamples = 1024;      // the pulse of either weight is over within 20 ms
    private const int PulseLines = 256;
    private const double RiseFrom = 0.03, RiseTo = 0.25, FallFrom = 0.85, FallTo = 0.97;   // the marker's own fades take a tenth of it at either end
    private readonly double[] _marker;
    private readonly SweepLaw _law;
    private const double PulseSeconds = 0.002;  // on either side: what lies further out is below −60 dB
    private const int PulseSteps = 32;          // per sample: a cubic between them errs by less than −140 dB
    private readonly (double Value, double Slope)[] _pulse;   // from its middle on, slope per step

    internal MarkerFilter(Stimulus stimulus)
    {
        var description = stimulus.Description;
        _law = description.Marker!.Law;
        SampleRateHz = stimulus.SampleRateHz;
        _marker = stimulus.MarkerSamples.Slice(description.ToSamples(description.Marker.StartSeconds), description.ToSamples(description.Marker.LengthSeconds)).ToArray();
        var lines = new (double FrequencyHz, double WeightRatio)[PulseLines];
        var (sum, squares, noise, noiseSquares) = (0.0, 0.0, 0.0, 0.0);
        for (var k = 0; k < PulseLines; k++)
        {
            var frequencyHz = _law.StartHz + (k + 0.5) * (_law.EndHz - _law.StartHz) / PulseLines;
            var weight = Broad(frequencyHz);
            lines[k] = (frequencyHz, weight);
            (sum, squares) = (sum + weight, squares + weight * frequencyHz * frequencyHz);
            (noise, noiseSquares) = (noise + weight * weight * frequencyHz, noiseSquares + weight * weight * frequencyHz * frequencyHz * frequencyHz);   // |marker|² falls as 1 / f
        }
        for (var k = 0; k < PulseLines; k++) lines[k].WeightRatio /= sum;
        CurvaturePerSquareSecond = 4 * Math.PI * Math.PI * squares / sum;
        NoiseRadiansPerSecond = 2 * Math.PI * Math.Sqrt(noiseSquares / noise);
        var stepSeconds = 1.0 / (PulseSteps * SampleRateHz);
        _pulse = [.. Enumerable.Range(0, (int)(PulseSeconds / stepSeconds)).Select(k => Sum(lines, k * stepSeconds, stepSeconds))];
    }

    internal int SampleRateHz { get; }

    internal int MarkerLength => _marker.Length;

    /// <summary>−g''(0) of the broad pulse.</summary>
    internal double CurvaturePerSquareSecond { get; }

    /// <summary>Root mean square of the slope of white noise behind the broad weight, over that of the noise itself.</summary>
    internal double NoiseRadiansPerSecond { get; }

    /// <summary>The broad pulse g and its slope per sample, at a distance in samples from its middle.</summary>
    internal (double Value, double Slope) PulseAt(double samples)
    {
        var place = Math.Abs(samples) * PulseSteps;
        var step = (int)place;
        if (step + 1 >= _pulse.Length) return (0, 0);
        var (part, (left, leftSlope), (right, rightSlope)) = (place - step, _pulse[step], _pulse[step + 1]);
        var (rise, bend) = (right - left, leftSlope + rightSlope - 2 * (right - left));
        var value = left + part * (leftSlope + part * (rise - leftSlope - bend + part * bend));
        var slope = leftSlope + part * (2 * (rise - leftSlope - bend) + 3 * part * bend);
        return (value, Math.Sign(samples) * slope * PulseSteps);
    }

    private static (double Value, double Slope) Sum((double FrequencyHz, double WeightRatio)[] lines, double seconds, double stepSeconds)
    {
        var (value, slope) = (0.0, 0.0);
        foreach (var (frequencyHz, weight) in lines)
        {
            var (sine, cosine) = Math.SinCos(2 * Math.PI * frequencyHz * seconds);
            (value, slope) = (value + weight * cosine, slope - weight * 2 * Math.PI * frequencyHz * stepSeconds * sine);
        }
        return (value, slope);
    }

    /// <summary>Real part, the divided recording, and imaginary part, its quadrature, for some arrivals of the marker's start.</summary>
    /// <param name="recording">One channel.</param>
    /// <param name="first">The first arrival wanted, in samples of the recording; may lie before it.</param>
    /// <param name="count">How many.</param>
    /// <param name="isBroad">True for timing, false for finding.</param>
    internal Complex[] Of(ReadOnlySpan<double> recording, int first, int count, bool isBroad)
    {
        var length = StimulusSpectrum.EvenLength(count + _marker.Length + 2 * GuardSamples);
        var segment = new double[length];
        var start = first - GuardSamples;
        var (from, to) = (Math.Clamp(start, 0, recording.Length), Math.Clamp(start + length, 0, recording.Length));
        recording[from..to].CopyTo(segment.AsSpan(Math.Max(0, from - start)));
        var (bins, marker) = (FourierTransform.OfReal(segment, length), FourierTransform.OfReal(_marker, length));
        var (whole, sum) = (new Complex[length], 0.0);
        for (var k = 1; k < bins.Length; k++)
        {
            var weight = isBroad ? Broad((double)k * SampleRateHz / length) : Narrow((double)k * SampleRateHz / length);
            if (weight == 0) continue;
            whole[k] = 2 * weight * bins[k] / marker[k];
            sum += 2 * weight;
        }
        var result = FourierTransform.Inverse(whole).AsSpan(GuardSamples, count).ToArray();
        for (var n = 0; n < count; n++) result[n] *= length / sum;
        return result;
    }

    private double Broad(double frequencyHz)
    {
        var place = Place(frequencyHz);
        return place <= RiseFrom || place >= FallTo ? 0
            : place < RiseTo ? Rise((place - RiseFrom) / (RiseTo - RiseFrom))
            : place > FallFrom ? Rise((FallTo - place) / (FallTo - FallFrom)) : 1;
    }

    private double Narrow(double frequencyHz)
    {
        var (low, high) = (HzAt(RiseFrom), HzAt(FallTo));
        return frequencyHz <= low || frequencyHz >= high ? 0 : Math.Pow(Math.Sin(Math.PI * (frequencyHz - low) / (high - low)), 2);
    }

    private double Place(double frequencyHz) => Math.Log(frequencyHz / _law.StartHz) / Math.Log(_law.EndHz / _law.StartHz);

    private double HzAt(double place) => _law.StartHz * Math.Pow(_law.EndHz / _law.StartHz, place);

    private static double Rise(double part) => 0.5 - 0.5 * Math.Cos(Math.PI * part);
}
