// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;

namespace Sweepbook.Transforms;

/// <summary>The passes of a transform of one length with their twiddles, for one sequence or for several interleaved ones. Never changes.</summary>
internal sealed class FourierPassList
{
    private readonly Pass[] _passes;

    /// <summary>Makes the passes.</summary>
    /// <param name="length">Numbers in each sequence; a product of twos, threes and fives.</param>
    /// <param name="interleaved">How many sequences lie interleaved: number n of sequence c is at n · interleaved + c.</param>
    public FourierPassList(int length, int interleaved)
    {
        Count = length * interleaved;
        var passes = new List<Pass>();
        var roots = RootsOfUnity.All(length);
        int blocks = length, stride = 1;
        foreach (var radix in Radices(length))
        {
            blocks /= radix;
            passes.Add(new(radix, blocks, stride * interleaved, Twiddles(roots, radix, blocks, stride)));
            stride *= radix;
        }
        _passes = [.. passes];
    }

    /// <summary>Numbers in and out, all sequences together.</summary>
    public int Count { get; }

    /// <summary>All passes one after the other, from the input through the scratch to the output; the three must not overlap.</summary>
    public void Forward(ReadOnlySpan<Complex> input, Span<Complex> output, Span<Complex> scratch, bool pairs)
    {
        if (_passes.Length == 0) input[..Count].CopyTo(output);
        for (var k = 0; k < _passes.Length; k++)
        {
            var target = ((_passes.Length - 1 - k) % 2 == 0 ? output : scratch)[..Count];
            ref readonly var pass = ref _passes[k];
            Run(in pass, in Doubles(input), ref MemoryMarshal.GetReference(MemoryMarshal.Cast<Complex, double>(target)), pairs);
            input = target;
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
