// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;

namespace Sweepbook.Microphones;

/// <summary>Deviations band by band, each with what setting a microphone up again leaves open (95 %).</summary>
/// <remarks>
/// A matched level of band b in repeat j is x_bj. The reference's n repeats, set up again in between, scatter about their mean with the variance s² and ν = n − 1 degrees of
/// freedom; a deviation of two microphones, read n and m times, then has the variance s² (1/n + 1/m), and ± t(ν) · s · √(1/n + 1/m) holds it. x_bj is less its own
/// middle-band level, so what that adds is in s².
/// Whether the tested microphone was set up again between its repeats nobody says: its repeats count one by one, and join s², where they scatter at least half as much as
/// the reference's (rms over all third octaves); otherwise as a single set-up, m = 1. Own choice, on the safe side.
/// Third octaves: s² is pooled with both neighbours, half of their weight each, since placement scatters smoothly over frequency; with weights w the degrees of
/// freedom are ν (Σw)² / Σw² (Welch and Satterthwaite for equal variances). Octaves: up to ν = 2, where Student's factor is large, the mean variance of the octave's thirds stands
/// for its own, with the degrees of freedom of all of them: a mean never scatters more than its parts (Cauchy and Schwarz), so the interval is then on the safe side; from ν = 3
/// the octave's own.
/// Misleads where repeats were made without moving the microphone: then every deviation looks significant; and where a source warms up: its drift in tone counts as placement.
/// Source: JCGM 100:2008 (GUM) 4.2 and annex G; pooling derived, coverage tested with drawn set-ups.
/// </remarks>
internal sealed class PlacementScatter
{
    private const double NeighbourWeight = 0.5;
    private const double SetUpAgainRatio = 0.5;
    private const int FewFreedom = 2;
    private readonly ComparedLevels _levels;
    private readonly double[] _testedMatch, _referenceMatch;
    private readonly bool _testedCounts;

    internal PlacementScatter(ComparedLevels levels)
    {
        _levels = levels;
        (_testedMatch, _referenceMatch) = ([.. levels.Tested.Select(levels.MatchDb)], [.. levels.Reference.Select(levels.MatchDb)]);
        if (levels.Tested.Count < 2 || levels.Reference.Count < 2) return;
        var given = levels.ThirdOctaves.Where(band => levels.WhyNot(band).Length == 0).ToList();
        var tested = given.Sum(band => Squares(Matched(levels.Tested, _testedMatch, band))) / (levels.Tested.Count - 1);
        var reference = given.Sum(band => Squares(Matched(levels.Reference, _referenceMatch, band))) / (levels.Reference.Count - 1);
        _testedCounts = tested >= SetUpAgainRatio * SetUpAgainRatio * reference;
    }

    internal IReadOnlyList<BandDeviation> Deviations(IReadOnlyList<FrequencyBand> bands) => [.. bands.Select(Deviation)];

    private BandDeviation Deviation(FrequencyBand band)
    {
        if (_levels.WhyNot(band) is { Length: > 0 } why) return new(band, double.NaN, double.NaN, false, why);
        var deviation = Matched(_levels.Tested, _testedMatch, band).Average() - Matched(_levels.Reference, _referenceMatch, band).Average();
        var isNoiseOnly = _levels.Reference.Count < 2;
        var repeatability = isNoiseOnly ? NoiseDb(band) : HalfWidthDb(band);
        return new(band, deviation, repeatability, !isNoiseOnly && Math.Abs(deviation) > Math.Max(repeatability, MicrophoneComparison.SmallestDb), "");
    }

    private double HalfWidthDb(FrequencyBand band)
    {
        var freedom = Freedom;
        var parts = band.BandsPerOctave == 1 && freedom > FewFreedom ? [(band, 1.0)]
            : band.BandsPerOctave == 1 ? [.. Enumerable.Range(3 * band.Index - 1, 3).Select(index => (new FrequencyBand(index, 3), 1.0))]
            : new[] { (new FrequencyBand(band.Index - 1, 3), NeighbourWeight), (band, 1.0), (new FrequencyBand(band.Index + 1, 3), NeighbourWeight) };
        var (squares, weights, squaredWeights) = (0.0, 0.0, 0.0);
        foreach (var (part, weight) in parts.Where(entry => _levels.WhyNot(entry.Item1).Length == 0))
        {
            squares += weight * SquaresOf(part);
            (weights, squaredWeights) = (weights + weight, squaredWeights + weight * weight);
        }
        if (weights == 0) return double.NaN;
        var setUps = _testedCounts ? _levels.Tested.Count : 1;
        return StudentFactor.TwoSided(freedom * weights * weights / squaredWeights) * Math.Sqrt(squares / (weights * freedom) * (1.0 / _levels.Reference.Count + 1.0 / setUps));
    }

    private int Freedom => _levels.Reference.Count - 1 + (_testedCounts ? _levels.Tested.Count - 1 : 0);

    private double SquaresOf(FrequencyBand band) =>
        Squares(Matched(_levels.Reference, _referenceMatch, band)) + (_testedCounts ? Squares(Matched(_levels.Tested, _testedMatch, band)) : 0);

    /// <summary>± decibels of the measurement noise alone, as if it moved all cells of a band alike: never too small. NaN where it is not known.</summary>
    private double NoiseDb(FrequencyBand band)
    {
        var cells = _levels.CellsOf(band);
        return Math.Sqrt(OfOne(_levels.Tested) + OfOne(_levels.Reference));

        double OfOne(IReadOnlyList<Response> responses) => responses.Average(response => cells.Average(k => Math.Pow(response[k].Uncertainty.RepeatabilityDb, 2))) / responses.Count;
    }

    private double[] Matched(IReadOnlyList<Response> responses, double[] match, FrequencyBand band)
    {
        var cells = _levels.CellsOf(band);
        return [.. responses.Select((response, n) => _levels.LevelDb(response, cells) - match[n])];
    }

    private static double Squares(double[] values)
    {
        var mean = values.Average();
        return values.Sum(value => (value - mean) * (value - mean));
    }
}
