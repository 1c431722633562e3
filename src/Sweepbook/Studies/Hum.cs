// SPDX-License-Identifier: MIT
using System.Numerics;
using Sweepbook.Quantities;
using Sweepbook.Transforms;

namespace Sweepbook.Studies;

/// <summary>One line of mains hum.</summary>
/// <param name="FrequencyHz">Its frequency, in hertz.</param>
/// <param name="LevelDbfs">Root mean square of the line, in decibels re a root mean square of 1.</param>
/// <param name="AboveNoiseDb">How far it stands above the noise beside it in the block's own resolution, in decibels.</param>
internal readonly record struct HumLine(double FrequencyHz, double LevelDbfs, double AboveNoiseDb);

/// <summary>Lines at 50 or 60 Hz and their multiples in the silent block.</summary>
/// <remarks>
/// A line counts where a Hann-windowed block has a peak at the multiple that stands clear of the bins beside it. Blocks below 0.4 s cannot tell the
/// lines of 50 and 60 Hz apart, nor a line from a rumble, and give none. Source: derived; window data F. J. Harris, Proc. IEEE 66 (1978), Table I.
/// </remarks>
internal static class Hum
{
    private const double ShortestSeconds = 0.4;
    private const double ClearDb = 15;            // own choice: of noise alone, one block in a hundred has such a line by chance
    private const int Harmonics = 20;
    private const double MainsToleranceRatio = 0.004;   // public grids keep within 0.2 Hz of 50 Hz
    private const double MainLobeBins = 2;        // half width of the Hann window's main lobe
    private const double BesideBins = 12;

    /// <param name="silence">The silent block, full scale ±1, free of offset.</param>
    /// <param name="sampleRateHz">Its sample rate in hertz.</param>
    /// <returns>The lines of the stronger of the two mains frequencies, low to high; empty where there are none.</returns>
    internal static IReadOnlyList<HumLine> LinesHz(ReadOnlySpan<double> silence, int sampleRateHz)
    {
        if (silence.Length < ShortestSeconds * sampleRateHz) return [];
        var length = 2 * FourierTransform.NextFastLength(silence.Length);
        var (window, tapered) = (Window.Hann(silence.Length), new double[silence.Length]);
        var (sum, mean) = (0.0, 0.0);
        foreach (var sample in silence) mean += sample / silence.Length;
        for (var n = 0; n < tapered.Length; n++)
        {
            tapered[n] = (silence[n] - mean) * window[n];
            sum += window[n];
        }
        var bins = FourierTransform.OfReal(tapered, length);
        var resolution = (double)sampleRateHz / silence.Length;
        var (fifty, sixty) = (Lines(bins, 50), Lines(bins, 60));
        return Total(fifty) >= Total(sixty) ? fifty : sixty;

        List<HumLine> Lines(Complex[] spectrum, double mainsHz)
        {
            var lines = new List<HumLine>();
            var width = (double)sampleRateHz / length;
            for (var harmonic = 1; harmonic <= Harmonics && mainsHz * harmonic < 0.4 * sampleRateHz; harmonic++)
            {
                var (hz, reach) = (mainsHz * harmonic, MainsToleranceRatio * mainsHz * harmonic + resolution);
                var (from, to) = ((int)Math.Ceiling((hz - reach) / width), (int)((hz + reach) / width));
                var best = from;
                for (var k = from; k <= to; k++)
                    if (Power(spectrum[k]) > Power(spectrum[best])) best = k;
                if (Power(spectrum[best]) == 0 || best == from && Power(spectrum[from - 1]) > Power(spectrum[best]) || best == to && Power(spectrum[to + 1]) > Power(spectrum[best])) continue;
                var beside = Beside(spectrum, best, resolution / width);
                var above = beside == 0 ? double.PositiveInfinity : Decibels.FromPower(Power(spectrum[best]) / beside);
                if (above >= ClearDb) lines.Add(new(best * width, Decibels.FromPower(2 * Power(spectrum[best]) / (sum * sum)), above));
            }
            return lines;
        }
    }

    /// <summary>All lines together, root mean square over full scale.</summary>
    internal static double Total(IEnumerable<HumLine> lines) => Math.Sqrt(lines.Sum(line => Decibels.ToPowerRatio(line.LevelDbfs)));

    private static double Power(Complex bin) => bin.Real * bin.Real + bin.Imaginary * bin.Imaginary;

    /// <summary>Median power of the bins outside the main lobe on both sides.</summary>
    private static double Beside(Complex[] spectrum, int centre, double binsPerResolution)
    {
        var values = new List<double>();
        var (near, far) = ((int)Math.Ceiling(MainLobeBins * binsPerResolution) + 1, (int)(BesideBins * binsPerResolution));
        for (var k = near; k <= far; k++)
        {
            if (centre - k > 0) values.Add(Power(spectrum[centre - k]));
            if (centre + k < spectrum.Length) values.Add(Power(spectrum[centre + k]));
        }
        if (values.Count == 0) return 0;
        values.Sort();
        return values[values.Count / 2];
    }
}
