// SPDX-License-Identifier: MIT
namespace Sweepbook.Spectra;

/// <summary>Means of a spectrum over a constant fraction of an octave.</summary>
public static class Smoothing
{
    /// <summary>The mean power between f · 2^(−w/2) and f · 2^(+w/2) round each centre f, with fractional bins at both edges.</summary>
    /// <param name="power">Power per bin, any linear unit, finite and not negative; bin k stands for k · <paramref name="binWidthHz"/> ± half a bin.</param>
    /// <param name="binWidthHz">Spacing of the bins in hertz, in (0, ∞).</param>
    /// <param name="centresHz">Centres f in hertz, in [0, frequency of the last bin], in any order.</param>
    /// <param name="widthOctaves">Width w in octaves, in (0, 10]: 1/12.0 is a twelfth.</param>
    /// <returns>One mean power per centre, unit of the input. A constant stays that constant.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The bin width or the octave width is outside its interval.</exception>
    /// <exception cref="ArgumentException">There is no bin, a power is negative or not finite, or a centre lies outside the bins.</exception>
    /// <remarks>
    /// Where the width is below one bin, one bin is taken: the value is then interpolated in a straight line between two bins, and there is
    /// no smoothing. Near the end of the data the mean covers only what there is. A mean of power follows the peaks: it is not the mean of
    /// the levels, and a narrow dip nearly vanishes. Takes one step per bin and a few per centre; every partial sum is of positive
    /// numbers, so faint bins after strong ones keep full accuracy. Source: own definition (design, "means"); summing outwards from
    /// fixed marks after M. van Herk, Pattern Recognition Letters 13 (1992) 517–521.
    /// </remarks>
    public static double[] PowerMean(ReadOnlySpan<double> power, double binWidthHz, ReadOnlySpan<double> centresHz, double widthOctaves)
    {
        if (!(binWidthHz > 0 && double.IsFinite(binWidthHz)))
            throw new ArgumentOutOfRangeException(nameof(binWidthHz), binWidthHz, "Must be in (0, ∞) Hz.");
        if (!(widthOctaves > 0 && widthOctaves <= 10))
            throw new ArgumentOutOfRangeException(nameof(widthOctaves), widthOctaves, "Must be in (0, 10] octaves.");
        Check(power);
        var sums = new MarkedSums(power, widthOctaves);
        var (half, highestBin) = (Math.Pow(2, widthOctaves / 2), power.Length - 1);
        var means = new double[centresHz.Length];
        for (var k = 0; k < means.Length; k++)
        {
            var centre = centresHz[k] / binWidthHz;
            if (!(centre >= 0 && centre <= highestBin + EndSlackBins))
                throw new ArgumentException($"Centre {k} is {centresHz[k]} Hz; must be in [0, {highestBin * binWidthHz}] Hz.", nameof(centresHz));
            var (from, to) = (centre / half, centre * half);
            if (to - from < 1) (from, to) = (centre - 0.5, centre + 0.5);
            (from, to) = (Math.Max(from, -0.5), Math.Min(to, highestBin + 0.5));
            means[k] = sums.Between(power, from, to) / (to - from);
        }
        return means;
    }

    /// <summary>A centre at the last bin's own frequency may lie a rounding error above it.</summary>
    private const double EndSlackBins = 1e-6;

    private static void Check(ReadOnlySpan<double> power)
    {
        if (power.IsEmpty) throw new ArgumentException("Got 0 bins; must be 1 or more.", nameof(power));
        for (var k = 0; k < power.Length; k++)
            if (!(power[k] >= 0 && double.IsFinite(power[k])))
                throw new ArgumentException($"The power of bin {k} is {power[k]}; must be in [0, ∞).", nameof(power));
    }

    /// <summary>
    /// Sums over runs of bins without a subtraction. Marks divide the bins into pieces half a smoothing width long; for each bin the
    /// sum from the piece's first bin up to it and from it to the piece's last are kept. A run is then an end piece, at most a few
    /// whole pieces, and an end piece.
    /// </summary>
    private readonly struct MarkedSums
    {
        private readonly List<int> _marks;     // first bin of each piece
        private readonly int[] _piece;         // which piece a bin belongs to
        private readonly double[] _fromFirst;  // sum from the piece's first bin to this one, both included
        private readonly double[] _toLast;     // sum from this bin to the piece's last, both included

        public MarkedSums(ReadOnlySpan<double> power, double widthOctaves)
        {
            var (count, ratio) = (power.Length, Math.Pow(2, widthOctaves / 2));
            (_marks, _piece, _fromFirst, _toLast) = ([], new int[count], new double[count], new double[count]);
            for (int first = 0, next; first < count; first = next)
            {
                next = (int)Math.Min(count, Math.Max(first + 1, Math.Ceiling(first * ratio)));
                double rising = 0, falling = 0;
                for (var k = first; k < next; k++) (_piece[k], _fromFirst[k]) = (_marks.Count, rising += power[k]);
                for (var k = next - 1; k >= first; k--) _toLast[k] = falling += power[k];
                _marks.Add(first);
            }
        }

        /// <summary>The power between two places on the bin axis, in power times bins.</summary>
        public double Between(ReadOnlySpan<double> power, double from, double to)
        {
            int first = (int)Math.Floor(from + 0.5), last = Math.Min((int)Math.Floor(to + 0.5), power.Length - 1);
            return first == last
                ? power[first] * (to - from)
                : power[first] * (first + 0.5 - from) + Whole(power, first + 1, last - 1) + power[last] * (to - last + 0.5);
        }

        private double Whole(ReadOnlySpan<double> power, int first, int last)
        {
            if (first > last) return 0;
            int piece = _piece[first], lastPiece = _piece[last];
            double sum = 0;
            if (piece == lastPiece)
            {
                if (first == _marks[piece]) return _fromFirst[last];
                if (last == power.Length - 1 || _piece[last + 1] != piece) return _toLast[first];
                foreach (var value in power[first..(last + 1)]) sum += value;
                return sum;
            }
            sum = _toLast[first];
            while (++piece < lastPiece) sum += _toLast[_marks[piece]];
            return sum + _fromFirst[last];
        }
    }
}
