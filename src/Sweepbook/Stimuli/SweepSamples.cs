// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Stimuli;

/// <summary>Samples of one sweep: a law, a level and half-cosine fades inside it.</summary>
internal static class SweepSamples
{
    private const double StepsPerUnit = 1 << 23;   // 24-bit integers, full scale ±1

    /// <summary>x[n] = A · w[n] · sin(2π · cycles(n / rate)), rounded to 24 bits, over the whole of the target.</summary>
    /// <param name="target">Where the sweep goes; its length is that of the sweep in samples.</param>
    /// <param name="law">How the phase moves.</param>
    /// <param name="sampleRateHz">Samples per second.</param>
    /// <param name="fades">Rise at the start and fall at the end, in seconds.</param>
    /// <param name="levelDbfs">Peak level.</param>
    internal static void Fill(Span<double> target, SweepLaw law, int sampleRateHz, (double InSeconds, double OutSeconds) fades, double levelDbfs)
    {
        double rate = sampleRateHz;
        var (level, rise, fall) = (Decibels.ToAmplitudeRatio(levelDbfs), fades.InSeconds * rate, fades.OutSeconds * rate);
        for (var n = 0; n < target.Length; n++)
        {
            var value = level * HalfCosine(n, rise) * HalfCosine(target.Length - 1 - n, fall) * Math.Sin(2 * Math.PI * law.PhaseCyclesAt(n / rate));
            target[n] = Math.Min(Math.Round(value * StepsPerUnit), StepsPerUnit - 1) / StepsPerUnit;
        }
    }

    private static double HalfCosine(double n, double length) => n < length ? 0.5 * (1 - Math.Cos(Math.PI * n / length)) : 1;
}
