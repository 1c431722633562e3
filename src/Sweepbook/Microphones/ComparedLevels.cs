// SPDX-License-Identifier: MIT
using Sweepbook.Quantities;
using Sweepbook.Spectra;
using Sweepbook.Trust;

namespace Sweepbook.Microphones;

/// <summary>The readings behind a comparison: which grid cells may be used, and the levels of bands over them.</summary>
internal sealed class ComparedLevels
{
    /// <summary>A band, and the middle band, counts where this much of it may be believed: own choice.</summary>
    internal const double LeastShare = 2 / 3.0;

    private const double LeastMatchOctaves = 1 / 3.0;
    private const double LeastOfPower = 0.01;   // −20 dB, as with SnrDb of a response: what is left of a cell after its noise
    private readonly double[] _hz;
    private readonly Dictionary<Response, double[]> _power;
    private readonly Dictionary<FrequencyBand, int[]> _cells = [];
    private readonly (int[] Cells, double Weight)[] _match;

    internal ComparedLevels(string tested, IReadOnlyList<Response> testedRepeats, string reference, IReadOnlyList<Response> referenceRepeats, double matchFromHz, double matchToHz)
    {
        ArgumentNullException.ThrowIfNull(testedRepeats);
        ArgumentNullException.ThrowIfNull(referenceRepeats);
        if (testedRepeats.Count == 0) throw new ArgumentException($"There is no reading of \"{tested}\"; give at least one.", nameof(testedRepeats));
        if (referenceRepeats.Count == 0) throw new ArgumentException($"There is no reading of \"{reference}\"; give at least one.", nameof(referenceRepeats));
        if (!(matchFromHz > 0 && double.IsFinite(matchFromHz)))
            throw new ArgumentOutOfRangeException(nameof(matchFromHz), matchFromHz, "The middle band must begin in (0, ∞) Hz.");
        if (!(matchToHz >= matchFromHz * Math.Pow(2, LeastMatchOctaves) && double.IsFinite(matchToHz)))
            throw new ArgumentOutOfRangeException(nameof(matchToHz), matchToHz, FormattableString.Invariant($"The middle band must be at least a third of an octave wide: it begins at {matchFromHz} Hz."));
        Grid = referenceRepeats[0].Grid;
        foreach (var response in testedRepeats.Concat(referenceRepeats))
            if (!response.Grid.FrequenciesHz.SequenceEqual(Grid.FrequenciesHz))
                throw new ArgumentException($"The readings of \"{tested}\" and \"{reference}\" stand on different frequencies: they heard different stimuli, or were recorded at different sample rates. Record both with one stimulus and one rate.", nameof(testedRepeats));
        _hz = Grid.ToArray();
        (Tested, Reference) = (testedRepeats, referenceRepeats);
        Trust = testedRepeats.Select(response => Named(tested, response)).Concat(referenceRepeats.Select(response => Named(reference, response))).Aggregate((one, other) => one.And(other));
        var common = Trust.LongestBand();
        if (common.IsEmpty)
            throw new ArgumentException($"There is no frequency at which both \"{tested}\" and \"{reference}\" may be believed: {tested} {Words(testedRepeats)}, {reference} {Words(referenceRepeats)}.", nameof(testedRepeats));
        _power = testedRepeats.Concat(referenceRepeats).Distinct().ToDictionary(response => response, response => response.Points().Select(PowerOf).ToArray());
        (Octaves, ThirdOctaves) = (Bands(1), Bands(3));
        foreach (var band in Octaves.Concat(ThirdOctaves)) _cells[band] = [.. Within(band).Where(k => Trust[k])];
        _match = [.. Enumerable.Range(0, _hz.Length).Where(k => Trust[k] && _hz[k] >= matchFromHz && _hz[k] <= matchToHz)
            .GroupBy(k => FrequencyBand.ThirdOctaveAt(_hz[k]).Index).Select(group => (group.ToArray(), (double)group.Count()))];
        var share = _match.Sum(group => group.Weight) / (Grid.PointsPerOctave * Math.Log2(matchToHz / matchFromHz));
        if (!(share >= LeastShare))
            throw new ArgumentException(FormattableString.Invariant(
                $"The sensitivities of \"{tested}\" and \"{reference}\" cannot be matched over {new TrustedBand(matchFromHz, matchToHz, default, default).Words}: of that middle band {100 * share:0} % may be believed with both, and {100 * LeastShare:0} % are needed. Both may be believed from {common.Words}; state a middle band within it (match_from_hz and match_to_hz in [microphone-comparison] of survey.toml, or matchFromHz and matchToHz in a call)."), nameof(matchFromHz));
    }

