// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Transforms;

namespace Sweepbook.Impulses;

/// <summary>The noise of a windowed response, per grid point: what hisses and what hums, apart.</summary>
/// <param name="ThirdOctave">Mean power over a third of an octave, hum included: what a band of that width holds.</param>
/// <param name="Hiss">The same without the lines of mains hum: what a single frequency holds beside them.</param>
/// <param name="Hum">Power of the lines in each grid cell, as wide as the window shows them and no wider.</param>
/// <param name="HumAtHz">Frequencies of the lines, rising.</param>
/// <remarks>
/// A steady tone of amplitude A gives the windowed response the power A²/4 · |W(f − f0)|² / |divisor|²: at its own frequency far more than the mean
/// over a third of an octave says, and nothing two resolution widths beside it. Derivation: the transform of w[n] · A cos(2π f0 n).
/// </remarks>
internal sealed record MeasurementNoise(double[] ThirdOctave, double[] Hiss, double[] Hum, IReadOnlyList<double> HumAtHz)
{
    private const double SmoothingOctaves = 1 / 3.0;

    /// <summary>
    /// <see cref="ThirdOctave"/> as another window sees it that smears by some hertz: where there are lines, the most that any third octave within its
    /// reach holds, so that a line beyond the band's edge is not taken for signal.
    /// </summary>
    internal double[] Smeared(LogGrid grid, double reachHz)
    {
        if (HumAtHz.Count == 0) return ThirdOctave;
        var smeared = new double[grid.Count];
        var (first, last, edge) = (0, 0, Math.Pow(2, SmoothingOctaves / 2));
        for (var k = 0; k < smeared.Length; k++)
        {
            while (grid[first] < grid[k] / edge - reachHz) first++;
            while (last + 1 < grid.Count && grid[last + 1] <= grid[k] * edge + reachHz) last++;
            for (var n = first; n <= last; n++) smeared[k] = Math.Max(smeared[k], ThirdOctave[n]);
        }
        return smeared;
    }

    /// <summary>Hiss and hum together: the noise that one grid point is judged against.</summary>
    internal double[] Total => [.. Hiss.Select((hiss, k) => hiss + Hum[k])];

    /// <param name="density">Power density |X|² / Σb² of a Hann-tapered silent block, per bin.</param>
    /// <param name="gainPower">Squared magnitude of what the block is divided by, inverted: per bin; empty for one everywhere.</param>
    /// <param name="binWidthHz">Spacing of the bins.</param>
    /// <param name="blockSamples">Length of the block.</param>
    /// <param name="stepRatio">One step of the file over full scale, or zero.</param>
    /// <param name="window">The window that the response is cut with.</param>
    /// <param name="sampleRateHz">Sample rate.</param>
    /// <param name="grid">Frequencies to evaluate.</param>
    internal static MeasurementNoise Of(
        double[] density, double[] gainPower, double binWidthHz, int blockSamples, double stepRatio, ImpulseWindow window, int sampleRateHz, LogGrid grid)
    {
        var energy = window.EnergySamples(sampleRateHz);
        var all = Mean(density);
        var hissing = (double[])density.Clone();
        var lines = HumLines.TakenOutOf(hissing, binWidthHz, blockSamples, sampleRateHz);
        if (lines.Count == 0) return new(all, all, new double[grid.Count], []);
        HumLine[] divided = [.. lines.Select(line => line with { PowerRatio = line.PowerRatio * Gain((int)Math.Round(line.FrequencyHz / binWidthHz)) })];
        return new(all, Mean(hissing), InCells(divided, _ => window, sampleRateHz, grid), [.. lines.Select(line => line.FrequencyHz)]) { Lines = divided };

        double Gain(int k) => gainPower.Length == 0 ? 1 : gainPower[k];

        double[] Mean(double[] ofDensity)
        {
            var power = new double[ofDensity.Length];
            var rounding = stepRatio * stepRatio / RoundingDivisor;
            for (var k = 0; k < power.Length; k++) power[k] = Math.Max(ofDensity[k], rounding) * Gain(k);
            var smooth = Smoothing.PowerMean(power, binWidthHz, grid.FrequenciesHz, SmoothingOctaves);
            for (var k = 0; k < smooth.Length; k++) smooth[k] *= energy;
            return smooth;
        }
    }

    private const double RoundingDivisor = 12;   // a uniform error of one step has the variance step²/12

    /// <summary>The lines with what they are divided by in them: what another window needs to show them again.</summary>
    private IReadOnlyList<HumLine> Lines { get; init; } = [];

    /// <summary>The same noise through another window at each frequency: hiss with the window's energy, every line with the shape of its spectrum.</summary>
    internal MeasurementNoise Through(Func<double, ImpulseWindow> windowAt, ImpulseWindow before, int sampleRateHz, LogGrid grid)
    {
        var (window, energy, energyBefore) = (default(ImpulseWindow), 0.0, before.EnergySamples(sampleRateHz));
        var (all, hiss) = (new double[grid.Count], new double[grid.Count]);
        for (var k = 0; k < hiss.Length; k++)
        {
            if (windowAt(grid[k]) is var next && next != window) (window, energy) = (next, next.EnergySamples(sampleRateHz));
            (all[k], hiss[k]) = (ThirdOctave[k] * (energy / energyBefore), Hiss[k] * (energy / energyBefore));
        }
        return new(all, hiss, Lines.Count == 0 ? new double[grid.Count] : InCells(Lines, windowAt, sampleRateHz, grid), HumAtHz) { Lines = Lines };
    }

    private static double[] InCells(IReadOnlyList<HumLine> lines, Func<double, ImpulseWindow> windowAt, int sampleRateHz, LogGrid grid)
    {
        const double ReachOfResolution = 20;   // resolution widths either side: from there a half-Hann slope lets through less than −80 dB
        const int LooksPerResolution = 3;
        var (window, shape, shapeBinHz) = (default(ImpulseWindow), Array.Empty<double>(), 0.0);
        var power = new double[grid.Count];
        var halfCell = Math.Pow(2, 0.5 / grid.PointsPerOctave);
        for (var k = 0; k < power.Length; k++)
        {
            var (fromHz, toHz) = (grid[k] / halfCell, grid[k] * halfCell);
            var next = windowAt(grid[k]);
            foreach (var line in lines)
            {
                if (toHz < line.FrequencyHz - ReachOfResolution * next.ResolutionHz || fromHz > line.FrequencyHz + ReachOfResolution * next.ResolutionHz) continue;
                if (next != window) (window, shape) = (next, ShapeOf(next, sampleRateHz, out shapeBinHz));
                var looks = 1 + (int)(LooksPerResolution * (toHz - fromHz) / window.ResolutionHz);
                for (var look = 0; look < looks; look++)
                    power[k] += line.PowerRatio / looks * ShapeAt(fromHz + (look + 0.5) * (toHz - fromHz) / looks - line.FrequencyHz);
            }
        }
        return power;

        double ShapeAt(double offsetHz)
        {
            var position = Math.Abs(offsetHz) / shapeBinHz;
            var n = Math.Min((int)position, shape.Length - 2);
            return shape[n] + Math.Min(1, position - n) * (shape[n + 1] - shape[n]);
        }
    }

    private static double[] ShapeOf(ImpulseWindow window, int sampleRateHz, out double binWidthHz)
    {
        var shape = window.PowerSpectrum(sampleRateHz, out binWidthHz);
        for (var n = shape.Length - 2; n >= 0; n--) shape[n] = Math.Max(shape[n], shape[n + 1]);   // the gaps between side lobes are nothing to rely on
        return shape;
    }
}
