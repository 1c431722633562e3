// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Sweepbook.Transforms;

/// <summary>
/// What a real transform of one even length N needs: a complex plan of half the length and the roots that untangle
/// even and odd samples. Never changes, so threads may share it.
/// </summary>
/// <remarks>
/// Source: W. H. Press et al., "Numerical Recipes", 3rd ed. 2007, section 12.3.2; derivation: with z[n] = x[2n] + j·x[2n+1],
/// X[k] = E[k] + e^(−j2πk/N)·O[k], E[k] = (Z[k] + Z*[N/2−k])/2, O[k] = −j(Z[k] − Z*[N/2−k])/2.
/// </remarks>
internal sealed class RealFourierPlan
{
    private const int PlansKept = 64;

    private static readonly ConcurrentDictionary<int, RealFourierPlan> Kept = new();

    private readonly FourierPlan _half;
    private readonly Complex[] _roots;   // e^(−j2πk/N), k = 0 … N/4

    private RealFourierPlan(int length)
    {
        (Length, _half, _roots) = (length, FourierPlan.Of(length / 2), RootsOfUnity.FirstQuarter(length));
    }

    /// <summary>Real samples; even.</summary>
    public int Length { get; }

    /// <summary>The plan of an even length, from the store or made now.</summary>
    public static RealFourierPlan Of(int length)
    {
        if (Kept.TryGetValue(length, out var plan)) return plan;
        if (Kept.Count >= PlansKept) Kept.Clear();
        return Kept.GetOrAdd(length, static n => new(n));
    }

    /// <summary>Forward transform of <see cref="Length"/> real samples to Length/2 + 1 bins, unscaled.</summary>
    /// <param name="samples">The samples.</param>
    /// <param name="bins">Receives the bins; must not overlap the samples.</param>
    /// <param name="scratch">Length/2 numbers that may be overwritten.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Forward(ReadOnlySpan<double> samples, Span<Complex> bins, Span<Complex> scratch)
    {
        var half = Length / 2;
        _half.Forward(MemoryMarshal.Cast<double, Complex>(samples[..Length]), bins[..half], scratch);
        var first = bins[0];
        for (int k = 1, mirror = half - 1; k <= mirror; k++, mirror--)
        {
            var (near, far, root) = (bins[k], bins[mirror], _roots[k]);
            double evenRe = 0.5 * (near.Real + far.Real), evenIm = 0.5 * (near.Imaginary - far.Imaginary);
            double oddRe = 0.5 * (near.Imaginary + far.Imaginary), oddIm = 0.5 * (far.Real - near.Real);
            double turnedRe = oddRe * root.Real - oddIm * root.Imaginary, turnedIm = oddRe * root.Imaginary + oddIm * root.Real;
            bins[k] = new(evenRe + turnedRe, evenIm + turnedIm);
            bins[mirror] = new(evenRe - turnedRe, turnedIm - evenIm);
        }
        bins[0] = new(first.Real + first.Imaginary, 0);
        bins[half] = new(first.Real - first.Imaginary, 0);
    }

    /// <summary>Inverse of <see cref="Forward"/>, scaled by 1/Length. Imaginary parts of the first and last bin are ignored.</summary>
    /// <param name="bins">Length/2 + 1 bins.</param>
    /// <param name="samples">Receives <see cref="Length"/> samples.</param>
    /// <param name="tangled">Length/2 numbers that may be overwritten.</param>
    /// <param name="scratch">Length/2 further numbers that may be overwritten.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public void Inverse(ReadOnlySpan<Complex> bins, Span<double> samples, Span<Complex> tangled, Span<Complex> scratch)
    {
        int half = Length / 2;
        double scale = 1.0 / Length, first = bins[0].Real, last = bins[half].Real;
        tangled = tangled[..half];
        tangled[0] = new(scale * (first + last), scale * (first - last));
        for (int k = 1, mirror = half - 1; k <= mirror; k++, mirror--)
        {
            var (near, far, root) = (bins[k], bins[mirror], _roots[k]);
            double evenRe = scale * (near.Real + far.Real), evenIm = scale * (near.Imaginary - far.Imaginary);
            double gapRe = scale * (near.Real - far.Real), gapIm = scale * (near.Imaginary + far.Imaginary);
            double oddRe = gapRe * root.Real + gapIm * root.Imaginary, oddIm = gapIm * root.Real - gapRe * root.Imaginary;
            // A forward transform of the numbers in reversed order is the inverse one: bin k goes to place −k.
            tangled[mirror] = new(evenRe - oddIm, evenIm + oddRe);
            tangled[k] = new(evenRe + oddIm, oddRe - evenIm);
        }
        _half.Forward(tangled, MemoryMarshal.Cast<double, Complex>(samples[..Length]), scratch);
    }
}
