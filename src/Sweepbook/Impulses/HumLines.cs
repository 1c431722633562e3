// SPDX-License-Identifier: MIT
namespace Sweepbook.Impulses;

/// <summary>One line of mains hum.</summary>
/// <param name="FrequencyHz">Its frequency.</param>
/// <param name="PowerRatio">A²/4 of a tone of amplitude A: its power at the positive frequency, full scale ±1.</param>
internal readonly record struct HumLine(double FrequencyHz, double PowerRatio);

/// <summary>Finds mains hum, 50 or 60 Hz and multiples, in the spectrum of a silent block, and what is left of the noise without it.</summary>
/// <remarks>
/// Mains is there where one line at least stands 15 dB above the noise 6 to 12 resolution cells (1 / length of the block) beside it, which noise alone
/// does in one block of a thousand; then its other lines count from 9 dB on. Its frequency is looked for within ± 0.4 %. Misleads in a block
/// below 0.2 s, where lines and noise cannot be told apart: it finds none. Other steady tones (a fan, a transformer far from home) stay in the noise. Source: own definition.
/// </remarks>
internal sealed class HumLines
{
    private const double ShortestSeconds = 0.2;
    private const double HighestHz = 1000;          // own choice: above it the lines are weak and a third octave is wide enough to hide them
    private const double MainsToleranceRatio = 0.004, MainsStepRatio = 0.0004;
    private const double GivesAwayRatio = 30, CountsRatio = 8;   // 15 dB for one line, 9 dB for its companions
    private const int NearestCell = 6, FarthestCell = 12;
    private const double LineHalfWidthCells = 2.5;  // a Hann window's main lobe ends after 2; a strong line shows its side lobes further out
    private const double LeftOverRatio = 0.1;
    private const double HannPeakRatio = 2 / 3.0;   // (Σb)² / (N · Σb²) of a Hann window
    private static readonly double[] Mains = [50, 60];

    private readonly double[] _density;
    private readonly double _binWidthHz, _cellHz;
    private readonly int _blockSamples;

    private HumLines(double[] density, double binWidthHz, double cellHz, int blockSamples) =>
        (_density, _binWidthHz, _cellHz, _blockSamples) = (density, binWidthHz, cellHz, blockSamples);

    /// <param name="density">Power density |X|² / Σb² of a Hann-tapered block per bin; the lines are taken out of it here.</param>
    /// <param name="binWidthHz">Spacing of the bins, much narrower than a cell.</param>
    /// <param name="blockSamples">Length of the block.</param>
    /// <param name="sampleRateHz">Sample rate.</param>
    internal static IReadOnlyList<HumLine> TakenOutOf(double[] density, double binWidthHz, int blockSamples, int sampleRateHz)
    {
        var cellHz = (double)sampleRateHz / blockSamples;
        return cellHz > 1 / ShortestSeconds ? [] : new HumLines(density, binWidthHz, cellHz, blockSamples).TakeOut();
    }

    private List<HumLine> TakeOut()
    {
        var best = new List<(double FrequencyHz, double BesideIt)>();
        var bestScore = 0.0;
        foreach (var nominalHz in Mains)
        {
            double[] beside = [.. Enumerable.Range(1, (int)(Math.Min(HighestHz, Top) / nominalHz)).Select(n => Beside(n * nominalHz, nominalHz))];
            for (var step = -(int)(MainsToleranceRatio / MainsStepRatio); step * MainsStepRatio <= MainsToleranceRatio + 1e-9; step++)
            {
                var mainsHz = nominalHz * (1 + step * MainsStepRatio);
                var lines = Enumerable.Range(0, beside.Length).Select(n => (FrequencyHz: (n + 1) * mainsHz, BesideIt: beside[n])).Where(line => At(line.FrequencyHz) > CountsRatio * line.BesideIt).ToList();
                var score = lines.Sum(line => At(line.FrequencyHz) / line.BesideIt);
                if (score > bestScore && lines.Exists(line => At(line.FrequencyHz) > GivesAwayRatio * line.BesideIt)) (best, bestScore) = (lines, score);
            }
        }
        var found = best.Select(line => new HumLine(line.FrequencyHz, (At(line.FrequencyHz) - line.BesideIt) / (HannPeakRatio * _blockSamples))).ToList();
        foreach (var (frequencyHz, beside, halfWidthHz) in best.Select(line => (line.FrequencyHz, line.BesideIt, HalfWidthHz(At(line.FrequencyHz) / line.BesideIt))).ToList())
            for (var k = BinOf(frequencyHz - halfWidthHz); k <= BinOf(frequencyHz + halfWidthHz); k++) _density[k] = Math.Min(_density[k], beside);
        return found;
    }

    /// <summary>As far as the side lobes of a line of that height, (π c (c² − 1))⁻² at c cells for a Hann window, stand out of a tenth of the noise.</summary>
    private double HalfWidthHz(double heightRatio)
    {
        var cells = LineHalfWidthCells;
        while (cells < FarthestCell && heightRatio > LeftOverRatio * Math.Pow(Math.PI * cells * (cells * cells - 1), 2)) cells += 0.5;
        return cells * _cellHz;
    }

    private double Top => (_density.Length - 1) * _binWidthHz - (FarthestCell + 1) * _cellHz;

    private int BinOf(double frequencyHz) => Math.Clamp((int)Math.Round(frequencyHz / _binWidthHz), 1, _density.Length - 1);

    private double At(double frequencyHz)
    {
        var k = Math.Clamp((int)(frequencyHz / _binWidthHz), 1, _density.Length - 2);
        return _density[k] + Math.Clamp(frequencyHz / _binWidthHz - k, 0, 1) * (_density[k + 1] - _density[k]);
    }

    /// <summary>Mean density beside a line, from the median of some cells: exponentially distributed powers have a median of ln 2 times their mean.</summary>
    private double Beside(double frequencyHz, double mainsHz)
    {
        var cells = new List<double>();
        for (var n = NearestCell; n <= FarthestCell; n++)
            foreach (var besideHz in new[] { frequencyHz - n * _cellHz, frequencyHz + n * _cellHz })
                if (besideHz > _cellHz && Math.Abs(besideHz - mainsHz * Math.Round(besideHz / mainsHz)) > LineHalfWidthCells * _cellHz)
                    cells.Add(At(besideHz));
        cells.Sort();
        return cells.Count == 0 ? double.PositiveInfinity : cells[cells.Count / 2] / Math.Log(2);
    }
}
