// SPDX-License-Identifier: MIT
namespace Sweepbook.Transforms;

/// <summary>The cross-correlation of two real sequences, r[lag] = Σ a[n + lag] · b[n], with its lags.</summary>
/// <remarks>The lag of the peak is how much later <c>a</c> is than <c>b</c>.</remarks>
public sealed class Correlation
{
    private readonly double[] _values;

    private Correlation(double[] values, int firstLag) => (_values, FirstLag) = (values, firstLag);

    /// <summary>r[lag] = Σ a[n + lag] · b[n] at every lag where the two overlap.</summary>
    /// <param name="a">The later sequence, usually; at least one value.</param>
    /// <param name="b">The sequence to look for; at least one value.</param>
    /// <returns>a.Length + b.Length − 1 values in the product of the two units, not normalised.</returns>
    /// <exception cref="ArgumentException">A sequence is empty.</exception>
    /// <remarks>
    /// Sums of few products near the two ends are small for that reason alone. Rounding as in <see cref="Convolution.Linear"/>.
    /// Source: A. V. Oppenheim and R. W. Schafer, "Discrete-Time Signal Processing", 3rd ed. 2010, section 2.9 (as convolution with the reversed sequence).
    /// </remarks>
    public static Correlation Of(ReadOnlySpan<double> a, ReadOnlySpan<double> b)
    {
        if (a.IsEmpty) throw new ArgumentException("Got 0 values; must be 1 or more.", nameof(a));
        if (b.IsEmpty) throw new ArgumentException("Got 0 values; must be 1 or more.", nameof(b));
        var reversed = b.ToArray();
        Array.Reverse(reversed);
        return new(Convolution.Linear(a, reversed), 1 - b.Length);
    }

    /// <summary>The lowest lag in samples: 1 − the length of the second sequence.</summary>
    public int FirstLag { get; }

    /// <summary>The highest lag in samples: the length of the first sequence − 1.</summary>
    public int LastLag => FirstLag + _values.Length - 1;

    /// <summary>The value at <paramref name="lag"/> samples, in [<see cref="FirstLag"/>, <see cref="LastLag"/>].</summary>
    public double this[int lag] => lag >= FirstLag && lag <= LastLag
        ? _values[lag - FirstLag]
        : throw new ArgumentOutOfRangeException(nameof(lag), lag, $"Must be in [{FirstLag}, {LastLag}].");

    /// <summary>The lag whose value is farthest from zero, whichever its sign; the lowest such lag where several are equal.</summary>
    public int StrongestLag
    {
        get
        {
            var best = 0;
            for (var k = 1; k < _values.Length; k++)
                if (Math.Abs(_values[k]) > Math.Abs(_values[best])) best = k;
            return FirstLag + best;
        }
    }

    /// <summary>All values from <see cref="FirstLag"/> on, as a copy that the caller owns.</summary>
    public double[] ToArray() => [.. _values];
}
