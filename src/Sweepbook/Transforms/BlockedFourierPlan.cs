// SPDX-License-Identifier: MIT
using System.Buffers;
using System.Numerics;

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
        Span<Complex> gathered = rented.AsSpan(0, block), result = rented.AsSpan(block, block), between = rented.AsSpan(2 * block, block);
        gathered.Clear();   // the last block may be narrower: what stands beside it is computed and never read, but must be numbers
        Down(input, scratch, gathered, result, between, pairs);
        Across(scratch, output, gathered, result, between, pairs);
        ArrayPool<Complex>.Shared.Return(rented);
    }

    private void Down(ReadOnlySpan<Complex> input, Span<Complex> turned, Span<Complex> gathered, Span<Complex> result, Span<Complex> between, bool pairs)
    {
        var twiddles = _twiddles.AsSpan();
        for (var column = 0; column < _columns; column += AtOnce)
        {
            var width = Math.Min(AtOnce, _columns - column);
            for (var row = 0; row < _rows; row++) input.Slice(row * _columns + column, width).CopyTo(gathered[(row * AtOnce)..]);
            _down.Forward(gathered, result, between, pairs);
            for (var row = 0; row < _rows; row++)
            {
                Span<Complex> from = result.Slice(row * AtOnce, width), to = turned.Slice(row * _columns + column, width), by = twiddles[..width];
                for (var c = 0; c < from.Length; c++)
                    to[c] = new(from[c].Real * by[c].Real - from[c].Imaginary * by[c].Imaginary, from[c].Real * by[c].Imaginary + from[c].Imaginary * by[c].Real);
                twiddles = twiddles[width..];
            }
        }
    }

    private void Across(ReadOnlySpan<Complex> turned, Span<Complex> output, Span<Complex> gathered, Span<Complex> result, Span<Complex> between, bool pairs)
    {
        for (var row = 0; row < _rows; row += AtOnce)
        {
            var width = Math.Min(AtOnce, _rows - row);
            for (var r = 0; r < width; r++)
            {
                var from = turned.Slice((row + r) * _columns, _columns);
                for (var c = 0; c < from.Length; c++) gathered[c * AtOnce + r] = from[c];
            }
            _across.Forward(gathered, result, between, pairs);
            for (var c = 0; c < _columns; c++) result.Slice(c * AtOnce, width).CopyTo(output[(c * _rows + row)..]);
        }
    }

    /// <summary>The divisor of a length that is nearest to its square root on a logarithmic scale.</summary>
    private static int NearestToRoot(int length)
    {
        var best = (int)Math.Sqrt(length);
        while (length % best != 0) best--;
        return best;
    }
}
