// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>How much later the second of two receptions of one sound is: both went through the same room, so that reflections help.</summary>
/// <param name="Samples">The lag, in samples.</param>
/// <param name="DeviationSamples">Its standard deviation, from what the two do not share.</param>
/// <param name="LikenessRatio">Their normalised correlation at that lag: 1 for equal ones.</param>
/// <remarks>
/// The lag that makes Σ Re(A* · B · e^{jωτ}) largest, which is the estimate of least squares for equal receptions in white noise; its error is
/// Σ ω Im(A*(B − A)) / Σ ω²|A|². Misleads where somebody walked or a door moved between the two. Source: derived.
/// </remarks>
internal readonly record struct ReceivedLag(double Samples, double DeviationSamples, double LikenessRatio)
{
    private const double TaperRatio = 0.2;

    /// <param name="one">The first reception.</param>
    /// <param name="other">A longer stretch that holds the second one.</param>
    internal static ReceivedLag Of(ReadOnlySpan<double> one, ReadOnlySpan<double> other)
    {
        var whole = Correlation.Of(other, one);
        var lag = 0;
        for (var k = 0; k <= other.Length - one.Length; k++)
            if (whole[k] > whole[lag]) lag = k;
        var window = Window.Tukey(one.Length, TaperRatio);
        var (first, second) = (new double[one.Length], new double[one.Length]);
        for (var n = 0; n < one.Length; n++) (first[n], second[n]) = (window[n] * one[n], lag + n < other.Length ? window[n] * other[lag + n] : 0);
        var length = StimulusSpectrum.EvenLength(one.Length);
        var (a, b) = (FourierTransform.OfReal(first, length), FourierTransform.OfReal(second, length));
        var late = 0.0;   // of the second, in samples beyond the lag
        for (var round = 0; round < 20; round++)
        {
            var (slope, curvature) = (0.0, 0.0);
            for (var k = 1; k < a.Length; k++)
            {
                var (turn, product) = (2 * Math.PI * k / length, Complex.Conjugate(a[k]) * b[k] * Complex.FromPolarCoordinates(1, 2 * Math.PI * k / length * late));
                (slope, curvature) = (slope - turn * product.Imaginary, curvature + turn * turn * product.Real);
            }
            if (!(curvature > 0)) break;
            var move = Math.Clamp(slope / curvature, -0.5, 0.5);
            late += move;
            if (Math.Abs(move) < 1e-9) break;
        }
        var kept = 0.0;   // of noise behind the taper; the sound lies under its flat part
        foreach (var weight in window) kept += weight * weight / window.Length;
        var (information, noise, energyOne, energyOther, shared) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (var k = 1; k < a.Length; k++)
        {
            var (turn, moved) = (2 * Math.PI * k / length, b[k] * Complex.FromPolarCoordinates(1, 2 * Math.PI * k / length * late));
            var (power, rest) = (Square(a[k]), Square(moved - a[k]));
            (information, noise) = (information + turn * turn * power, noise + turn * turn * power * rest / 2);
            (energyOne, energyOther, shared) = (energyOne + power, energyOther + Square(b[k]), shared + (Complex.Conjugate(a[k]) * moved).Real);
        }
        return energyOne == 0 || energyOther == 0 ? new(lag, double.PositiveInfinity, 0)
            : new(lag + late, Math.Sqrt(noise / kept) / information, shared / Math.Sqrt(energyOne * energyOther));
    }

    /// <summary>How much of a reception to use: its late part adds sound, and noise of both; the variance (2NE + N²n) / E² of the lag is smallest somewhere.</summary>
    /// <param name="one">The reception.</param>
    /// <param name="noisePower">Mean square of the noise in either.</param>
    /// <param name="shortest">In samples.</param>
    /// <returns>A length, and the share of its energy that is sound.</returns>
    internal static (int Length, double CleanRatio) BestLength(ReadOnlySpan<double> one, double noisePower, double shortest)
    {
        var (energy, best, found) = (0.0, double.PositiveInfinity, (Length: one.Length, CleanRatio: 1.0));
        for (var n = 1; n <= one.Length; n++)
        {
            energy += one[n - 1] * one[n - 1];
            var sound = energy - noisePower * n;
            if (n < shortest || !(sound > 0)) continue;
            var variance = (2 * noisePower * sound + noisePower * noisePower * n) / (sound * sound);
            if (variance < best || noisePower == 0) (best, found) = (variance, (n, sound / energy));
        }
        return found;
    }

    private static double Square(Complex value) => value.Real * value.Real + value.Imaginary * value.Imaginary;
}
