// SPDX-License-Identifier: MIT
using System.Numerics;
using System.Runtime.InteropServices;

namespace Sweepbook.Spectra;

/// <summary>Means of a spectrum over a fraction of an octave, the same everywhere or by a table.</summary>
/// <remarks>
/// The mean round f covers f · 2^(−w/2) … f · 2^(+w/2), with fractions of the bins at both edges. Where that is narrower than one bin, one bin is
/// taken: the value is then interpolated in a straight line between two bins, and there is no smoothing. Near the end of the data the mean
/// covers only what there is. Takes one step per bin and a few per centre, where the width changes slowly; centres in rising order are quickest.
/// No sum is a difference of two larger ones, so faint bins after strong ones keep full accuracy.
/// Source: own definition (a rectangle over log frequency, weighted as the bins lie); summing outwards from fixed marks after
/// M. van Herk, Pattern Recognition Letters 13 (1992) 517–521.
/// </remarks>
public static class Smoothing
{
    /// <summary>A centre at the last bin's own frequency may lie a rounding error above it.</summary>
    private const double EndSlackBins = 1e-6;

    /// <summary>The mean power between f · 2^(−w/2) and f · 2^(+w/2) round each centre f, with fractional bins at both edges.</summary>
    /// <param name="power">Power per bin, any linear unit, finite and not negative; bin k stands for k · <paramref name="binWidthHz"/> ± half a bin.</param>
    /// <param name="binWidthHz">Spacing of the bins in hertz, in (0, ∞).</param>
    /// <param name="centresHz">Centres f in hertz, in [0, frequency of the last bin], in any order.</param>
    /// <param name="widthOctaves">Width w in octaves, in (0, 10]: 1/12.0 is a twelfth.</param>
    /// <returns>One mean power per centre, unit of the input. A constant stays that constant.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The bin width or the octave width is outside its interval.</exception>
    /// <exception cref="ArgumentException">There is no bin, a power is negative or not finite, or a centre lies outside the bins.</exception>
    /// <remarks>A mean of power follows the peaks: it is not the mean of the levels, and a narrow dip nearly vanishes. Edges and source: see the class.</remarks>
    public static double[] PowerMean(ReadOnlySpan<double> power, double binWidthHz, ReadOnlySpan<double> centresHz, double widthOctaves) =>
        PowerMean(power, binWidthHz, centresHz, SmoothingWidths.Constant(widthOctaves));

    /// <summary>The mean power round each centre, as wide as the table says for that centre.</summary>
    /// <param name="power">Power per bin, any linear unit, finite and not negative; bin k stands for k · <paramref name="binWidthHz"/> ± half a bin.</param>
    /// <param name="binWidthHz">Spacing of the bins in hertz, in (0, ∞).</param>
    /// <param name="centresHz">Centres in hertz, in [0, frequency of the last bin], in any order.</param>
    /// <param name="widths">The widths.</param>
    /// <returns>One mean power per centre, unit of the input. A constant stays that constant.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The bin width is outside its interval.</exception>
    /// <exception cref="ArgumentException">There is no bin, a power is negative or not finite, or a centre lies outside the bins.</exception>
    /// <remarks>Follows the peaks as every mean of power does; two curves compare only if the same table smoothed both. Edges and source: see the class.</remarks>
    public static double[] PowerMean(ReadOnlySpan<double> power, double binWidthHz, ReadOnlySpan<double> centresHz, SmoothingWidths widths)
    {
        ArgumentNullException.ThrowIfNull(widths);
        CheckBins(power.Length, binWidthHz, nameof(power));
        CheckPower(power);
        var centres = CentresInBins(centresHz, binWidthHz, power.Length - 1);
        Means(power, binWidthHz, centres, widths, centres);
        return centres;
    }

    /// <summary>The mean power round every bin.</summary>
    /// <param name="power">Power per bin, any linear unit, finite and not negative; bin k stands for k · <paramref name="binWidthHz"/> ± half a bin.</param>
    /// <param name="binWidthHz">Spacing of the bins in hertz, in (0, ∞).</param>
    /// <param name="widths">The widths.</param>
    /// <returns>One mean power per bin, unit of the input. A constant stays that constant.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The bin width is outside its interval.</exception>
    /// <exception cref="ArgumentException">There is no bin, or a power is negative or not finite.</exception>
    /// <remarks>Follows the peaks as every mean of power does. Edges and source: see the class.</remarks>
    public static double[] PowerMean(ReadOnlySpan<double> power, double binWidthHz, SmoothingWidths widths)
    {
        ArgumentNullException.ThrowIfNull(widths);
        CheckBins(power.Length, binWidthHz, nameof(power));
        CheckPower(power);
        var means = GC.AllocateUninitializedArray<double>(power.Length);
        Means(power, binWidthHz, [], widths, means);
        return means;
    }

