// SPDX-License-Identifier: MIT
namespace Sweepbook.Filters;

/// <summary>Every second sample of a signal, after a symmetric low-pass of 27 taps (half of them zero) that delays nothing.</summary>
/// <remarks>
/// Flat within 1e-4 dB up to 0.1 of the rate that goes in and 100 dB down from 0.4 of it: what folds onto a band below 0.1 is gone.
/// Source: windowed sinc with J. F. Kaiser's window, Oppenheim and Schafer, 3rd ed. 2010, section 7.6.
/// </remarks>
internal static class HalfBandDecimation
{
    private const int Pairs = 7;
    private const double KaiserShape = 11.2;   // for 110 dB

    private static readonly double[] Taps = Design();

    /// <summary>⌈n/2⌉ samples; sample m of the result is at sample 2m of the input. Outside lies silence.</summary>
    public static double[] Halve(ReadOnlySpan<double> samples)
    {
        const int Reach = 2 * Pairs - 1;
        var padded = new double[samples.Length + 2 * Reach + 1];
        samples.CopyTo(padded.AsSpan(Reach));
        var result = new double[(samples.Length + 1) / 2];
        for (var m = 0; m < result.Length; m++)
        {
            var around = padded.AsSpan(2 * m, 2 * Reach + 1);
            var sum = 0.5 * around[Reach];
            for (var k = 0; k < Taps.Length; k++) sum += Taps[k] * (around[Reach - 1 - 2 * k] + around[Reach + 1 + 2 * k]);
            result[m] = sum;
        }
        return result;
    }

    /// <summary>Its response, real, at a frequency over the rate that goes in.</summary>
    public static double ResponseAt(double frequencyRatio)
    {
        var sum = 0.5;
        for (var k = 0; k < Pairs; k++) sum += 2 * Taps[k] * double.CosPi(2 * (2 * k + 1) * frequencyRatio);
        return sum;
    }

    private static double[] Design()
    {
        var taps = new double[Pairs];
        for (var k = 0; k < Pairs; k++)
        {
            var (j, edge) = (2 * k + 1, 2.0 * Pairs);
            taps[k] = (k % 2 == 0 ? 1 : -1) / (Math.PI * j) * Bessel(KaiserShape * Math.Sqrt(1 - j / edge * (j / edge))) / Bessel(KaiserShape);
        }
        var scale = 0.25 / taps.Sum();   // 0 dB at 0 Hz exactly
        return [.. taps.Select(tap => tap * scale)];
    }

    /// <summary>I0, by its power series.</summary>
    private static double Bessel(double argument)
    {
        double sum = 1, term = 1;
        for (var k = 1; term > 1e-17 * sum; k++) sum += term *= argument / (2 * k) * (argument / (2 * k));
        return sum;
    }
}
