// SPDX-License-Identifier: MIT
using System.Buffers;
using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace Sweepbook.Transforms;

/// <summary>A long transform of N = R·C numbers in two sweeps over memory: C transforms of length R, twiddles, R transforms of length C, a few at a time in the cache.</summary>
/// <remarks>
/// With n = C·r + c and k = p + R·q: X[p + R·q] = Σ_c (e^(−j2πcp/N) · Σ_r x[C·r + c] e^(−j2πrp/R)) e^(−j2πcq/C). Passes over the whole length, as short
/// transforms make them, would go to main memory once a pass. Source: D. H. Bailey, "FFTs in External or Hierarchical Memory", J. Supercomputing 4
/// (1990) 23–35, the four-step method; cited from memory, the formula above is its derivation.
/// </remarks>
internal sealed class BlockedFourierPlan
{
    private const int AtOnce = 8;   // 128 bytes of each row: two lines of the cache, and the block of a row still fits into it

    private readonly int _rows, _columns;
    private readonly FourierPassList _down, _across;
    private readonly Complex[] _twiddles;   // in the order of use: column blocks, in each the rows, in each the columns of the block

    public BlockedFourierPlan(int length)
    {
        _rows = NearestToRoot(length);
        _columns = length / _rows;
        _down = new(_rows, AtOnce);
        _across = _columns == _rows ? _down : new(_columns, AtOnce);
        _twiddles = new Complex[length];
        var roots = RootsOfUnity.All(length);
        var next = 0;
        for (var column = 0; column < _columns; column += AtOnce)
            for (var row = 0; row < _rows; row++)
                for (var c = column; c < Math.Min(column + AtOnce, _columns); c++)
                    _twiddles[next++] = roots[row * c];   // below rows · columns, the length
    }

    /// <summary>Forward transform, unscaled; spans as for <see cref="FourierPlan.Forward(ReadOnlySpan{Complex}, Span{Complex}, Span{Complex})"/>.</summary>
    public void Forward(ReadOnlySpan<Complex> input, Span<Complex> output, Span<Complex> scratch, bool pairs)
    {
        var block = Math.Max(_down.Count, _across.Count);
        var rented = ArrayPool<Complex>.Shared.Rent(3 * block);
        // the last block may be narrower: what the pool left beside it is computed along and never read
        Span<Complex> gathered = rented.AsSpan(0, block), result = rented.AsSpan(block, block), between = rented.AsSpan(2 * block, block);
        Down(input, scratch, gathered, result, between, pairs);
        Across(scratch, output, gathered, result, between, pairs);
        ArrayPool<Complex>.Shared.Return(rented);
    }

    /// <summary>Column blocks through the short transforms, turned, into rows of the same shape.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Down(ReadOnlySpan<Complex> input, Span<Complex> turned, Span<Complex> gathered, Span<Complex> result, Span<Complex> between, bool pairs)
    {
        var used = 0;
        for (var column = 0; column < _columns; column += AtOnce)
        {
            var width = Math.Min(AtOnce, _columns - column);
            for (var row = 0; row < _rows; row++) Copy(input.Slice(row * _columns + column, width), gathered.Slice(row * AtOnce, width));
            _down.Forward(gathered, result, between, pairs);
            for (var row = 0; row < _rows; row++, used += width)
                Turn(result.Slice(row * AtOnce, width), _twiddles.AsSpan(used, width), turned.Slice(row * _columns + column, width));
        }
    }

    /// <summary>Rows through the short transforms, a few at a time, into the columns of the result.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Across(ReadOnlySpan<Complex> turned, Span<Complex> output, Span<Complex> gathered, Span<Complex> result, Span<Complex> between, bool pairs)
    {
        for (var row = 0; row < _rows; row += AtOnce)
        {
            var width = Math.Min(AtOnce, _rows - row);
            var rows = turned.Slice(row * _columns, width * _columns);
            for (var c = 0; c < _columns; c++)
                for (var r = 0; r < width; r++) gathered[c * AtOnce + r] = rows[r * _columns + c];
            _across.Forward(gathered, result, between, pairs);
            for (var c = 0; c < _columns; c++) Copy(result.Slice(c * AtOnce, width), output.Slice(c * _rows + row, width));
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Copy(ReadOnlySpan<Complex> from, Span<Complex> to)
    {
        if (from.Length == AtOnce) Unsafe.As<Complex, Block>(ref MemoryMarshal.GetReference(to)) = Unsafe.As<Complex, Block>(ref MemoryMarshal.GetReference(from));
        else from.CopyTo(to);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Turn(ReadOnlySpan<Complex> from, ReadOnlySpan<Complex> by, Span<Complex> to)
    {
        ReadOnlySpan<double> x = MemoryMarshal.Cast<Complex, double>(from), w = MemoryMarshal.Cast<Complex, double>(by);
        var y = MemoryMarshal.Cast<Complex, double>(to);
        for (var k = 0; k + 1 < x.Length; k += 2)
        {
            var (re, im) = (x[k] * w[k] - x[k + 1] * w[k + 1], x[k] * w[k + 1] + x[k + 1] * w[k]);
            (y[k], y[k + 1]) = (re, im);
        }
    }

    /// <summary>One row of a block, copied in a few registers.</summary>
    [InlineArray(AtOnce)]
    private struct Block
    {
        private Complex _first;
    }

    /// <summary>The divisor of a length that is nearest to its square root on a logarithmic scale.</summary>
    private static int NearestToRoot(int length)
    {
        var best = (int)Math.Sqrt(length);
        while (length % best != 0) best--;
        return best;
    }
}