    internal LogGrid Grid { get; }

    internal IReadOnlyList<Response> Tested { get; }

    internal IReadOnlyList<Response> Reference { get; }

    /// <summary>Where every repeat of both may be believed; the reasons name the microphone.</summary>
    internal TrustMask Trust { get; }

    internal IReadOnlyList<FrequencyBand> Octaves { get; }

    internal IReadOnlyList<FrequencyBand> ThirdOctaves { get; }

    /// <summary>The cells of a band that may be used.</summary>
    internal IReadOnlyList<int> CellsOf(FrequencyBand band) => _cells.GetValueOrDefault(band, []);

    /// <summary>Why a band has no number; empty where enough of it may be believed.</summary>
    internal string WhyNot(FrequencyBand band)
    {
        var used = CellsOf(band).Count;
        var expected = Grid.PointsPerOctave * Math.Log2(band.UpperHz / band.LowerHz);
        if (used >= LeastShare * expected) return "";
        var all = Within(band).ToList();
        var doubts = all.Where(k => !Trust[k]).Select(k => Trust.ReasonAt(k).Sentence).Append(all.Count < LeastShare * expected ? "the band reaches beyond the frequencies evaluated" : null)
            .OfType<string>().GroupBy(sentence => sentence).OrderByDescending(group => group.Count()).ThenBy(group => group.Key, StringComparer.Ordinal).First().Key;
        return FormattableString.Invariant($"only {100 * used / expected:0} % of the band may be believed with both: {doubts}");
    }

    /// <summary>Mean power of cells in decibels, the noise taken off.</summary>
    internal double LevelDb(Response response, IReadOnlyList<int> cells)
    {
        var (sum, power) = (0.0, _power[response]);
        foreach (var k in cells) sum += power[k];
        return Decibels.FromPower(sum / cells.Count);
    }

    /// <summary>Power of a reading without its noise, cell by cell.</summary>
    internal IReadOnlyList<double> PowersOf(Response response) => _power[response];

    private static double PowerOf(ResponsePoint point) =>
        double.IsNaN(point.NoisePowerRatio) ? point.PowerRatio : Math.Max(point.PowerRatio - point.NoisePowerRatio, LeastOfPower * point.PowerRatio);

    /// <summary>Level over the middle band in decibels: the mean over log frequency of its third-octave levels.</summary>
    internal double MatchDb(Response response)
    {
        var (sum, weight) = (0.0, 0.0);
        foreach (var group in _match) (sum, weight) = (sum + group.Weight * LevelDb(response, group.Cells), weight + group.Weight);
        return sum / weight;
    }

    /// <summary>The mean of the same over several readings.</summary>
    internal double MatchDb(IReadOnlyList<Response> responses) => responses.Average(MatchDb);

    private IEnumerable<int> Within(FrequencyBand band)
    {
        var (lowerHz, upperHz) = (band.LowerHz, band.UpperHz);
        return Enumerable.Range(0, _hz.Length).Where(k => _hz[k] >= lowerHz && _hz[k] < upperHz);
    }

    private List<FrequencyBand> Bands(int bandsPerOctave)
    {
        var (first, last) = (_hz[0], _hz[^1]);
        var wide = bandsPerOctave == 1 ? FrequencyBand.Octaves(first / 2, last * 2) : FrequencyBand.ThirdOctaves(first / 2, last * 2);
        return [.. wide.Where(band => band.UpperHz > first && band.LowerHz < last)];
    }

    /// <summary>The mask of one reading, its doubts in the microphone's name; a level that dips into the noise is doubted too.</summary>
    private static TrustMask Named(string microphone, Response response)
    {
        var reasons = new Reason[response.Count];
        for (var k = 0; k < reasons.Length; k++)
        {
            var (reason, censored) = (response.LevelTrust.ReasonAt(k), response[k].IsCensored);
            reasons[k] = reason.Doubt != Doubt.None ? new(reason.Doubt, $"{microphone}: {reason.Sentence}")
                : censored ? new(Doubt.Noise, $"{microphone}: the level dips into the noise")
                : Reason.None;
        }
        return new(response.Grid.FrequenciesHz, reasons);
    }

    private static string Words(IReadOnlyList<Response> responses) => responses[0].LevelTrust.LongestBand() is { IsEmpty: false } band ? $"from {band.Words}" : "nowhere";
}
