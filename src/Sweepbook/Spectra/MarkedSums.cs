// SPDX-License-Identifier: MIT
using System.Buffers;
using System.Runtime.CompilerServices;

namespace Sweepbook.Spectra;

/// <summary>
/// Sums over runs of bins without a subtraction. Marks divide the bins into pieces half a smoothing width long; for each bin the
/// sum from the piece's first bin up to it and from it to the piece's last are kept. A run is then an end piece, at most a few
/// whole pieces, and an end piece.
/// </summary>
/// <remarks>Source: M. van Herk, Pattern Recognition Letters 13 (1992) 517–521, with sums in place of maxima and pieces that grow with frequency.</remarks>
internal ref struct MarkedSums : IDisposable
{
    private readonly ReadOnlySpan<double> _values;
    private readonly ReadOnlySpan<int> _marks;   // first bin of each piece, then the number of bins
    private readonly double[] _fromFirst;        // sum from the piece's first bin to this one, both included; borrowed
    private readonly double[] _toLast;           // sum from this bin to the piece's last, both included; borrowed
    // Where the run before began and ended, piece by piece; the next one is usually there too.
    private int _firstPiece, _lastPiece, _firstFrom, _firstTo, _lastFrom, _lastTo;
    private double _middle;                      // sum of the whole pieces between those two

    public MarkedSums(ReadOnlySpan<double> values, double binWidthHz, SmoothingWidths widths)
    {
        _values = values;
        (_fromFirst, _toLast) = (ArrayPool<double>.Shared.Rent(values.Length), ArrayPool<double>.Shared.Rent(values.Length));
        var marks = new List<int>();
        var constant = Math.Pow(2, widths.OctavesAt(0) / 2);
        for (int first = 0, next; first < values.Length; first = next)
        {
            var ratio = widths.IsConstant ? constant : Math.Pow(2, widths.OctavesAt(first * binWidthHz) / 2);
            next = (int)Math.Min(values.Length, Math.Max(first + 1, Math.Ceiling(first * ratio)));
            Fill(values[first..next], _fromFirst.AsSpan(first, next - first), _toLast.AsSpan(first, next - first));
            marks.Add(first);
        }
        _marks = (int[])[.. marks, values.Length];
    }

    public readonly void Dispose()
    {
        ArrayPool<double>.Shared.Return(_fromFirst);
        ArrayPool<double>.Shared.Return(_toLast);
    }

    /// <summary>The sum between two places on the bin axis, in value times bins: fractions of the bins at both edges, the whole of those between.</summary>
    public double Between(double from, double to)
    {
        int first = (int)(from + 0.5), last = Math.Min((int)(to + 0.5), _values.Length - 1);   // both places are −½ or more
        return first == last
            ? _values[first] * (to - from)
            : _values[first] * (first + 0.5 - from) + Whole(first + 1, last - 1) + _values[last] * (to - last + 0.5);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private double Whole(int first, int last)
    {
        if (first > last) return 0;
        if (first < _firstFrom || first >= _firstTo || last < _lastFrom || last >= _lastTo) Move(first, last);
        return _firstPiece == _lastPiece ? Within(_firstPiece, first, last) : _toLast[first] + _middle + _fromFirst[last];
    }

    private void Move(int first, int last)
    {
        (_firstPiece, _lastPiece) = (PieceOf(first, _firstPiece), PieceOf(last, _lastPiece));
        (_firstFrom, _firstTo, _lastFrom, _lastTo) = (_marks[_firstPiece], _marks[_firstPiece + 1], _marks[_lastPiece], _marks[_lastPiece + 1]);
        _middle = 0;
        for (var piece = _firstPiece + 1; piece < _lastPiece; piece++) _middle += _toLast[_marks[piece]];
    }

    private readonly double Within(int piece, int first, int last)
    {
        if (first == _marks[piece]) return _fromFirst[last];
        if (last + 1 == _marks[piece + 1]) return _toLast[first];
        double sum = 0;
        foreach (var value in _values[first..(last + 1)]) sum += value;
        return sum;
    }

    private readonly int PieceOf(int bin, int near)
    {
        if (_marks[near] <= bin)
        {
            if (bin < _marks[near + 1]) return near;
            if (bin < _marks[near + 2]) return near + 1;   // there is one, since a bin lies beyond this piece
        }
        var found = _marks.BinarySearch(bin);
        return found >= 0 ? found : ~found - 1;
    }

    /// <summary>Both running sums in one go: they do not wait for each other.</summary>
    private static void Fill(ReadOnlySpan<double> values, Span<double> fromFirst, Span<double> toLast)
    {
        double rising = 0, falling = 0;
        for (int k = 0, mirror = values.Length - 1; k < values.Length; k++, mirror--)
            (fromFirst[k], toLast[mirror]) = (rising += values[k], falling += values[mirror]);
    }
}
