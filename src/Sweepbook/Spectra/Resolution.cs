// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;

namespace Sweepbook.Spectra;

/// <summary>How many values of a windowed response are independent of each other: bandwidth · T, because neighbours closer than 1/T share their noise.</summary>
/// <param name="WindowSeconds">T = Σ w² / sample rate: the window's effective length, in seconds, above zero.</param>
/// <param name="BinWidthHz">Spacing of the transform's bins in hertz.</param>
/// <remarks>
/// Derivation: white noise cut by w has a spectrum whose covariance over a frequency difference is the transform of w²; its integral, relative to its
/// value at zero, is 1 / T for a window that is 1 where the response lies. Misleads where the noise has lines: hum fills a band with one value.
/// </remarks>
internal readonly record struct Resolution(double WindowSeconds, double BinWidthHz)
{
    internal const double PooledOctaves = 1 / 3.0;
    private const double NarrowestCellBins = 2;

    /// <summary>True where a grid cell is narrower than two bins: its level is then that of the exact value, not a mean.</summary>
    internal static bool IsSingleValue(LogGrid grid, int k, double binWidthHz) => grid[k] * Math.Log(2) / grid.PointsPerOctave < NarrowestCellBins * binWidthHz;

    /// <summary>Independent values in the grid cell; 1 at least.</summary>
    internal double InCell(LogGrid grid, int k) => IsSingleValue(grid, k, BinWidthHz) ? 1 : Within(grid[k], 1.0 / grid.PointsPerOctave);

    /// <summary>Independent values in the third of an octave round a frequency; 1 at least.</summary>
    internal double InThirdOctave(double frequencyHz) => Within(frequencyHz, PooledOctaves);

    private double Within(double frequencyHz, double widthOctaves) =>
        Math.Max(1, frequencyHz * (Math.Pow(2, widthOctaves / 2) - Math.Pow(2, -widthOctaves / 2)) * WindowSeconds);
}
