// SPDX-License-Identifier: MIT
using System.Collections.Concurrent;
using System.Numerics;
using System.Runtime.Intrinsics;

namespace Sweepbook.Transforms;

/// <summary>What a complex transform of one length needs: its passes and their twiddles. Never changes, so threads may share it.</summary>
internal sealed class FourierPlan
{
    /// <summary>Plans kept; beyond that the store is emptied, so that a run over many odd lengths does not keep them all.</summary>
    private const int PlansKept = 64;

    private static readonly ConcurrentDictionary<int, FourierPlan> Kept = new();

    /// <summary>
    /// From this length on two sweeps over memory are quicker than a pass per factor: measured with a third-level cache of 32 MB, by 3 to 12 % (DEVELOPERS.md).
    /// </summary>
    internal const int BlockedFrom = 1 << 21;

    private readonly FourierPassList? _passes;
    private readonly BlockedFourierPlan? _blocked;

    private FourierPlan(int length)
    {
        Length = length;
        if (length >= BlockedFrom) _blocked = new(length);
        else _passes = new(length, 1);
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
        _passes?.Forward(input, output, scratch, pairs);
        _blocked?.Forward(input, output, scratch, pairs);
    }
}
