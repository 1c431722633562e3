// SPDX-License-Identifier: MIT
using System.Runtime.CompilerServices;
using System.Runtime.Intrinsics;

namespace Sweepbook.Transforms;

/// <summary>
/// The passes of a self-sorting (Stockham) transform, decimation in frequency. A pass of radix r reads
/// x[q + s(p + m·i)], i = 0…r−1, and writes y[q + s(r·p + i)] = w^(p·i) · (r-point transform of those)[i], for p &lt; m and q &lt; s.
/// </summary>
/// <remarks>
/// Source: C. Van Loan, "Computational Frameworks for the Fast Fourier Transform", SIAM 1992, section 1.7 (autosort framework),
/// and section 2.4 for the butterflies of radix 3 and 5.
/// </remarks>
internal static class FourierPasses
{
    /// <summary>Runs the blocks p = <paramref name="from"/> … m − 1 of one pass.</summary>
    /// <param name="x">Input, interleaved real and imaginary parts, r·m·s complex numbers.</param>
    /// <param name="y">Output, same size, not overlapping the input.</param>
    /// <param name="w">Twiddles: for i = 1…r−1 one run of m complex numbers.</param>
    /// <param name="radix">2, 3, 4 or 5.</param>
    /// <param name="m">Blocks.</param>
    /// <param name="s">Stride; a multiple of the lane's width.</param>
    /// <param name="from">First block.</param>
    public static void Run<TLane>(ref readonly double x, ref double y, ref readonly double w, int radix, int m, int s, int from)
        where TLane : struct, IFourierLane<TLane>
    {
        switch (radix)
        {
            case 2: Radix2<TLane>(in x, ref y, in w, m, s, from); break;
            case 3: Radix3<TLane>(in x, ref y, in w, m, s, from); break;
            case 4: Radix4<TLane>(in x, ref y, in w, m, s, from); break;
            default: Radix5<TLane>(in x, ref y, in w, m, s, from); break;
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix2<TLane>(ref readonly double x, ref double y, ref readonly double w, int m, int s, int from)
        where TLane : struct, IFourierLane<TLane>
    {
        nint far = 2 * (nint)m * s, near = 2 * (nint)s, step = 2 * TLane.Width;
        for (nint p = from; p < m; p++)
        {
            var w1 = Turn<TLane>.At(in w, p);
            nint source = p * near, target = 2 * p * near;
            for (nint q = 0; q < near; q += step)
            {
                var (a, b) = (TLane.Load(in x, source + q), TLane.Load(in x, source + q + far));
                TLane.Store(a + b, ref y, target + q);
                TLane.Store(w1.Of(a - b), ref y, target + q + near);
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix3<TLane>(ref readonly double x, ref double y, ref readonly double w, int m, int s, int from)
        where TLane : struct, IFourierLane<TLane>
    {
        nint far = 2 * (nint)m * s, near = 2 * (nint)s, step = 2 * TLane.Width;
        var (minusHalf, sine60) = (TLane.Same(-0.5), TLane.Same(0.86602540378443864676));
        for (nint p = from; p < m; p++)
        {
            var (w1, w2) = (Turn<TLane>.At(in w, p), Turn<TLane>.At(in w, p + m));
            nint source = p * near, target = 3 * p * near;
            for (nint q = 0; q < near; q += step)
            {
                var a = TLane.Load(in x, source + q);
                var (b, c) = (TLane.Load(in x, source + q + far), TLane.Load(in x, source + q + 2 * far));
                var sum = b + c;
                var even = TLane.MultiplyAdd(sum, minusHalf, a);
                var odd = TLane.TimesMinusJ((b - c) * sine60);
                TLane.Store(a + sum, ref y, target + q);
                TLane.Store(w1.Of(even + odd), ref y, target + q + near);
                TLane.Store(w2.Of(even - odd), ref y, target + q + 2 * near);
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix4<TLane>(ref readonly double x, ref double y, ref readonly double w, int m, int s, int from)
        where TLane : struct, IFourierLane<TLane>
    {
        nint far = 2 * (nint)m * s, near = 2 * (nint)s, step = 2 * TLane.Width;
        for (nint p = from; p < m; p++)
        {
            var (w1, w2, w3) = (Turn<TLane>.At(in w, p), Turn<TLane>.At(in w, p + m), Turn<TLane>.At(in w, p + 2 * m));
            nint source = p * near, target = 4 * p * near;
            for (nint q = 0; q < near; q += step)
            {
                var (a, b) = (TLane.Load(in x, source + q), TLane.Load(in x, source + q + far));
                var (c, d) = (TLane.Load(in x, source + q + 2 * far), TLane.Load(in x, source + q + 3 * far));
                var (ac, bd) = (a + c, b + d);
                var (difference, turned) = (a - c, TLane.TimesMinusJ(b - d));
                TLane.Store(ac + bd, ref y, target + q);
                TLane.Store(w1.Of(difference + turned), ref y, target + q + near);
                TLane.Store(w2.Of(ac - bd), ref y, target + q + 2 * near);
                TLane.Store(w3.Of(difference - turned), ref y, target + q + 3 * near);
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void Radix5<TLane>(ref readonly double x, ref double y, ref readonly double w, int m, int s, int from)
        where TLane : struct, IFourierLane<TLane>
    {
        nint far = 2 * (nint)m * s, near = 2 * (nint)s, step = 2 * TLane.Width;
        var (cosine72, cosine144) = (TLane.Same(0.30901699437494742410), TLane.Same(-0.80901699437494742410));
        var (sine72, sine144) = (TLane.Same(0.95105651629515357212), TLane.Same(0.58778525229247312917));
        for (nint p = from; p < m; p++)
        {
            var (w1, w2) = (Turn<TLane>.At(in w, p), Turn<TLane>.At(in w, p + m));
            var (w3, w4) = (Turn<TLane>.At(in w, p + 2 * m), Turn<TLane>.At(in w, p + 3 * m));
            nint source = p * near, target = 5 * p * near;
            for (nint q = 0; q < near; q += step)
            {
                var a = TLane.Load(in x, source + q);
                var (b, c) = (TLane.Load(in x, source + q + far), TLane.Load(in x, source + q + 2 * far));
                var (d, e) = (TLane.Load(in x, source + q + 3 * far), TLane.Load(in x, source + q + 4 * far));
                var (outer, inner, outerGap, innerGap) = (b + e, c + d, b - e, c - d);
                var even1 = TLane.MultiplyAdd(outer, cosine72, TLane.MultiplyAdd(inner, cosine144, a));
                var even2 = TLane.MultiplyAdd(outer, cosine144, TLane.MultiplyAdd(inner, cosine72, a));
                var odd1 = TLane.TimesMinusJ(TLane.MultiplyAdd(outerGap, sine72, innerGap * sine144));
                var odd2 = TLane.TimesMinusJ(outerGap * sine144 - innerGap * sine72);
                TLane.Store(a + outer + inner, ref y, target + q);
                TLane.Store(w1.Of(even1 + odd1), ref y, target + q + near);
                TLane.Store(w2.Of(even2 + odd2), ref y, target + q + 2 * near);
                TLane.Store(w3.Of(even2 - odd2), ref y, target + q + 3 * near);
                TLane.Store(w4.Of(even1 - odd1), ref y, target + q + 4 * near);
            }
        }
    }

    /// <summary>A radix-4 pass of stride 1, two blocks at a time; returns the number of blocks done.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static int FirstRadix4(ref readonly double x, ref double y, ref readonly double w, int m)
    {
        nint far = 2 * (nint)m, p = 0;
        for (; p + 2 <= m; p += 2)
        {
            var (a, b) = (PairLane.Load(in x, 2 * p), PairLane.Load(in x, 2 * p + far));
            var (c, d) = (PairLane.Load(in x, 2 * p + 2 * far), PairLane.Load(in x, 2 * p + 3 * far));
            var (ac, bd) = (a + c, b + d);
            var (difference, turned) = (a - c, PairLane.TimesMinusJ(b - d));
            var y0 = (ac + bd).Value;
            var y1 = Product(difference + turned, PairLane.Load(in w, 2 * p)).Value;
            var y2 = Product(ac - bd, PairLane.Load(in w, 2 * p + far)).Value;
            var y3 = Product(difference - turned, PairLane.Load(in w, 2 * p + 2 * far)).Value;
            Vector256.Create(y0.GetLower(), y1.GetLower()).StoreUnsafe(ref Unsafe.Add(ref y, 8 * p));
            Vector256.Create(y2.GetLower(), y3.GetLower()).StoreUnsafe(ref Unsafe.Add(ref y, 8 * p + 4));
            Vector256.Create(y0.GetUpper(), y1.GetUpper()).StoreUnsafe(ref Unsafe.Add(ref y, 8 * p + 8));
            Vector256.Create(y2.GetUpper(), y3.GetUpper()).StoreUnsafe(ref Unsafe.Add(ref y, 8 * p + 12));
        }
        return (int)p;
    }

    /// <summary>left · right for two pairs of complex numbers.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static PairLane Product(PairLane left, PairLane right)
    {
        var real = Vector256.Shuffle(right.Value, Vector256.Create(0L, 0, 2, 2));
        var imaginary = Vector256.Shuffle(right.Value, Vector256.Create(1L, 1, 3, 3)) ^ Vector256.Create(-0.0, 0.0, -0.0, 0.0);
        return PairLane.MultiplyAdd(left, new(real), PairLane.Swap(left) * new PairLane(imaginary));
    }

    /// <summary>One twiddle, spread over a lane so that multiplying needs a swap, a product and a fused product.</summary>
    private readonly struct Turn<TLane>(TLane real, TLane alternating) where TLane : struct, IFourierLane<TLane>
    {
        private readonly TLane _real = real, _alternating = alternating;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Turn<TLane> At(ref readonly double w, nint k)
        {
            ref var origin = ref Unsafe.Add(ref Unsafe.AsRef(in w), 2 * k);
            return new(TLane.Same(origin), TLane.Alternating(Unsafe.Add(ref origin, 1)));
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public TLane Of(TLane value) => TLane.MultiplyAdd(value, _real, TLane.Swap(value) * _alternating);
    }
}
