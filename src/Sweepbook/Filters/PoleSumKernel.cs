// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Sweepbook.Filters;

/// <summary>Runs a <see cref="PoleSum"/> over samples, eight at a time: what the state adds, plus the first eight values of h times the new samples.</summary>
/// <remarks>
/// y[n+j] = Σ Re(c·p^(j+1)·S) + Σ h[j−i]·x[n+i], S ← p⁸·S + Σ p^(7−i)·x[n+i]. One pass in either direction of time; the state starts at rest.
/// Poles stay apart from each other as complex numbers, so a low band at a high rate loses no digits.
/// </remarks>
internal sealed class PoleSumKernel
{
    private const int Block = 8;
    private const int Head = 20;   // 8 · far, 4 · near samples, then 8 sample weights … see Prepare

    private readonly PoleSum _sum;
    private readonly int _stateVectors;
    private readonly Vector256<double>[] _forward, _backward;

    public PoleSumKernel(PoleSum sum)
    {
        (_sum, _stateVectors) = (sum, (sum.Terms.Length + 1) / 2);
        (_forward, _backward) = (Prepare(isReversed: false), Prepare(isReversed: true));
    }

    private interface IDirection
    {
        static abstract int Sign { get; }
    }

    public void Forward(ReadOnlySpan<double> samples, Span<double> output, bool isAdded = false) => Run<Onward>(_forward, samples, output, isAdded);

    public void Backward(ReadOnlySpan<double> samples, Span<double> output, bool isAdded = false) => Run<Back>(_backward, samples, output, isAdded);

    /// <summary>The impulse response without its first value: the second half of a two-sided one.</summary>
    public PoleSumKernel WithoutFirst() => new(_sum with { Direct = -_sum.Terms.Sum(term => term.Weight.Real) });

    private void Run<TDirection>(Vector256<double>[] table, ReadOnlySpan<double> samples, Span<double> output, bool isAdded) where TDirection : struct, IDirection
    {
        var blocks = samples.Length / Block;
        Span<Vector256<double>> state = stackalloc Vector256<double>[_stateVectors];
        state.Clear();
        var start = TDirection.Sign > 0 ? 0 : samples.Length - 1;
        if (_stateVectors == 1 && Vector512.IsHardwareAccelerated) state[0] = RunTwoWide<TDirection>(table, samples, output, start, blocks, isAdded);
        else if (_stateVectors == 1) state[0] = RunTwo<TDirection>(table, samples, output, start, blocks, isAdded);
        else RunMany<TDirection>(table, samples, output, start, blocks, isAdded, state);
        RunRest<TDirection>(samples, output, start + TDirection.Sign * blocks * Block, samples.Length - blocks * Block, isAdded, state);
    }

