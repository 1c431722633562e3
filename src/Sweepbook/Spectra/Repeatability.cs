// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;

namespace Sweepbook.Spectra;

/// <summary>
/// Half the width, in decibels, of the interval round the plotted level that holds the level without noise and drift in 95 % of surveys.
/// </summary>
/// <remarks>
/// The plotted level is that of the mean of n repeats, so the interval covers the deviation of that mean, not of a single repeat: it shrinks with √n.
/// It covers what changes from repeat to repeat and nothing else. What all repeats share (microphone, position, the day's temperature) is not in it.
/// Where the level is a mean over a wide cell, noise lifts it by its own power, and the half width is the larger of t(97.5 %) · u and
/// lift + t(95 %) · u: with a lift, the truth lies outside on one side only.
/// Misleads where repeats were made in one go and the survey took a day; where hum or a voice is in one of many repeats; below 15 dB of
/// signal over noise, where decibels are no longer symmetric (such points are censored).
/// Source: JCGM 100:2008 (GUM) 4.2 (type A evaluation), 6.2 and annex G; how the variance is taken apart is own derivation, stated with each method.
/// </remarks>
internal static class Repeatability
{
    private const double ExplainedByNoise = 4;   // two standard deviations: a common change of level beyond them is called drift
    private static readonly SmoothingWidths s_pooled = SmoothingWidths.Constant(Resolution.PooledOctaves);

    /// <summary>From the spread of two or more repeats.</summary>
    /// <param name="spectra">One spectrum per repeat, after alignment, bin k at k · the resolution's bin width; equal lengths.</param>
    /// <param name="resolution">What the window resolves.</param>
    /// <param name="grid">Where the level is given.</param>
    /// <param name="cellPower">Power of the mean of the repeats at each grid point, in the unit of the spectra squared.</param>
    /// <returns>Decibels per grid point, zero where the repeats agree exactly.</returns>
    /// <remarks>
    /// A repeat is H · (1 + a) + N. Over a third of an octave with M independent values the deviations Dᵢ = Hᵢ − H̄ are split into the part that follows
    /// H̄, aᵢ = Σ H̄* Dᵢ / Σ |H̄|², and the rest. Re aᵢ is a change of level; its variance s² has n − 1 degrees of freedom and holds the drift and
    /// 1 / M of the noise. The rest gives the noise σ² with 2 (n − 1)(M − 1). The level's relative variance at a point of power P whose cell
    /// holds m values is then (s² + σ² (1 / (2 P m) − 1 / (2 P₃ M))) / n, P₃ the mean power of the third octave: drift and noise once each. A
    /// turn of phase, Im aᵢ, is a shift in time and moves no level.
    /// As much of s² as noise explains (up to 4 σ² / (2 P₃ M)) joins the noise, and the degrees of freedom of that sum are those of Welch and Satterthwaite;
    /// what lies beyond is drift and keeps Student's factor of n − 1 degrees for itself, squares added. With the formula for the whole sum two
    /// repeats that agree by chance would hide a drift: 88 % instead of 95 % at 0.3 dB of drift (tested).
    /// </remarks>
    internal static double[] OfRepeats(IReadOnlyList<Complex[]> spectra, Resolution resolution, LogGrid grid, ReadOnlySpan<double> cellPower)
    {
        var repeats = spectra.Count;
        if (repeats < 2) throw new ArgumentException($"Got {repeats}; the spread needs two repeats or more.", nameof(spectra));
        var (gain, noise) = Spread(spectra, resolution, grid, out var pooledPower);
        var halfWidthsDb = new double[grid.Count];
        for (var k = 0; k < halfWidthsDb.Length; k++)
        {
            var values = resolution.InThirdOctave(grid[k]);
            var share = Math.Max(0, 1 / (2 * cellPower[k] * resolution.InCell(grid, k)) - 1 / (2 * pooledPower[k] * values));
            var rest = noise[k] == 0 ? 0 : noise[k] * share;
            var explained = Math.Min(gain[k], ExplainedByNoise * noise[k] / (2 * pooledPower[k] * values));   // noise alone changes the level that much
            var freedom = StudentFactor.Freedom(explained, repeats - 1, rest, 2 * (repeats - 1) * (values - 1));
            halfWidthsDb[k] = HalfWidthDb((explained + rest) / repeats, freedom, (gain[k] - explained) / repeats, repeats - 1, noise[k] / (repeats * cellPower[k]));
        }
        return halfWidthsDb;
    }

