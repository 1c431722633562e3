// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Sweepbook.Filters;

/// <summary>What every filter asks of the samples it is given.</summary>
internal static class FilterSpans
{
    public static void CheckSignal(ReadOnlySpan<double> samples)
    {
        if (samples.IsEmpty) throw new ArgumentException("Got 0 samples; must be at least 1.", nameof(samples));
        CheckFinite(samples);
    }

    public static void Check(ReadOnlySpan<double> samples, Span<double> output)
    {
        if (output.Length != samples.Length)
            throw new ArgumentException($"Got room for {output.Length} samples; must be {samples.Length}.", nameof(output));
        if (samples.Overlaps(output) && !Unsafe.AreSame(ref MemoryMarshal.GetReference(samples), ref MemoryMarshal.GetReference(output)))
            throw new ArgumentException("The output overlaps the samples shifted; must be the same memory or separate memory.", nameof(output));
        CheckFinite(samples);
    }

    private static void CheckFinite(ReadOnlySpan<double> samples)
    {
        double a = 0, b = 0, c = 0, d = 0;   // 0 · x is 0 for every finite x and NaN for the rest
        var n = 0;
        for (; n <= samples.Length - 4; n += 4)
        {
            a += 0 * samples[n];
            b += 0 * samples[n + 1];
            c += 0 * samples[n + 2];
            d += 0 * samples[n + 3];
        }
        for (; n < samples.Length; n++) a += 0 * samples[n];
        if (a + b + c + d == 0) return;
        for (n = 0; double.IsFinite(samples[n]); n++) { }
        throw new ArgumentException($"Sample {n} is {samples[n]}; must be finite, in (−∞, ∞).", nameof(samples));
    }
}