    private static Vector256<double> RunTwo<TDirection>(Vector256<double>[] table, ReadOnlySpan<double> samples, Span<double> output, int start, int blocks, bool isAdded)
        where TDirection : struct, IDirection
    {
        ref var t = ref MemoryMarshal.GetArrayDataReference(table);
        ref var h = ref Unsafe.Add(ref t, Head);   // 2 rotations, 8 state weights of far, near; 8 sample weights
        var state = Vector256<double>.Zero;
        ref var x = ref Unsafe.AsRef(in MemoryMarshal.GetReference(samples));
        ref var y = ref MemoryMarshal.GetReference(output);
        for (var (n, block) = (start, 0); block < blocks; block++, n += TDirection.Sign * Block)
        {
            ref var near = ref Unsafe.Add(ref y, TDirection.Sign > 0 ? n : n - 3);
            ref var far = ref Unsafe.Add(ref y, TDirection.Sign > 0 ? n + 4 : n - 7);
            var (a, b) = isAdded ? (Vector256.LoadUnsafe(ref near), Vector256.LoadUnsafe(ref far)) : (Vector256<double>.Zero, Vector256<double>.Zero);
            var x0 = Vector256.Create(Unsafe.Add(ref x, n));
            a = Add(x0, Unsafe.Add(ref t, 2), a);
            b = Add(x0, Unsafe.Add(ref t, 3), b);
            var even = x0 * Unsafe.Add(ref h, 8);
            var x1 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 1));
            a = Add(x1, Unsafe.Add(ref t, 4), a);
            b = Add(x1, Unsafe.Add(ref t, 5), b);
            var odd = x1 * Unsafe.Add(ref h, 9);
            var x2 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 2));
            a = Add(x2, Unsafe.Add(ref t, 6), a);
            b = Add(x2, Unsafe.Add(ref t, 7), b);
            even = Add(x2, Unsafe.Add(ref h, 10), even);
            var x3 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 3));
            a = Add(x3, Unsafe.Add(ref t, 8), a);
            b = Add(x3, Unsafe.Add(ref t, 9), b);
            odd = Add(x3, Unsafe.Add(ref h, 11), odd);
            var x4 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 4));
            b = Add(x4, Unsafe.Add(ref t, 10), b);
            even = Add(x4, Unsafe.Add(ref h, 12), even);
            var x5 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 5));
            b = Add(x5, Unsafe.Add(ref t, 11), b);
            odd = Add(x5, Unsafe.Add(ref h, 13), odd);
            var x6 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 6));
            b = Add(x6, Unsafe.Add(ref t, 12), b);
            even = Add(x6, Unsafe.Add(ref h, 14), even);
            var x7 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 7));
            b = Add(x7, Unsafe.Add(ref t, 13), b);
            odd = Add(x7, Unsafe.Add(ref h, 15), odd);
            // From here on the state is needed: only what stands between it and the next one keeps the next block waiting.
            var s0 = Vector256.Create(state.GetElement(0));
            a = Add(s0, Unsafe.Add(ref h, 0), a);
            b = Add(s0, Unsafe.Add(ref h, 1), b);
            var s1 = Vector256.Create(state.GetElement(1));
            a = Add(s1, Unsafe.Add(ref h, 2), a);
            b = Add(s1, Unsafe.Add(ref h, 3), b);
            var s2 = Vector256.Create(state.GetElement(2));
            var c = s2 * Unsafe.Add(ref h, 4);
            var d = s2 * Unsafe.Add(ref h, 5);
            var s3 = Vector256.Create(state.GetElement(3));
            c = Add(s3, Unsafe.Add(ref h, 6), c);
            d = Add(s3, Unsafe.Add(ref h, 7), d);
            var next = Add(Vector256.Shuffle(state, Vector256.Create(1L, 0, 3, 2)), Unsafe.Add(ref t, 1), Add(state, t, even + odd));
            (a + c).StoreUnsafe(ref near);
            (b + d).StoreUnsafe(ref far);
            state = Vector256.LessThanAll(Vector256.Abs(next), Vector256.Create(Inaudible)) ? Vector256<double>.Zero : next;
        }
        return state;
    }

    /// <summary>The same with near and far samples side by side in one vector of eight.</summary>
    private static Vector256<double> RunTwoWide<TDirection>(Vector256<double>[] table, ReadOnlySpan<double> samples, Span<double> output, int start, int blocks, bool isAdded)
        where TDirection : struct, IDirection
    {
        ref var t = ref MemoryMarshal.GetArrayDataReference(table);
        ref var h = ref Unsafe.Add(ref t, Head);   // 2 rotations, 8 state weights of far, near; 8 sample weights
        var state = Vector256<double>.Zero;
        ref var x = ref Unsafe.AsRef(in MemoryMarshal.GetReference(samples));
        ref var y = ref MemoryMarshal.GetReference(output);
        for (var (n, block) = (start, 0); block < blocks; block++, n += TDirection.Sign * Block)
        {
            ref var near = ref Unsafe.Add(ref y, TDirection.Sign > 0 ? n : n - 3);
            ref var far = ref Unsafe.Add(ref y, TDirection.Sign > 0 ? n + 4 : n - 7);
            var y0 = isAdded ? Vector512.Create(Vector256.LoadUnsafe(ref near), Vector256.LoadUnsafe(ref far)) : Vector512<double>.Zero;
            var x0 = Vector512.Create(Unsafe.Add(ref x, n));
            y0 = Add(x0, Wide(ref Unsafe.Add(ref t, 2)), y0);
            var even = x0.GetLower() * Unsafe.Add(ref h, 8);
            var x1 = Vector512.Create(Unsafe.Add(ref x, n + TDirection.Sign * 1));
            y0 = Add(x1, Wide(ref Unsafe.Add(ref t, 4)), y0);
            var odd = x1.GetLower() * Unsafe.Add(ref h, 9);
            var x2 = Vector512.Create(Unsafe.Add(ref x, n + TDirection.Sign * 2));
            y0 = Add(x2, Wide(ref Unsafe.Add(ref t, 6)), y0);
            even = Add(x2.GetLower(), Unsafe.Add(ref h, 10), even);
            var x3 = Vector512.Create(Unsafe.Add(ref x, n + TDirection.Sign * 3));
            y0 = Add(x3, Wide(ref Unsafe.Add(ref t, 8)), y0);
            odd = Add(x3.GetLower(), Unsafe.Add(ref h, 11), odd);
            var x4 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 4));
            var late = x4 * Unsafe.Add(ref t, 10);
            even = Add(x4, Unsafe.Add(ref h, 12), even);
            var x5 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 5));
            late = Add(x5, Unsafe.Add(ref t, 11), late);
            odd = Add(x5, Unsafe.Add(ref h, 13), odd);
            var x6 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 6));
            late = Add(x6, Unsafe.Add(ref t, 12), late);
            even = Add(x6, Unsafe.Add(ref h, 14), even);
            var x7 = Vector256.Create(Unsafe.Add(ref x, n + TDirection.Sign * 7));
            late = Add(x7, Unsafe.Add(ref t, 13), late);
            odd = Add(x7, Unsafe.Add(ref h, 15), odd);
            // From here on the state is needed: only what stands between it and the next one keeps the next block waiting.
            y0 = Add(Vector512.Create(state.GetElement(0)), Wide(ref h), y0);
            y0 = Add(Vector512.Create(state.GetElement(1)), Wide(ref Unsafe.Add(ref h, 2)), y0);
            var y1 = Vector512.Create(state.GetElement(2)) * Wide(ref Unsafe.Add(ref h, 4));
            y1 = Add(Vector512.Create(state.GetElement(3)), Wide(ref Unsafe.Add(ref h, 6)), y1);
            y0 += y1;
            var next = Add(Vector256.Shuffle(state, Vector256.Create(1L, 0, 3, 2)), Unsafe.Add(ref t, 1), Add(state, t, even + odd));
            y0.GetLower().StoreUnsafe(ref near);
            (y0.GetUpper() + late).StoreUnsafe(ref far);
            state = Vector256.LessThanAll(Vector256.Abs(next), Vector256.Create(Inaudible)) ? Vector256<double>.Zero : next;
        }
        return state;
    }

    /// <summary>−4000 dB: set to zero before the processor slows down on the smallest numbers.</summary>
    private const double Inaudible = 1e-200;

    private static void RunMany<TDirection>(Vector256<double>[] table, ReadOnlySpan<double> samples, Span<double> output, int start, int blocks, bool isAdded,
        Span<Vector256<double>> state) where TDirection : struct, IDirection
    {
        var vectors = state.Length;
        for (var (n, block) = (start, 0); block < blocks; block++, n += TDirection.Sign * Block)
        {
            var near = output.Slice(TDirection.Sign > 0 ? n : n - 3, 4);
            var far = output.Slice(TDirection.Sign > 0 ? n + 4 : n - 7, 4);
            var (a, b) = isAdded ? (Vector256.Create<double>(near), Vector256.Create<double>(far)) : (Vector256<double>.Zero, Vector256<double>.Zero);
            for (var i = 0; i < 8; i++)
            {
                var sample = Vector256.Create(samples[n + TDirection.Sign * i]);
                if (i < 4) a = Add(sample, table[2 + 2 * i], a);
                b = Add(sample, table[i < 4 ? 3 + 2 * i : 6 + i], b);
            }
            for (var v = 0; v < vectors; v++)
            {
                var h = table.AsSpan(Head + 18 * v, 18);
                var next = Add(Vector256.Shuffle(state[v], Vector256.Create(1L, 0, 3, 2)), h[17], h[16] * state[v]);
                for (var s = 0; s < 4; s++)
                {
                    var part = Vector256.Create(state[v].GetElement(s));
                    a = Add(part, h[2 * s], a);
                    b = Add(part, h[2 * s + 1], b);
                }
                for (var i = 0; i < 8; i++) next = Add(Vector256.Create(samples[n + TDirection.Sign * i]), h[8 + i], next);
                state[v] = Vector256.LessThanAll(Vector256.Abs(next), Vector256.Create(Inaudible)) ? Vector256<double>.Zero : next;
            }
            a.CopyTo(near);
            b.CopyTo(far);
        }
    }

    private void RunRest<TDirection>(ReadOnlySpan<double> samples, Span<double> output, int n, int count, bool isAdded, Span<Vector256<double>> state)
        where TDirection : struct, IDirection
    {
        Span<Complex> memory = stackalloc Complex[_sum.Terms.Length];
        for (var k = 0; k < memory.Length; k++) memory[k] = new(state[k / 2].GetElement(k % 2 * 2), state[k / 2].GetElement(k % 2 * 2 + 1));
        for (; count > 0; count--, n += TDirection.Sign)
        {
            var x = samples[n];
            var y = _sum.Direct * x + (isAdded ? output[n] : 0);
            for (var k = 0; k < memory.Length; k++)
            {
                memory[k] = _sum.Terms[k].Pole * memory[k] + x;
                y += (_sum.Terms[k].Weight * memory[k]).Real;
            }
            output[n] = y;
        }
    }

    /// <summary>
    /// 0, 1: rotation of the first state vector; 2 … 9: near and far weights of samples 0 … 3; 10 … 13: far weights of samples 4 … 7; then, from
    /// <see cref="Head"/> on and per state vector: near and far weights of its four numbers, its eight sample weights, its rotation.
    /// </summary>
    private Vector256<double>[] Prepare(bool isReversed)
    {
        var table = new Vector256<double>[Head + 18 * _stateVectors];
        var h = new double[Block];
        for (var m = 0; m < Block; m++) h[m] = (m == 0 ? _sum.Direct : 0) + _sum.Terms.Sum(term => (term.Weight * Complex.Pow(term.Pole, m)).Real);
        for (var i = 0; i < 8; i++)
        {
            if (i < 4) table[2 + 2 * i] = Lanes(j => j < i ? 0 : h[j - i]);
            table[i < 4 ? 3 + 2 * i : 6 + i] = Lanes(j => j + 4 < i ? 0 : h[j + 4 - i]);
        }
        for (var v = 0; v < _stateVectors; v++)
        {
            var part = table.AsSpan(Head + 18 * v, 18);
            for (var s = 0; s < 4; s++)
            {
                var (pole, weight) = Term(2 * v + s / 2);
                double Weight(int power) => s % 2 == 0 ? (weight * Complex.Pow(pole, power)).Real : -(weight * Complex.Pow(pole, power)).Imaginary;
                part[2 * s] = Lanes(j => Weight(j + 1));
                part[2 * s + 1] = Lanes(j => Weight(j + 5));
            }
            for (var i = 0; i < 8; i++) part[8 + i] = Pair(v, pole => Complex.Pow(pole, 7 - i), (re, im) => (re, im));
            part[16] = Pair(v, pole => Complex.Pow(pole, 8), (re, _) => (re, re));
            part[17] = Pair(v, pole => Complex.Pow(pole, 8), (_, im) => (-im, im));
        }
        (table[0], table[1]) = (table[Head + 16], table[Head + 17]);
        return table;

        Vector256<double> Lanes(Func<int, double> value) => isReversed
            ? Vector256.Create(value(3), value(2), value(1), value(0))
            : Vector256.Create(value(0), value(1), value(2), value(3));
    }

    private (Complex Pole, Complex Weight) Term(int k) => k < _sum.Terms.Length ? _sum.Terms[k] : default;

    private Vector256<double> Pair(int v, Func<Complex, Complex> power, Func<double, double, (double, double)> order)
    {
        Complex first = power(Term(2 * v).Pole), second = 2 * v + 1 < _sum.Terms.Length ? power(Term(2 * v + 1).Pole) : 0;
        var ((a, b), (c, d)) = (order(first.Real, first.Imaginary), order(second.Real, second.Imaginary));
        return Vector256.Create(a, b, c, d);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Add(Vector256<double> a, Vector256<double> b, Vector256<double> sum) => Vector256.MultiplyAddEstimate(a, b, sum);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector512<double> Add(Vector512<double> a, Vector512<double> b, Vector512<double> sum) => Vector512.MultiplyAddEstimate(a, b, sum);

    /// <summary>Two neighbours of the table as one vector.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector512<double> Wide(ref Vector256<double> first) => Unsafe.As<Vector256<double>, Vector512<double>>(ref first);

    private readonly struct Onward : IDirection
    {
        public static int Sign => 1;
    }

    private readonly struct Back : IDirection
    {
        public static int Sign => -1;
    }
}