    /// <summary>From the measurement noise alone: what a single take can say.</summary>
    /// <param name="noisePower">Noise power per grid point, estimated over a third of an octave; NaN where unknown.</param>
    /// <param name="noiseFreedom">Degrees of freedom of that estimate at a frequency in hertz.</param>
    /// <param name="resolution">What the window resolves.</param>
    /// <param name="grid">Where the level is given.</param>
    /// <param name="cellPower">Power of the level at each grid point, same unit as the noise.</param>
    /// <returns>Decibels per grid point; NaN where the noise is unknown.</returns>
    /// <remarks>
    /// Relative variance of the level σ² / (2 P m): only the part of the noise in phase with the response changes its magnitude. Says nothing about drift
    /// between takes, which one take cannot show.
    /// </remarks>
    internal static double[] OfNoise(ReadOnlySpan<double> noisePower, Func<double, double> noiseFreedom, Resolution resolution, LogGrid grid, ReadOnlySpan<double> cellPower)
    {
        var halfWidthsDb = new double[grid.Count];
        for (var k = 0; k < halfWidthsDb.Length; k++)
        {
            var ratio = noisePower[k] == 0 ? 0 : noisePower[k] / cellPower[k];
            halfWidthsDb[k] = HalfWidthDb(ratio / (2 * resolution.InCell(grid, k)), noiseFreedom(grid[k]), 0, 1, ratio);
        }
        return halfWidthsDb;
    }

    /// <summary>Variance of the level that a third of an octave has in common, and the noise power of one repeat, per grid point.</summary>
    private static (double[] Gain, double[] Noise) Spread(IReadOnlyList<Complex[]> spectra, Resolution resolution, LogGrid grid, out double[] pooledPower)
    {
        var mean = Mean(spectra);
        pooledPower = Smoothing.PowerMean(Powers(mean), resolution.BinWidthHz, grid.FrequenciesHz, s_pooled);
        var (gain, common, deviation, along) = (new double[grid.Count], new double[grid.Count], new double[mean.Length], new Complex[mean.Length]);
        foreach (var spectrum in spectra)
        {
            for (var k = 0; k < mean.Length; k++)
            {
                var difference = spectrum[k] - mean[k];
                deviation[k] += difference.Real * difference.Real + difference.Imaginary * difference.Imaginary;
                along[k] = Complex.Conjugate(mean[k]) * difference;
            }
            var pooled = Smoothing.ComplexMean(along, resolution.BinWidthHz, grid.FrequenciesHz, s_pooled);
            for (var k = 0; k < gain.Length; k++)
            {
                if (pooledPower[k] == 0) continue;
                var change = pooled[k] / pooledPower[k];
                gain[k] += change.Real * change.Real / (spectra.Count - 1);
                common[k] += (change.Real * change.Real + change.Imaginary * change.Imaginary) * pooledPower[k];
            }
        }
        var noise = Smoothing.PowerMean(deviation, resolution.BinWidthHz, grid.FrequenciesHz, s_pooled);
        for (var k = 0; k < noise.Length; k++)
        {
            var left = 1 - 1 / resolution.InThirdOctave(grid[k]);   // of M values one went into the common change
            noise[k] = left > 0 ? Math.Max(0, noise[k] - common[k]) / ((spectra.Count - 1) * left) : 0;
        }
        return (gain, noise);
    }

    private static double HalfWidthDb(double noiseVariance, double noiseFreedom, double driftVariance, double driftFreedom, double biasRatio)
    {
        var bothSides = Combined(StudentFactor.TwoSided(noiseFreedom), StudentFactor.TwoSided(driftFreedom));
        var oneSide = Combined(StudentFactor.OneSided(noiseFreedom), StudentFactor.OneSided(driftFreedom));
        return Math.Max(bothSides, Decibels.FromPower(Math.E) * biasRatio + oneSide);

        double Combined(double noiseFactor, double driftFactor) => Decibels.FromAmplitude(Math.E)
            * Math.Sqrt(noiseFactor * noiseFactor * noiseVariance + driftFactor * driftFactor * driftVariance);
    }

    private static Complex[] Mean(IReadOnlyList<Complex[]> spectra)
    {
        var mean = new Complex[spectra[0].Length];
        foreach (var spectrum in spectra)
            for (var k = 0; k < mean.Length; k++) mean[k] += spectrum[k];
        for (var k = 0; k < mean.Length; k++) mean[k] /= spectra.Count;
        return mean;
    }

    private static double[] Powers(Complex[] values)
    {
        var powers = new double[values.Length];
        for (var k = 0; k < powers.Length; k++) powers[k] = values[k].Real * values[k].Real + values[k].Imaginary * values[k].Imaginary;
        return powers;
    }
}