    /// <summary>The mean of complex values round each centre: real and imaginary parts, each on its own.</summary>
    /// <param name="values">Value per bin, any linear unit, finite; bin k stands for k · <paramref name="binWidthHz"/> ± half a bin.</param>
    /// <param name="binWidthHz">Spacing of the bins in hertz, in (0, ∞).</param>
    /// <param name="centresHz">Centres in hertz, in [0, frequency of the last bin], in any order.</param>
    /// <param name="widths">The widths.</param>
    /// <returns>One complex mean per centre, unit of the input. A constant stays that constant.</returns>
    /// <exception cref="ArgumentOutOfRangeException">The bin width is outside its interval.</exception>
    /// <exception cref="ArgumentException">There is no bin, a value is not finite, or a centre lies outside the bins.</exception>
    /// <remarks>
    /// A delay turns the phase from bin to bin, and values that turn cancel: what arrives late is taken away, the more the higher the frequency
    /// (a window whose length falls with frequency). Take the common delay out first, or the direct sound goes too. Edges and source: see the class.
    /// </remarks>
    public static Complex[] ComplexMean(ReadOnlySpan<Complex> values, double binWidthHz, ReadOnlySpan<double> centresHz, SmoothingWidths widths)
    {
        ArgumentNullException.ThrowIfNull(widths);
        CheckBins(values.Length, binWidthHz, nameof(values));
        var (real, imaginary) = (new double[values.Length], new double[values.Length]);
        for (var k = 0; k < values.Length; k++)
        {
            if (!Complex.IsFinite(values[k])) throw new ArgumentException($"The value of bin {k} is {values[k]}; must be finite.", nameof(values));
            (real[k], imaginary[k]) = (values[k].Real, values[k].Imaginary);
        }
        var centres = CentresInBins(centresHz, binWidthHz, values.Length - 1);
        var (realMeans, means) = (new double[centres.Length], new Complex[centres.Length]);
        Means(real, binWidthHz, centres, widths, realMeans);
        Means(imaginary, binWidthHz, centres, widths, centres);
        for (var k = 0; k < means.Length; k++) means[k] = new(realMeans[k], centres[k]);
        return means;
    }

    /// <summary>Means round centres given in bins, or round every bin where none are given; the means may take the centres' place.</summary>
    private static void Means(ReadOnlySpan<double> values, double binWidthHz, ReadOnlySpan<double> centres, SmoothingWidths widths, Span<double> means)
    {
        using var sums = new MarkedSums(values, binWidthHz, widths);
        var highest = values.Length - 0.5;
        var up = Math.Pow(2, widths.OctavesAt(0) / 2);
        var down = 1 / up;
        for (var k = 0; k < means.Length; k++)
        {
            var centre = centres.IsEmpty ? k : centres[k];
            if (!widths.IsConstant) down = 1 / (up = Math.Pow(2, widths.OctavesAt(centre * binWidthHz) / 2));
            var (from, to) = (centre * down, centre * up);
            if (to - from < 1) (from, to) = (centre - 0.5, centre + 0.5);
            to = Math.Min(to, highest);
            means[k] = sums.Between(from, to) / (to - from);
        }
    }

    private static double[] CentresInBins(ReadOnlySpan<double> centresHz, double binWidthHz, int highestBin)
    {
        var centres = new double[centresHz.Length];
        for (var k = 0; k < centres.Length; k++)
        {
            centres[k] = centresHz[k] / binWidthHz;
            if (!(centres[k] >= 0 && centres[k] <= highestBin + EndSlackBins))
                throw new ArgumentException($"Centre {k} is {centresHz[k]} Hz; must be in [0, {highestBin * binWidthHz}] Hz.", nameof(centresHz));
        }
        return centres;
    }

    private static void CheckBins(int count, double binWidthHz, string name)
    {
        if (!(binWidthHz > 0 && double.IsFinite(binWidthHz)))
            throw new ArgumentOutOfRangeException(nameof(binWidthHz), binWidthHz, "Must be in (0, ∞) Hz.");
        if (count == 0) throw new ArgumentException("Got 0 bins; must be 1 or more.", name);
    }

    private static void CheckPower(ReadOnlySpan<double> power)
    {
        var start = 0;   // several bins at once as long as all is well
        foreach (var some in MemoryMarshal.Cast<double, Vector<double>>(power))
        {
            if (!(Vector.GreaterThanOrEqualAll(some, Vector<double>.Zero) && Vector.LessThanOrEqualAll(some, new Vector<double>(double.MaxValue)))) break;
            start += Vector<double>.Count;
        }
        for (var k = start; k < power.Length; k++)
            if (!(power[k] >= 0 && double.IsFinite(power[k])))
                throw new ArgumentException($"The power of bin {k} is {power[k]}; must be in [0, ∞).", nameof(power));
    }
}
