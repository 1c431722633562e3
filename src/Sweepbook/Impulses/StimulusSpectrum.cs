// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Stimuli;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The spectrum of a stimulus, the slope it was designed to have, and the band in which it keeps within 10 dB of that slope.</summary>
/// <remarks>
/// Slope: |X(f)| = rate · A/2 / √(df/dt). Of an exponential sweep rate · A/2 · √(L/f), L = T / ln(end/start); of a linear one it is flat.
/// Source: A. Novak, P. Lotton, L. Simon, "Synchronized Swept-Sine", J. Audio Eng. Soc. 63 (2015) 786–798, eq. 42 (fact sheet 5.4).
/// </remarks>
internal sealed class StimulusSpectrum
{
    private const double ExcitationToleranceDb = 10;   // design, "What may be believed": excitation
    private const double RippleSmoothingOctaves = 1 / 6.0;   // wider than the ripples near the ends of a sweep
    private readonly SweepLaw _law;
    private readonly double _amplitudePower;

    internal StimulusSpectrum(Stimulus stimulus, int length)
    {
        (Stimulus, Length) = (stimulus, length);
        Bins = FourierTransform.OfReal(stimulus.Samples, length);
        var description = stimulus.Description;
        var amplitude = stimulus.SampleRateHz * Decibels.ToAmplitudeRatio(description.LevelDbfs) / 2;
        (_law, _amplitudePower) = (description.Law, amplitude * amplitude);
        (ExcitedFromHz, ExcitedToHz) = ExcitedBand();
    }

    internal Stimulus Stimulus { get; }

    /// <summary>Transform length.</summary>
    internal int Length { get; }

    internal Complex[] Bins { get; }

    internal double BinWidthHz => (double)Stimulus.SampleRateHz / Length;

    /// <summary>Lowest frequency that the stimulus excites properly, in hertz.</summary>
    internal double ExcitedFromHz { get; }

    /// <summary>Highest frequency that the stimulus excites properly, in hertz.</summary>
    internal double ExcitedToHz { get; }

    /// <summary>Power of the designed slope at a frequency, in the unit of |bin|².</summary>
    internal double SlopePowerAt(double frequencyHz) => _amplitudePower / _law.HzPerSecondAt(frequencyHz);

    private (double From, double To) ExcitedBand()
    {
        var (startHz, endHz) = (Stimulus.Description.StartHz, Stimulus.Description.EndHz);
        var grid = LogGrid.Between(96, Math.Max(startHz / 4, BinWidthHz), Math.Min(endHz * 2, Stimulus.SampleRateHz / 2.0));
        var power = Smoothing.PowerMean(Powers(Bins), BinWidthHz, grid.FrequenciesHz, RippleSmoothingOctaves);
        var middle = 0;
        while (middle < grid.Count - 1 && grid[middle] < Math.Sqrt(startHz * endHz)) middle++;
        var (first, last) = (middle, middle);
        while (first > 0 && IsExcited(first - 1)) first--;
        while (last < grid.Count - 1 && IsExcited(last + 1)) last++;
        return (grid[first], grid[last]);

        bool IsExcited(int k) => power[k] >= SlopePowerAt(grid[k]) * Decibels.ToPowerRatio(-ExcitationToleranceDb);
    }

    /// <summary>A fast transform length of at least <paramref name="atLeast"/> that is even, so that half the sample rate is a bin.</summary>
    internal static int EvenLength(int atLeast) => 2 * FourierTransform.NextFastLength((atLeast + 1) / 2);

    internal static double[] Powers(ReadOnlySpan<Complex> bins)
    {
        var powers = new double[bins.Length];
        for (var k = 0; k < bins.Length; k++)
            powers[k] = bins[k].Real * bins[k].Real + bins[k].Imaginary * bins[k].Imaginary;
        return powers;
    }
}
