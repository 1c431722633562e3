// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Filters;

/// <summary>
/// A digital band-pass by its poles: as many zeros at z = 1 as at z = −1, one of each per pair of poles, and 0 dB at the centre.
/// H(z) = K · Π (1 − z⁻²) / ((1 − p·z⁻¹)(1 − p′·z⁻¹)); with p′ the conjugate of p, or both real.
/// </summary>
internal sealed class BandPassPoles
{
    private readonly int _sampleRateHz;
    private readonly IReadOnlyList<(Complex P, Complex Other)> _pairs;
    private readonly double _sectionGain;

    public BandPassPoles(int sampleRateHz, double centreHz, IReadOnlyList<(Complex, Complex)> pairs)
    {
        (_sampleRateHz, _pairs, _sectionGain) = (sampleRateHz, pairs, 1);
        var (sine, cosine) = double.SinCosPi(2 * centreHz / sampleRateHz);
        _sectionGain = Math.Pow(1 / H(new(cosine, sine)).Magnitude, 1.0 / pairs.Count);
    }

    public int SampleRateHz => _sampleRateHz;

    private double Gain => Math.Pow(_sectionGain, _pairs.Count);

    /// <summary>H at a complex z; exact near z = 1, where plain coefficients cancel.</summary>
    public Complex H(Complex z)
    {
        var value = Complex.One;
        foreach (var (p, other) in _pairs) value *= _sectionGain * (z - 1) * (z + 1) / ((z - p) * (z - other));
        return value;
    }

    /// <summary>|H|² at a frequency; z² − 1 is 2j·sin ω · z.</summary>
    public double PowerAt(double frequencyHz)
    {
        var (sine, cosine) = double.SinCosPi(2 * frequencyHz / _sampleRateHz);
        Complex z = new(cosine, sine);
        var power = 1.0;
        foreach (var (p, other) in _pairs)
        {
            var ratio = 2 * _sectionGain * sine / ((z - p) * (z - other)).Magnitude;
            power *= ratio * ratio;
        }
        return power;
    }

    public Biquad[] Sections() =>
        [.. _pairs.Select(pair => Biquad.FromCoefficients(_sampleRateHz, _sectionGain, 0, -_sectionGain, -(pair.P + pair.Other).Real, (pair.P * pair.Other).Real))];

    /// <summary>Distance of the slowest pole from ringing for ever: the decay of its amplitude per sample, as a logarithm.</summary>
    public double SlowestDecayPerSample => -Math.Log(_pairs.Max(pair => Math.Max(pair.P.Magnitude, pair.Other.Magnitude)));

    /// <summary>H(z) = direct + Σ c/(1 − p·z⁻¹): poles of the upper half plane count twice with their real part.</summary>
    public PoleSum Once()
    {
        var direct = _pairs.Aggregate(Complex.One, (product, pair) => product / (pair.P * pair.Other)).Real * Math.Pow(-1, _pairs.Count) * Gain;   // H at z = 0
        return new(direct, [.. Poles().Select(pole => (pole, Residue(pole)))]);
    }

    /// <summary>H(z)·H(1/z), on one side of time: direct + Σ c·p^m at m ≥ 0; the other side is its mirror image without the direct part.</summary>
    public PoleSum Twice()
    {
        var once = Once();
        return new(Gain * once.Direct, [.. Poles().Select(pole => (pole, Residue(pole) * H(1 / pole)))]);
    }

    private IEnumerable<Complex> Poles() => _pairs.SelectMany(pair => pair.P.Imaginary == 0
        ? [pair.P, pair.Other]
        : (Complex[])[pair.P.Imaginary > 0 ? pair.P : pair.Other]);

    /// <summary>c of one pole: (1 − p·z⁻¹)·H at z = p; twice that for a pole that stands for its conjugate too.</summary>
    private Complex Residue(Complex pole)
    {
        var value = pole.Imaginary == 0 ? Complex.One : 2;
        foreach (var (p, other) in _pairs)
        {
            value *= _sectionGain * (pole - 1) * (pole + 1);
            value /= p == pole ? pole * (pole - other) : other == pole ? pole * (pole - p) : (pole - p) * (pole - other);
        }
        return value;
    }
}

/// <summary>An impulse response as a sum: h[0] = direct + Σ Re c, h[m] = Σ Re(c·p^m).</summary>
internal sealed record PoleSum(double Direct, (Complex Pole, Complex Weight)[] Terms);
