// SPDX-License-Identifier: MIT
using System.Numerics;

namespace Sweepbook.Simulation;

/// <summary>
/// A smooth symmetric low-pass, G(f) = 2^(−(f / f6)⁴): half amplitude at its crossover, no ripple, and its complement 1 − G is the matching high-pass.
/// </summary>
/// <remarks>
/// Its impulse response falls below 10⁻¹⁰ of its peak within 5 / f6, so that cutting it there changes nothing. It is symmetric, thus without delay
/// but not causal: whoever splits a sum with it must give both halves the same content, or their difference rings before time zero too.
/// Source: own choice; the taps are the Fourier integral of G by the trapezoid rule, which for such a smooth function is exact to rounding.
/// </remarks>
internal sealed class LowPassKernel
{
    private const double HalfWidthPeriods = 5;
    private const double LastFrequency = 3;          // 2^(−3⁴) is 4e−25
    private const int StepsPerCrossover = 40;        // aliases of the sum lie 40 periods away

    private readonly int _sampleRateHz;

    public LowPassKernel(double crossoverHz, int sampleRateHz)
    {
        if (!(crossoverHz > 0 && LastFrequency * crossoverHz <= sampleRateHz))
            throw new ArgumentOutOfRangeException(nameof(crossoverHz), crossoverHz, $"Must be in (0, {sampleRateHz / LastFrequency}] Hz.");
        (CrossoverHz, _sampleRateHz) = (crossoverHz, sampleRateHz);
        OriginSamples = (int)Math.Ceiling(HalfWidthPeriods * sampleRateHz / crossoverHz);
        Taps = new double[2 * OriginSamples + 1];
        for (var k = 0; k <= OriginSamples; k++)
            Taps[OriginSamples + k] = Taps[OriginSamples - k] = TapAt(k);
    }

    public double CrossoverHz { get; }

    public int OriginSamples { get; }

    public double[] Taps { get; }

    public double[] Apply(ReadOnlySpan<double> samples) => DirectConvolution.Centred(samples, Taps, OriginSamples);

    public Complex ResponseAt(double frequencyHz) => DirectConvolution.ResponseAt(Taps, OriginSamples, _sampleRateHz, frequencyHz);

    private double TapAt(int sample)
    {
        var stepHz = CrossoverHz / StepsPerCrossover;
        var sum = 0.5;
        for (var m = 1; m <= LastFrequency * StepsPerCrossover; m++)
        {
            var relative = (double)m / StepsPerCrossover;
            sum += Math.Pow(2, -relative * relative * relative * relative) * Math.Cos(2 * Math.PI * m * stepHz * sample / _sampleRateHz);
        }
        return 2 * stepHz * sum / _sampleRateHz;
    }
}
