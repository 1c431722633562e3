// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Numerics;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Sweepbook.Transforms;

/// <summary>What a complex transform of one length needs: its passes and their twiddles. Never changes, so threads may share it.</summary>
internal sealed class FourierPlan
{
    /// <summary>Plans kept; beyond that the store is emptied, so that a run over many odd lengths does not keep them all.</summary>
    private const int PlansKept = 64;

    private static readonly ConcurrentDictionary<int, FourierPlan> Kept = new();

    private readonly Pass[] _passes;

    private FourierPlan(int length)
    {
        Length = length;
        var passes = new List<Pass>();
        var roots = RootsOfUnity.All(length);
        int blocks = length, stride = 1;
        foreach (var radix in Radices(length))
        {
            blocks /= radix;
            passes.Add(new(radix, blocks, stride, Twiddles(roots, radix, blocks, stride)));
            stride *= radix;
        }
        _passes = [.. passes];
    }

    /// <summary>Complex numbers in and out.</summary>
    public int Length { get; }

    /// <summary>The plan of a length, from the store or made now.</summary>
    public static FourierPlan Of(int length)
    {
        if (Kept.TryGetValue(length, out var plan)) return plan;
        if (Kept.Count >= PlansKept) Kept.Clear();
        return Kept.GetOrAdd(length, static n => new(n));
    }

    /// <summary>Forward transform, unscaled: output[k] = Σ input[n] · e^(−j2πkn/N).</summary>
    /// <param name="input"><see cref="Length"/> numbers.</param>
    /// <param name="output"><see cref="Length"/> numbers; must not overlap the input.</param>
    /// <param name="scratch"><see cref="Length"/> numbers that may be overwritten; must overlap neither.</param>
    public void Forward(ReadOnlySpan<Complex> input, Span<Complex> output, Span<Complex> scratch) =>
        Forward(input, output, scratch, Vector256.IsHardwareAccelerated);

    /// <summary>The same with the register width named: both widths are tested on every machine.</summary>
    internal void Forward(ReadOnlySpan<Complex> input, Span<Complex> output, Span<Complex> scratch, bool pairs)
    {
        if (input.Length != Length || output.Length < Length || scratch.Length < Length)
            throw new ArgumentException($"Got spans of {input.Length}, {output.Length} and {scratch.Length} for a transform of {Length}.", nameof(input));
        if (input.Overlaps(output) || input.Overlaps(scratch) || output.Overlaps(scratch))
            throw new ArgumentException("Input, output and scratch must not overlap.", nameof(output));
        if (_passes.Length == 0) input.CopyTo(output);
        for (var k = 0; k < _passes.Length; k++)
        {
            var target = (_passes.Length - 1 - k) % 2 == 0 ? output : scratch;
            ref readonly var pass = ref _passes[k];
            Run(in pass, in Doubles(input), ref MemoryMarshal.GetReference(MemoryMarshal.Cast<Complex, double>(target)), pairs);
            input = target[..Length];
        }
    }

    private static ref readonly double Doubles(ReadOnlySpan<Complex> numbers) =>
        ref MemoryMarshal.GetReference(MemoryMarshal.Cast<Complex, double>(numbers));

    private static void Run(ref readonly Pass pass, ref readonly double x, ref double y, bool pairs)
    {
        ref readonly var w = ref Doubles(pass.Twiddles);
        if (pairs && pass.Stride % 2 == 0)
            FourierPasses.Run<PairLane>(in x, ref y, in w, pass.Radix, pass.Blocks, pass.Stride, 0);
        else
        {
            var done = pairs && pass is { Stride: 1, Radix: 4 } ? FourierPasses.FirstRadix4(in x, ref y, in w, pass.Blocks) : 0;
            FourierPasses.Run<SingleLane>(in x, ref y, in w, pass.Radix, pass.Blocks, pass.Stride, done);
        }
    }

    /// <summary>Fours first: from the second pass on the stride is then even and two numbers fit into a register.</summary>
    private static IEnumerable<int> Radices(int length)
    {
        foreach (var radix in (int[])[4, 2, 3, 5])
            for (; length % radix == 0; length /= radix)
                yield return radix;
    }

    /// <summary>e^(−j2π·i·p / (radix·blocks)), i = 1 … radix − 1, p = 0 … blocks − 1, from the roots of the whole length: every <paramref name="stride"/>th of them.</summary>
    private static Complex[] Twiddles(ReadOnlySpan<Complex> roots, int radix, int blocks, int stride)
    {
        var twiddles = new Complex[(radix - 1) * blocks];
        for (var i = 1; i < radix; i++)
            for (var p = 0; p < blocks; p++)
                twiddles[(i - 1) * blocks + p] = roots[i * p * stride];   // below radix · blocks · stride, the length
        return twiddles;
    }

    private readonly record struct Pass(int Radix, int Blocks, int Stride, Complex[] Twiddles);
}
